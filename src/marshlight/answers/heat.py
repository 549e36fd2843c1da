"""Will it be warm enough, at what cost? For a run or any vessel, ready for page and terminal."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.drawn import form_of
from marshlight.answers.drawn import section as section_of
from marshlight.answers.heat_account import where_section, worth_of, worth_section, year_section
from marshlight.answers.heat_chart import heat_chart
from marshlight.answers.heat_known import known_of
from marshlight.answers.heat_model import gas_section
from marshlight.answers.heat_parts import (
    comparison,
    flows_at,
    heater_section,
    settled,
    trouble_section,
    warm_enough,
)
from marshlight.answers.heat_reading import HeatSetUp, heat_form
from marshlight.answers.picture import VesselPicture
from marshlight.answers.reader import in_reader_units
from marshlight.answers.series import Chart, Table
from marshlight.answers.told import Answer
from marshlight.answers.words import days_since
from marshlight.apparatus.heat import Danger, Outside, Settled, dangers_of
from marshlight.decide.safety import cautions_at
from marshlight.errors import FitError, InputError
from marshlight.notebook.models import Run
from marshlight.notebook.models import Vessel as VesselRow
from marshlight.notebook.moments import site_zone
from marshlight.process.heated import LOSS_U, START_U_K, FedGas, heat_forecast
from marshlight.units import show

_SEED = 20_260
_DRAWS, _STEP_H = 40, 2.0
# How well tomorrow's surroundings are known: our choice, two kelvin.
_AIR_U_K = 2.0
# Stands in the field until it is emptied, which means: no thermostat.
_USUAL_SET_POINT_C = 37.0


@dataclass(frozen=True)
class HeatAnswer:
    """The answer, what is dangerous about it, the chart, one change compared and the drawing.

    Where something is refused there are no figures, so that nothing dangerous looks safe.
    """

    told: Answer
    dangers: tuple[Danger, ...] = ()
    chart: Chart | None = None
    compared: Table | None = None
    picture: VesselPicture | None = None

    @property
    def refused(self) -> tuple[Danger, ...]:
        """Give what is refused."""
        return tuple(danger for danger in self.dangers if danger.refused)

    @property
    def warnings(self) -> tuple[Danger, ...]:
        """Give what is only warned of."""
        return tuple(danger for danger in self.dangers if not danger.refused)


def heat(
    typed: Mapping[str, str],
    *,
    run: Run | None = None,
    now: datetime | None = None,
    system: str = "metric",
) -> HeatAnswer:
    """Answer "will it be warm enough, at what cost?".

    Parameters
    ----------
    typed : mapping
        Field name to text; what is missing comes from the run or is usual.
    run : Run, optional
        Whose vessel, heater, site and readings are taken.
    now : datetime, optional
        The moment of asking; needed for a run.
    system : str
        "metric" or "us".

    Returns
    -------
    HeatAnswer
        With the form; without figures while a field cannot be used or something is refused.
    """
    analysis = None if run is None else analyse(run)
    if run is None or analysis is None:
        known = {"set_point": show(_USUAL_SET_POINT_C, "temperature", system=system)}
    else:
        known = known_of(run, analysis, system)
    logged = None if analysis is None else analysis.records.series.get("room_temperature")
    start_h = 0.0 if run is None else _start_hour(run)
    asked, set_up = heat_form(typed, known=known, logged=logged, start_h=start_h, system=system)
    blank = Answer.to_form(
        asked,
        dict(asked.problems),
        run,
        key="heat",
        title="Will it be warm enough, at what cost?",
        sentence="Something typed cannot be used; the reason stands beside its field.",
        cautions=cautions_at("page:heat"),
        sections=(),
    )
    if set_up is None:
        return HeatAnswer(blank)
    dangers = _dangers(set_up, system)
    picture = _picture(set_up, run, system=system)
    if any(danger.refused for danger in dangers):
        words = " ".join(danger.text for danger in dangers if danger.refused)
        return HeatAnswer(replace(blank, sentence=words), dangers, picture=picture)
    try:
        return _whole(set_up, blank, dangers, str(asked.values["change"]), analysis=analysis,
                      today=_today(run, now), picture=picture, system=system)  # fmt: skip
    except FitError as problem:
        return HeatAnswer(replace(blank, sentence=str(problem)), dangers, picture=picture)


def _dangers(set_up: HeatSetUp, system: str) -> tuple[Danger, ...]:
    """Tell what is dangerous, in the reader's units."""
    hot = Outside(set_up.air.warmest_c, set_up.air.warmest_c)
    found = dangers_of(
        set_up.body,
        set_up.heater,
        hot,
        safeguard=set_up.safeguard,
        made_for_liquids=set_up.made_for_liquids,
        cut_out=set_up.cut_out,
        flows=flows_at(set_up, set_up.wanted_c),
    )
    return tuple(
        replace(
            danger,
            text=in_reader_units(danger.text, system),
            why=in_reader_units(danger.why, system),
        )
        for danger in found
    )


def _start_hour(run: Run) -> float:
    """Give the time of day at which a run's days begin [h]."""
    if run.started_at is None:
        return 0.0
    local = run.started_at.astimezone(site_zone(run.site.time_zone))
    return local.hour + local.minute / 60.0


def _whole(
    set_up: HeatSetUp,
    blank: Answer,
    dangers: tuple[Danger, ...],
    change: str,
    *,
    analysis: Analysis | None,
    today: float,
    picture: VesselPicture,
    system: str,
) -> HeatAnswer:
    found = settled(set_up)
    seen = heat_forecast(
        set_up.body,
        set_up.heater,
        set_up.air,
        days=set_up.days,
        start_c=set_up.start_c,
        start_day=today,
        rng=np.random.default_rng(_SEED),
        air_u_k=_AIR_U_K,
        flows=set_up.flows,
        gas=FedGas(set_up.gas_m3_per_d) if set_up.gas_m3_per_d else None,
        draws=_DRAWS,
        step_h=_STEP_H,
    )
    year = year_section(set_up, system=system)
    sections = (
        warm_enough(set_up, found, seen, system=system),
        heater_section(set_up, seen, system=system),
        trouble_section(set_up, found, system=system),
        *(
            ()
            if analysis is None
            else (gas_section(set_up, change, analysis, today=today, system=system),)
        ),
        worth_section(set_up, found, system=system),
        where_section(set_up, found),
        *(() if year is None else (year,)),
    )
    told = replace(
        blank,
        sentence=_sentence(set_up, found, system=system),
        sections=sections,
        notes=_notes(set_up, system),
    )
    read = None if analysis is None else analysis.records.series
    return HeatAnswer(
        told,
        dangers,
        heat_chart(set_up, seen, system=system, today=today, read=read),
        comparison(set_up, found, change, system=system),
        replace(
            picture,
            temperature_c=min(found.slurry_c, 99.0),
            temperature_text=show(found.slurry_c, "temperature", system=system),
        ),
    )


def _sentence(set_up: HeatSetUp, found: Settled, *, system: str) -> str:
    end, wanted = found.slurry_c, set_up.wanted_c
    settles = show(end, "temperature", system=system)
    asked = show(wanted, "temperature", system=system)
    energy = show(found.power_w * 0.024, "energy", system=system)
    takes = f" and takes {energy} a day" if set_up.heater.electric else ""
    cold = settled(set_up, set_up.coldest)
    if end > wanted + 3.0:
        words = f"Too warm: it settles at {settles}, {asked} was wanted{takes}."
    elif end >= wanted - 0.5 and cold.slurry_c >= wanted - 1.5:
        words = f"Warm enough: it settles at {settles}{takes}."
    elif end >= wanted - 0.5:
        low = show(cold.slurry_c, "temperature", system=system)
        words = f"Warm enough on a usual day ({settles}), down to {low} where cold lasts{takes}."
    else:
        words = f"Not warm enough: it settles at {settles}, {asked} was wanted{takes}."
    account = worth_of(set_up, found)
    if account is not None and account.taken_kwh_per_d > account.gas_kwh_per_d:
        return f"{words} It uses more energy than its gas holds."
    return words


def _notes(set_up: HeatSetUp, system: str) -> tuple[str, ...]:
    air, start = (
        show(kelvin, "temperature_difference", system=system, digits=1)
        for kelvin in (_AIR_U_K, START_U_K)
    )
    notes = [
        f"Bands: loss uncertain by {100 * LOSS_U:.0f} % (1 in 3 beyond), surroundings by {air},"
        f" the start by {start}."
    ]
    if set_up.vessel.shape == "given" and set_up.vessel.height_m == 0.0:
        notes.append("Only the volume is known: counted as an upright cylinder 1.2 times as tall "
                     "as wide.")  # fmt: skip
    if set_up.heater.kind == "mat":
        notes.append("A mat counts as 150 W to the square metre; what the vessel does not cover "
                     "warms the room.")  # fmt: skip
    if set_up.heater.kind == "bath":
        notes.append("Wall and base stand in the bath; its own losses are not counted.")
    notes.append("Not counted: heat made by digestion itself, pipes, draughts, the sky at night.")
    return tuple(notes)


def _today(run: Run | None, now: datetime | None) -> float:
    if run is None or run.started_at is None or now is None:
        return 0.0
    return max(days_since(run.started_at, now), 0.0)


def _level_m(set_up: HeatSetUp, height_m: float) -> float:
    """Give the slurry's level; as a share of the height where the shape is not known [m]."""
    try:
        return float(set_up.vessel.level_at(set_up.slurry_m3))
    except InputError:
        return set_up.slurry_m3 / set_up.vessel.total_m3 * height_m


def _picture(set_up: HeatSetUp, run: Run | None, *, system: str) -> VesselPicture:
    row = run.vessel if run is not None else VesselRow.objects.filter(
        name=set_up.vessel_name or None
    ).first()  # fmt: skip
    shape = row or VesselRow(name="vessel", shape="given", volume_m3=set_up.vessel.total_m3)
    width, height = section_of(shape)
    thick = set_up.wrap.side[0].thickness_m if set_up.wrap.side else 0.0
    kind = "tank" if shape.shape in ("box", "lying_cylinder", "sphere", "dome") else "drum"
    size = show(set_up.vessel.total_m3, "volume", system=system)
    return VesselPicture(
        name=run.name if run is not None else (set_up.vessel_name or "The vessel"),
        kind=kind,
        width_m=width,
        height_m=height,
        slurry_m=_level_m(set_up, height),
        form=form_of(shape),
        insulation_m=thick,
        heater="none" if set_up.heater.kind == "none" else "on",
        size_text=f"of {size}",
        slurry_text=show(set_up.slurry_m3, "volume", system=system),
    )
