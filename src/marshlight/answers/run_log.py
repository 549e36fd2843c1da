"""A run's log as the calibration reads it: the model's past, and every reading with its doubt."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.analysis import Analysis
from marshlight.answers.composition import evidence_of
from marshlight.answers.simulate_past import past_of
from marshlight.answers.titrated import titrated
from marshlight.answers.watching import run_facts_of
from marshlight.decide.watch.calibration import Counted, Read, RunLog
from marshlight.matter.mixing import Part
from marshlight.measure import Analyser, Co2Absorption
from marshlight.measure.walk import VISIT_D
from marshlight.notebook.bridge import Charge, RunRecords
from marshlight.notebook.bridge.series import DetailedReading

# Steps of pH strips on sale, coarse first; common practice, no source.
_STRIP_STEPS = (0.5, 0.25, 0.2)
_FEWEST_ON_A_STRIP = 3
# Standard uncertainty of a pH: a meter in slurry, and a strip's colour judged by eye, in steps.
_METER_U, _STRIP_U_STEPS = 0.1, 0.5
_METER_STEP = 0.1
# A usual thermometer in a usual place; a lab's acids, alkalinity, ammonia. Common practice.
_THERMOMETER_U_K, _LAB_RELATIVE_U, _LAB_LEAST_U = 0.5, 0.10, 0.05
# Alkalinity by titration at the vessel: sample, strength and end point together; our choice.
_TITRATED_RELATIVE_U = 0.08
_GASES = {"CH4": "methane", "CO2": "carbon_dioxide", "O2": "oxygen"}
_ANALYTES = {"acids": "acids", "alkalinity": "alkalinity", "TAN": "ammonia"}
# Total alkalinity ends at pH 4.3, the titration here at 5.0: from there on acids' ions take up this
# share of their own acid more, by a pKa of 4.76 (source `rosen_jeppsson_2006`), as CaCO3.
_ACIDS_TO_4_3 = (0.743 - 0.365) * 50.043 / 60.05
# After these the holder is read anew.
_AFRESH = ("started", "emptied", "used", "reset", "vented", "seal_opened")
# Less than a drop of the smallest holder is no uncertainty; our choice [m3].
_LEAST_GAS_U_M3 = 1e-6
Row = tuple[float, float, float]
Shown = tuple[str, float, float]


def run_log_of(analysis: Analysis, today: float) -> RunLog:
    """Read a run's log for the calibration.

    Parameters
    ----------
    analysis : Analysis
        The run's analysis.
    today : float
        Days since its start [d]; nothing written after it counts.

    Returns
    -------
    RunLog
        With what had to be taken for granted in its notes.

    Raises
    ------
    InputError
        If vessel or charge are not known well enough, or a record cannot be.
    """
    records = analysis.records
    past = past_of(analysis, today)
    facts = run_facts_of(analysis, records.start + timedelta(days=today))
    ph = _ph(records, today)
    return RunLog(
        digester=past.digester,
        charge=past.charge,
        today=today,
        events=past.events,
        lively=(min(past.lively[0], 1.0), max(past.lively[1], 1.0)),
        food=_food(records.charges),
        gas=_counted(analysis, today),
        ph=ph,
        flame=tuple(test for test in facts.flame if 0.0 <= test[0] <= today),
        slurry_c=_slurry(records, today),
        set_point_c=facts.set_point_c,
        room_c=records.run.site.room_temperature_c,
        holder_capacity_m3=facts.holder_capacity_m3,
        liquid_m3=past.liquid_m3,
        in_trial=facts.in_trial,
        notes=(*past.notes, *_taken_for_granted(analysis, ph)),
        **_samples(records, today),
    )


def _taken_for_granted(analysis: Analysis, ph: Read | None) -> Iterator[str]:
    if analysis.ledger is None:
        yield f"Its gas is not counted: {analysis.ledger_why_not}"
    if ph is None:
        return
    if ph.step > _METER_STEP:
        yield f"Its pH is taken as read on a strip with steps of {ph.step:g}, off by half a step."
    else:
        yield f"Its pH is taken as read by a meter, good to {_METER_U:g} in slurry."


def _food(charges: Sequence[Charge]) -> tuple[float, float]:
    """Give how far off all that digests may be, by the materials' own ranges."""
    low = middle = high = 0.0
    for part in (part for charge in charges for part in charge.parts):
        held = part.feedstock.get("methane_potential")
        if held is None:
            continue
        organic = _organic_kg(part)
        low, middle, high = (
            a + organic * b
            for a, b in zip((low, middle, high), (held.low, held.value, held.high), strict=True)
        )
    usual = RunLog.food
    if middle <= 0.0:
        return usual
    return min(max(low / middle, usual[0] / 2.0), 1.0), max(high / middle, 1.0)


def _organic_kg(part: Part) -> float:
    return part.mass_kg * part.feedstock.value("TS") * part.feedstock.value("VS")


def _counted(analysis: Analysis, today: float) -> Counted | None:
    """Give the ledger's intervals; neighbours share the reading between them."""
    ledger = analysis.ledger
    if ledger is None or ledger.day.size < 2:
        return None
    start, end = ledger.day[:-1], ledger.day[1:]
    fine = (end > start) & (start >= 0.0) & (end <= today)
    if not bool(fine.any()):
        return None
    return Counted(
        start_d=start[fine],
        end_d=end[fine],
        gas_m3=np.diff(ledger.cumulative_m3)[fine],
        u_m3=np.maximum(ledger.interval_u_m3[1:][fine], _LEAST_GAS_U_M3),
        at_least=ledger.interval_lower_bound[1:][fine],
        linked=(np.r_[False, fine[:-1]] & ~_begins_afresh(analysis.records, start))[fine],
    )


def _begins_afresh(records: RunRecords, start: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Tell which intervals begin with another reading than ended the one before: after emptying."""
    breaks = [e.day for e in records.holder_log.events if e.kind in _AFRESH]
    if not breaks:
        return np.zeros(start.shape, dtype=np.bool_)
    return np.min(np.abs(start[:, None] - np.array(breaks)[None, :]), axis=1) <= VISIT_D


def _ph(records: RunRecords, today: float) -> Read | None:
    read = records.series.get("ph")
    if read is None:
        return None
    known = (read.day >= 0.0) & (read.day <= today)
    value = read.value[known]
    if not value.size:
        return None
    step = strip_step(value.tolist())
    u = _STRIP_U_STEPS * step if step > _METER_STEP else _METER_U
    return Read(read.day[known], value, np.full(value.size, u), step)


def strip_step(values: Sequence[float]) -> float:
    """Tell the step of the strip that pH readings were read on; a meter's last digit else.

    Parameters
    ----------
    values : sequence of float
        Readings as written down.

    Examples
    --------
    >>> strip_step([7.0, 6.5, 7.5]), strip_step([7.0, 7.25]), strip_step([7.02, 6.98, 7.11])
    (0.5, 0.1, 0.1)
    """
    if len(values) >= _FEWEST_ON_A_STRIP:
        for step in _STRIP_STEPS:
            marks = np.asarray(values) / step
            if bool(np.all(np.abs(marks - np.round(marks)) < 0.01)):
                return step
    return _METER_STEP


def _slurry(records: RunRecords, today: float) -> Read | None:
    read = records.series.get("slurry_temperature")
    if read is None:
        return None
    known = (read.day >= 0.0) & (read.day <= today)
    if not bool(known.any()):
        return None
    value = read.value[known]
    return Read(read.day[known], value, np.full(value.size, _THERMOMETER_U_K))


def _samples(records: RunRecords, today: float) -> Mapping[str, Read]:
    """Gather what tests and samples showed, by quantity."""
    rows: dict[str, list[Row]] = {}
    for reading in records.detailed:
        if not 0.0 <= reading.day <= today:
            continue
        for name, value, u in (*_gas_tests(reading), *_chemistry(reading)):
            rows.setdefault(name, []).append((reading.day, value, u))
    return {name: Read(*np.array(found).T) for name, found in rows.items()}


def _gas_tests(reading: DetailedReading) -> Iterator[Shown]:
    if reading.kind not in ("analyser", "co2_absorption", "lab"):
        return
    for evidence in evidence_of(reading):
        if isinstance(evidence, Analyser):
            yield _GASES[evidence.gas], evidence.share.value, evidence.share.u
        elif isinstance(evidence, Co2Absorption):
            yield "carbon_dioxide", evidence.share.value, evidence.share.u


def _chemistry(reading: DetailedReading) -> Iterator[Shown]:
    detail = reading.detail
    if reading.kind == "lab":
        name = _ANALYTES.get(str(detail.get("analyte")))
        if name is not None and reading.value is not None:
            yield name, reading.value, max(_LAB_RELATIVE_U * reading.value, _LAB_LEAST_U)
    if reading.kind != "titration":
        return
    found = titrated(reading)
    if found is None:
        return
    alkalinity = found.alkalinity_kg_m3 + _ACIDS_TO_4_3 * found.volatile_acids_kg_m3
    yield "alkalinity", alkalinity, max(_TITRATED_RELATIVE_U * alkalinity, _LAB_LEAST_U)
    yield "acids", found.volatile_acids_kg_m3, found.u_volatile_acids_kg_m3
