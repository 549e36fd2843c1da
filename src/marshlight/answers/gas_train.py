"""Where does the gas go, and can the vessel breathe? Filling, seals, relief, trap, holder."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.asked import Asked, Question, ask, attempt
from marshlight.answers.gas_train_known import known_of
from marshlight.answers.gas_train_sketch import GasTrainSketch, sketch_of
from marshlight.answers.run_gas import run_gas
from marshlight.answers.told import Answer, Figure, Section, figure
from marshlight.answers.vessel_typed import vessel_typed
from marshlight.apparatus import Bag, DisplacementColumn, FloatingCylinder, Vessel
from marshlight.apparatus.gas_train import (
    GasTrain,
    closed_rise_kpa_per_d,
    condensate_kg_per_m3,
    seal_depth_m,
)
from marshlight.apparatus.storage import RESERVE, USUAL_FILL, fill_of, full_day, storage_needed
from marshlight.decide.safety import (
    cautions_at,
    cautions_for,
    require_outdoors,
    require_relief,
)
from marshlight.errors import InputError, require
from marshlight.matter.gas import dry_normal_factor
from marshlight.notebook.bridge import holder_of, vessel_of
from marshlight.notebook.models import Holder as HolderRow
from marshlight.notebook.models import Run
from marshlight.notebook.setting_up import found
from marshlight.notebook.setting_up.choices import OUTLETS, RELIEFS
from marshlight.units import parse, show, show_range

_HOURS = 24
QUESTIONS = (
    Question("vessel", "vessel", usual="25 L", hint="A vessel's name, or its whole volume."),
    Question("slurry", "slurry in it", "volume", "L", hint="Empty: two thirds full.", low=1e-5),
    Question("froths", "material froths", choices=(("no", "no"), ("yes", "yes")), usual="no"),
    Question("gas", "gas a day", "flow", "L/d", "5 L/d", "Dry, normal.", low=0.0),
    Question("holder", "gas holder", usual="4 L", hint="A holder's name, or its volume."),
    Question("held", "gas in it now", "volume", "L", hint="Empty: none.", low=0.0),
    Question("pressure", "holder's pressure", "gauge_pressure", "mmH2O", "50 mm H2O",
             "Taken from mass and counterweight where a floating cylinder is named.",
             low=-5.0, high=10.0),
    Question("relief", "relief on the vessel", choices=tuple(RELIEFS.items()), usual="unknown"),
    Question("outlet", "relief and first gas lead", choices=tuple(OUTLETS.items()),
             usual="unknown"),
    Question("relief_depth", "relief dips", "length", "mm", "150 mm", low=0.0, high=3.0),
    Question("dips", "seals the gas bubbles through, together", "length", "mm", "0 mm", low=0.0,
             high=3.0),
    Question("trap", "condensate trap's leg", "length", "mm", hint="Empty: no trap.", low=0.0),
    Question("slurry_c", "slurry at", "temperature", "degC", "37 °C", low=0.0, high=80.0),
    Question("pipe_c", "coldest on the pipe", "temperature", "degC", "15 °C", low=-30, high=60),
    Question("uses", "hours of use each day", hint="Such as 7, 12, 19; for the size of a holder."),
)  # fmt: skip


@dataclass(frozen=True)
class GasTrainTold:
    """The answer with its sketch; None where something typed cannot be used or is refused."""

    answer: Answer
    sketch: GasTrainSketch | None = None


def gas_train(
    typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric"
) -> Answer:
    """Answer as ``gas_train_told`` does, without its sketch."""
    return gas_train_told(typed, run=run, system=system).answer


def gas_train_told(
    typed: Mapping[str, str], *, run: Run | None = None, system: str = "metric"
) -> GasTrainTold:
    """Answer "where does the gas go, and can the vessel breathe?".

    Parameters
    ----------
    typed : mapping
        Field name to text; what is missing comes from the run or is usual.
    run : Run, optional
        Whose vessel, holder and forecast are taken.
    system : str
        "metric" or "us".

    Returns
    -------
    GasTrainTold
        What is wrong first; without sections while a field cannot be used or it is refused.
    """
    analysis = None if run is None else analyse(run)
    known = {} if run is None else known_of(run, run_gas(run), system)
    asked = ask(QUESTIONS, typed, known=known, system=system)
    problems = dict(asked.problems)
    parts = None if problems else _parts(asked, problems)
    blank = Answer.to_form(
        asked,
        problems,
        run,
        key="gas-train",
        title="Where does the gas go, and can the vessel breathe?",
        sentence="Something typed cannot be used; the reason stands beside its field.",
        cautions=(*cautions_for(["pressure"]), *cautions_at("page:gas_space")),
        sections=(),
    )
    if parts is None:
        refused = _refused(asked, problems)
        return GasTrainTold(replace(blank, sentence=refused or blank.sentence))
    vessel, slurry, holder_m3, train = parts
    faults = train.faults()
    fill = fill_of(vessel, slurry, froths=asked.values["froths"] == "yes")
    sections = (
        _pressure_section(train, asked, system=system),
        _holder_section(asked, holder_m3, analysis, system=system),
        _fill_section(vessel, slurry, asked, system=system),
        _pipe_section(train, asked, system=system),
    )
    wrong = [*faults, *([fill.sentence] if fill.sentence.startswith("Too full") else [])]
    sentence = " ".join(wrong) or _breathes(train, asked, system=system)
    sketch = sketch_of(train, relief=str(asked.values["relief"]), fill=fill.share, system=system)
    return GasTrainTold(replace(blank, sentence=sentence, sections=sections), sketch)


def _refused(asked: Asked, problems: Mapping[str, InputError]) -> str:
    """Say what is refused, and how fast a shut vessel would burst."""
    said = [problems[name] for name in ("relief", "outlet") if name in problems]
    words = [f"{problem.allowed}. {problem.remedy}." for problem in said]
    if "relief" in problems:
        words.append(_bursts(asked))
    return " ".join(words).strip()


def _breathes(train: GasTrain, asked: Asked, *, system: str) -> str:
    feels = show(train.vessel_kpa, "gauge_pressure", system=system)
    if asked.values["relief"] == "unknown":
        return (
            "Not known whether it breathes: say what relief is on the vessel. Look now, before "
            f"anything is shut. Pushing gas into the holder, the vessel feels {feels}."
        )
    if train.relief_kpa is None:
        return f"It breathes as long as the bag can swell: the vessel feels {feels}."
    opens = show(train.relief_kpa, "gauge_pressure", system=system)
    return f"It breathes: the vessel feels {feels}, and the relief opens at {opens}."


Parts = tuple[Vessel, float, float, GasTrain]


def _parts(asked: Asked, problems: dict[str, InputError]) -> Parts | None:
    vessel = attempt(problems, "vessel", lambda: _vessel(str(asked.values["vessel"] or "")))
    holder = attempt(problems, "holder", lambda: _holder(str(asked.values["holder"] or "")))
    if vessel is None or holder is None:
        return None
    volume, gauge = holder
    kpa = asked.number("pressure") if gauge is None else gauge
    given = asked.values["slurry"]
    slurry = USUAL_FILL * vessel.total_m3 if given is None else float(given)
    fits = attempt(problems, "slurry", lambda: fill_of(vessel, slurry))
    uses = attempt(problems, "uses", lambda: _uses(str(asked.values["uses"] or "")))
    relief, trap = str(asked.values["relief"]), asked.values["trap"]
    attempt(problems, "relief", lambda: require_relief(sealed=relief == "none", relief=False))
    if asked.values["outlet"] != "unknown":
        attempt(problems, "outlet", lambda: require_outdoors(str(asked.values["outlet"])))
    train = attempt(
        problems,
        "relief",
        lambda: GasTrain(
            kpa,
            dips_m=(asked.number("dips"),),
            relief_m=asked.number("relief_depth") if relief == "seal" else None,
            trap_leg_m=None if trap is None else float(trap),
            rigid=relief not in ("soft", "unknown"),
        ),
    )
    if fits is None or train is None or uses is None or problems:
        return None
    return vessel, slurry, volume, train


def _bursts(asked: Asked) -> str:
    """Say how fast a shut vessel fills up."""
    try:
        whole = _vessel(str(asked.values["vessel"])).total_m3
    except InputError:
        return ""
    given = asked.values["slurry"]
    space = whole - (USUAL_FILL * whole if given is None else float(given))
    if space <= 0.0:
        return ""
    rise = closed_rise_kpa_per_d(asked.number("gas"), space, asked.number("slurry_c"))
    return (
        f"Shut, its pressure would rise by {rise:.2g} kPa every day, {rise / 101.325:.1g} times "
        "the pressure of the air."
    )


def _vessel(text: str) -> Vessel:
    vessel = vessel_typed(text)
    return Vessel.given(volume_m3=vessel) if isinstance(vessel, float) else vessel_of(vessel)


def _holder(text: str) -> tuple[float, float | None]:
    """Give a holder's volume [m3], and its pressure where it follows from its own mass [kPa]."""
    try:
        return parse(text, "volume", field="gas holder", unit="L", minimum=1e-7), None
    except InputError as not_a_volume:
        if not HolderRow.objects.in_use().filter(name__icontains=text.strip() or "?").exists():
            raise InputError(
                "gas holder",
                text,
                "a volume such as 5 L, or the name of a gas holder that is set up",
                "Give one of these",
            ) from not_a_volume
    holder = holder_of(found("holder", text))
    if isinstance(holder, FloatingCylinder):
        # Highest at the top, where least of its wall is borne up by the liquid.
        return float(holder.capacity_m3), float(holder.gauge_pressure_kpa(holder.travel_m))
    require(
        isinstance(holder, (Bag, DisplacementColumn)),
        field="gas holder",
        value=text,
        allowed="a floating cylinder, a bag or a displacement column",
        remedy="Name what the gas is kept in",
    )
    return float(holder.capacity_m3), None


def _pressure_section(train: GasTrain, asked: Asked, *, system: str) -> Section:
    def kpa(value: float) -> str:
        return show(value, "gauge_pressure", system=system)

    def depth(value: float) -> str:
        return show(value, "length", system=system)

    figures = [
        figure("holder", kpa(train.holder_kpa), "from mass and counterweight, or as given",
               equation="p = (m - m counter) g / A", by="sasse_1988"),
        figure("the vessel feels", kpa(train.vessel_kpa), "holder and every seal on the way",
               equation="p holder + sum of rho g h", by="hydrostatics"),
        figure("relief dips at least", depth(train.relief_depth_advised_m),
               "a quarter over what the vessel feels", equation="h = 1.25 p / (rho g)",
               by="hydrostatics relief_practice"),
        figure("one kilopascal holds back", depth(seal_depth_m(1.0)), "of water",
               equation="h = p / (rho g)", by="hydrostatics"),
    ]  # fmt: skip
    if train.relief_kpa is not None:
        figures.insert(2, figure("relief opens at", kpa(train.relief_kpa),
                                 equation="p = rho g h", by="hydrostatics"))  # fmt: skip
    after = (
        "The relief sits on the vessel before any valve, leads outdoors, is topped up with water, "
        "and does not freeze.",
    )
    return Section("Pressure", tuple(figures), after=(*train.faults(), *after))


def _holder_section(
    asked: Asked, holder_m3: float, analysis: Analysis | None, *, system: str
) -> Section:
    held = float(asked.values["held"] or 0.0)
    room = holder_m3 - held
    warm = asked.number("pipe_c")
    # The holder's gas stands moist at its own temperature; what is made is told dry and normal.
    normal = room * float(dry_normal_factor(max(warm, 0.0), 101.325))
    daily = asked.number("gas")
    figures: list[Figure] = []
    if room <= 0.0:
        figures.append(figure("full", "now", "empty it", equation="room = holder - gas in it",
                              by="mass_curve"))  # fmt: skip
    else:
        likely = normal / daily if daily > 0.0 else math.inf
        text = "never" if math.isinf(likely) else _time(likely)
        figures.append(
            figure("full in", text, f"{show(room, 'volume', system=system)} of room",
                   equation="room, made dry and normal, over gas a day", by="mass_curve")
        )  # fmt: skip
        figures += _forecast_full(analysis, normal)
    uses = _uses(str(asked.values["uses"] or ""))
    if uses and daily > 0.0:
        each = daily / len(uses)
        need = storage_needed(
            [daily / _HOURS] * _HOURS, [each if hour in uses else 0.0 for hour in range(_HOURS)]
        )
        low, high = need.with_reserve_m3
        figures.append(
            figure(
                "holder for these hours",
                show_range(low, high, "volume", system=system),
                f"{100 * need.share_of_day:.0f} % of a day's gas, with {100 * RESERVE[0]:.0f} % to "
                f"{100 * RESERVE[1]:.0f} % reserve",
                equation="largest less smallest running sum of gas made less used",
                by="mass_curve gtz_storage",
            )
        )
    return Section("The holder", tuple(figures))


def _forecast_full(analysis: Analysis | None, room_normal_m3: float) -> list[Figure]:
    """Say when the run's own forecast fills it."""
    seen = None if analysis is None else analysis.forecast
    if analysis is None or seen is None:
        return []
    days = full_day(
        seen.day,
        seen.cumulative.low95,
        seen.cumulative.median,
        seen.cumulative.high95,
        from_day=analysis.last_day,
        room_m3=room_normal_m3,
    )
    text = "not within the forecast" if math.isinf(days.low) else f"day {days.low:.1f}"
    late = "never" if math.isinf(days.high) else f"day {days.high:.1f}"
    return [
        figure("empty it before", text, f"by the run's forecast; {late} at the latest",
               equation="first day the forecast's gas exceeds the room", by="mass_curve")
    ]  # fmt: skip


def _time(days: float) -> str:
    return f"{days * 24.0:.0f} hours" if days < 3.0 else f"{days:.0f} days"


def _uses(text: str) -> tuple[int, ...]:
    words = text.replace(",", " ").split()
    require(
        all(word.isdigit() and int(word) < _HOURS for word in words),
        field="hours of use",
        value=text,
        allowed="hours from 0 to 23",
        remedy="Write 7, 12, 19 for example",
    )
    return tuple(sorted({int(word) for word in words}))


def _fill_section(vessel: Vessel, slurry: float, asked: Asked, *, system: str) -> Section:
    fill = fill_of(vessel, slurry, froths=asked.values["froths"] == "yes")
    figures = [
        figure("full to", f"{100 * fill.share:.0f} %", show(slurry, "volume", system=system),
               equation="slurry over whole volume", by="practice_fill"),
        figure("best", show(fill.advised_m3, "volume", system=system),
               "half where it froths, else two thirds, never past three quarters",
               equation="share times whole volume", by="practice_fill"),
        figure("gas space", show(fill.gas_space_m3, "volume", system=system),
               equation="whole less slurry", by="practice_fill"),
    ]  # fmt: skip
    if fill.free_m is not None:
        figures.append(figure("height left", show(fill.free_m, "length", system=system),
                              equation="from the vessel's shape", by="practice_fill"))  # fmt: skip
    after = (
        "Froth lifts slurry into the gas line; it dries there, blocks it, and pressure builds. "
        "Feed less, stir gently, and look at the line daily while it froths.",
    )
    return Section("Filling and froth", tuple(figures), before=(fill.sentence,), after=after)


def _pipe_section(train: GasTrain, asked: Asked, *, system: str) -> Section:
    per_m3 = condensate_kg_per_m3(asked.number("slurry_c"), asked.number("pipe_c"))
    water = show(per_m3 * asked.number("gas"), "mass_flow", system=system)
    figures = [
        figure("water dropping out", water, "in the pipe",
               equation="gas x (water at slurry - water at the coldest)",
               by="hafner_2020_doc_203"),
        figure("trap's leg at least", show(train.trap_leg_advised_m, "length", system=system),
               "so that the relief blows first", equation="one and a half times the relief",
               by="relief_practice"),
        figure("flame trap", "certified, gas group IIA", "close to the burner, and a water seal",
               equation="none: a bought, certified part", by="flame_trap_practice"),
    ]  # fmt: skip
    after = (
        "Let the pipe fall all the way to the trap at its lowest point. Steel wool or home-made "
        "gauze does not stop a flame for sure.",
    )
    if asked.number("pipe_c") <= 0.0:
        after = ("Below freezing the water in pipe, trap and seal freezes and shuts the gas off: "
                 "bury, warm or fill with antifreeze.", *after)  # fmt: skip
    return Section("Pipe, trap and flame", tuple(figures), after=after)
