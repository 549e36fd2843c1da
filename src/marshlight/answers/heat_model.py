"""A run's gas in the coming days as its warmth has it: heat balance and process model together."""

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.heat_reading import CHANGES, HeatSetUp
from marshlight.answers.lately import gas_lately
from marshlight.answers.reader import in_reader_units
from marshlight.answers.simulate_past import Past, past_of
from marshlight.answers.told import Figure, Section, figure
from marshlight.errors import MarshlightError
from marshlight.process.heated_model import HeatedRun, simulate_heated
from marshlight.process.model import SetTemperature
from marshlight.units import show

TITLE = "What its warmth does to its gas"
_COLDEST_C, _HOTTEST_C = 5.0, 60.0
_BY = "lumped_balance vapour_heat batstone_2002 rosen_jeppsson_2006"
_HOW = "heat balance and process model, each given the other's answer until both agree"


def gas_section(
    set_up: HeatSetUp, change: str, analysis: Analysis, *, today: float, system: str
) -> Section:
    """Say what gas a run makes as warm as it will be, with one change, and without heating.

    Parameters
    ----------
    set_up : HeatSetUp
        As typed.
    change : str
        A key of ``CHANGES``.
    analysis : Analysis
        Of the run's log.
    today : float
        Days since its start [d].
    system : str
        "metric" or "us".

    Returns
    -------
    Section
        Gas a day, gained or lost; or why the model cannot say.
    """
    try:
        past = past_of(analysis, today)
        own = _ahead(past, set_up)
        others = [
            (words, _ahead(past, other))
            for words, other in (
                (CHANGES[change], set_up.changed(change)),
                ("without heating", set_up.changed("none")),
            )
            if other != set_up and not (words == "without heating" and change == "none")
        ]
    except MarshlightError as problem:
        why = in_reader_units(str(problem), system)
        return Section(TITLE, before=(f"The process model cannot say. {why}",))
    days = _whole_days(set_up)
    figures = [_own_figure(own, days, system)]
    figures += [_other_figure(words, found, own, days, system) for words, found in others]
    figures += _counted(analysis, system)
    return Section(
        TITLE,
        tuple(figures),
        before=(_sentence(own, others, days, system),),
        after=(
            "One life of the model, with the middle of its constants, from everything logged up to"
            " now; no further feed. The differences are surer than the amounts. A vessel that cools"
            " sucks: air can come in through seal or tap.",
        ),
    )


def _whole_days(set_up: HeatSetUp) -> int:
    return max(round(set_up.days), 1)


def _ahead(past: Past, set_up: HeatSetUp) -> HeatedRun:
    """Run the log up to now, then on as warm as heater and air make it."""
    before = [
        e for e in past.events if not isinstance(e, SetTemperature) or e.day < past.today
    ]  # fmt: skip
    return simulate_heated(
        past.digester,
        past.charge,
        set_up.body,
        set_up.heater,
        air=set_up.air,
        days=_whole_days(set_up),
        start_c=float(np.clip(set_up.start_c, _COLDEST_C, _HOTTEST_C)),
        events=before,
        flows=set_up.flows,
        from_day=past.today,
        step_h=2.0,
    )


def _a_day_m3(found: HeatedRun, days: int) -> float:
    gas = found.run.biogas_m3
    return float(gas[-1] - gas[-1 - days]) / days


def _gas_words(found: HeatedRun, days: int, system: str) -> str:
    made = _a_day_m3(found, days)
    return _per_day(made, system) if made > 0.0 else "none: as it cools it takes some back"


def _per_day(value_m3: float, system: str) -> str:
    return show(value_m3, "flow", system=system, digits=2).replace("/d", " a day")


def _ends(found: HeatedRun, system: str) -> str:
    at = show(float(found.course.slurry_c[-1]), "temperature", system=system)
    return f"slurry ends at {at}"


def _own_figure(own: HeatedRun, days: int, system: str) -> Figure:
    return figure(
        "gas as it is",
        _gas_words(own, days, system),
        f"mean of {days} days, dry normal; {_ends(own, system)}",
        equation=_HOW,
        by=_BY,
    )


def _other_figure(words: str, found: HeatedRun, own: HeatedRun, days: int, system: str) -> Figure:
    return figure(
        f"gas {words}" if words.startswith("without") else f"gas with {words}",
        _gas_words(found, days, system),
        f"{_gained(found, own, days, system)}; {_ends(found, system)}",
        equation=_HOW,
        by=_BY,
    )


def _gained(found: HeatedRun, own: HeatedRun, days: int, system: str) -> str:
    more = _a_day_m3(found, days) - _a_day_m3(own, days)
    if abs(more) < 0.005 * max(_a_day_m3(own, days), 1e-9):
        return "no more and no less"
    return f"{_per_day(abs(more), system)} {'gained' if more > 0.0 else 'lost'}"


def _sentence(own: HeatedRun, others: list[tuple[str, HeatedRun]], days: int, system: str) -> str:
    parts = [f"{words}: {_gained(found, own, days, system)}" for words, found in others]
    said = f"By the process model, over {days} days"
    return f"{said}, {'; '.join(parts)}." if parts else f"{said}, there is nothing to compare."


def _counted(analysis: Analysis, system: str) -> list[Figure]:
    lately = gas_lately(analysis)
    if lately.rate_m3_per_d is None:
        return []
    return [
        figure(
            "counted lately",
            lately.words(system),
            "beside the model's",
            equation="gas read over the time between, dry normal",
            by="mass_curve",
        )
    ]
