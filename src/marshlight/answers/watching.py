"""From a run's analysis to the plain facts that the assessment looks at."""

from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.drawn import FLAMES
from marshlight.answers.foreseen import gas_record
from marshlight.answers.titrated import titrated
from marshlight.answers.words import days_since
from marshlight.apparatus import Bag, DisplacementColumn, FloatingCylinder, SealedBottle
from marshlight.decide.watch.facts import Amount, RunFacts, Track
from marshlight.notebook.bridge import RunRecords, Series

# A fall further back than this has been seen and dealt with, or is in the curve; our choice.
_RECENT_D = 3.0
# A few times what the weight of a floating cylinder sets; our choice.
_RISE_KPA = 0.5
# How many looks say when the next one will be, from a night's pause to three days'; our choice.
_LOOKS, _NIGHT_D, _LONGEST_D = 8, 0.6, 3.0
# The assessment looks at the newest readings only; this many reach back far enough.
_NEWEST = 2000


def run_facts_of(analysis: Analysis, now: datetime) -> RunFacts:
    """Gather the facts of a run on the day it is looked at.

    Parameters
    ----------
    analysis : Analysis
        What the engine makes of its log.
    now : datetime
        The moment of asking; for a run that ended, its end counts.
    """
    records, run = analysis.records, analysis.records.run
    until = run.ended_at if run.ended_at is not None and run.ended_at < now else now
    content, capacity = _holder(analysis)
    methane = analysis.methane
    return RunFacts(
        day=max(days_since(records.start, until), 0.0),
        gas=gas_record(analysis.ledger),
        forecast=analysis.forecast,
        expected=analysis.foreseen.expected,
        ph=_track(records.series.get("ph")),
        slurry_c=_track(records.series.get("slurry_temperature")),
        set_point_c=_set_point(records),
        flame=tuple(
            (reading.day, FLAMES[str(reading.detail["answer"])])
            for reading in records.of_kind("flame")
            if reading.detail.get("answer") in FLAMES
        ),
        methane=None if methane is None else methane.methane,
        feeds_m3=tuple(Amount(c.day, c.volume_m3) for c in records.feeds),
        draw_offs_m3=_amounts(records, "draw_off"),
        doses_kg=_amounts(records, "dose", substance="bicarbonate"),
        liquid_m3=analysis.slurry_m3,
        alkalinity_kg_m3=_alkalinity(records),
        holder_capacity_m3=capacity,
        holder_content_m3=content,
        holder_fell_m3=_fell(analysis),
        # A sealed bottle is read by its pressure: there a rise is gas, not trouble.
        pressure_rose=capacity is not None and _pressure_rose(records.series.get("pressure")),
        fed=bool(records.feeds),
        sealed=isinstance(records.holder_log.holder, SealedBottle),
        in_trial=hasattr(run, "trial_bottle"),
        night_d=_between_looks(analysis),
    )


def _between_looks(analysis: Analysis) -> float:
    """Give the longest of the last few pauses between looks at the holder, a night at least [d]."""
    days = sorted(reading.day for reading in analysis.records.holder_log.readings)[-_LOOKS:]
    pauses = np.diff(days)
    return float(np.clip(np.max(pauses, initial=_NIGHT_D), _NIGHT_D, _LONGEST_D))


def _track(series: Series | None) -> Track:
    if series is None:
        return Track()
    return Track(tuple(series.day[-_NEWEST:].tolist()), tuple(series.value[-_NEWEST:].tolist()))


def _set_point(records: RunRecords) -> float | None:
    """Give what the thermostat was last set to, else what the heater was set up with."""
    for event in reversed(records.events):
        if event.kind == "set_point" and event.value is not None:
            return event.value
    return records.run.heater.set_point_c if records.run.heater is not None else None


def _amounts(records: RunRecords, kind: str, *, substance: str = "") -> tuple[Amount, ...]:
    return tuple(
        Amount(event.day, event.value)
        for event in records.events
        if event.kind == kind
        and event.value is not None
        and (not substance or event.detail.get("substance") == substance)
    )


def _alkalinity(records: RunRecords) -> float | None:
    """Give the newest alkalinity, from a titration or a lab [kg CaCO3/m3]."""
    found: tuple[float, float] | None = None
    for reading in records.of_kind("lab"):
        if reading.detail.get("analyte") == "alkalinity" and reading.value is not None:
            found = (reading.day, reading.value)
    for reading in records.of_kind("titration"):
        buffer = titrated(reading)
        if buffer is not None and (found is None or reading.day >= found[0]):
            found = (reading.day, buffer.alkalinity_kg_m3)
    return None if found is None else found[1]


def _holder(analysis: Analysis) -> tuple[float | None, float | None]:
    """Give the gas in the holder as it stands, and the most it takes [m3]."""
    holder = analysis.records.holder_log.holder
    if not isinstance(holder, (FloatingCylinder, Bag, DisplacementColumn)):
        return None, None
    newest = max(
        (analysis.latest[k] for k in ("level", "volume") if k in analysis.latest),
        key=lambda reading: reading.at,
        default=None,
    )
    capacity = float(holder.capacity_m3)
    if newest is None or newest.value is None:
        return None, capacity
    if newest.kind == "volume" or isinstance(holder, Bag):
        return (newest.value if newest.kind == "volume" else None), capacity
    return float(holder.gas_volume_m3(max(newest.value, 0.0))), capacity


def _fell(analysis: Analysis) -> float:
    """Add up the recent falls of the holder that nothing noted explains [m3]."""
    ledger, holder = analysis.ledger, analysis.records.holder_log.holder
    if ledger is None or not isinstance(holder, (FloatingCylinder, Bag, DisplacementColumn)):
        return 0.0
    readings = sorted(analysis.records.holder_log.readings, key=lambda r: r.day)
    if not readings:
        return 0.0
    recent = readings[-1].day - _RECENT_D
    days = np.array([reading.day for reading in readings])
    total = 0.0
    for note in ledger.notes:
        if note.kind != "fell" or note.day < recent:
            continue
        at = int(np.searchsorted(days, note.day - 1e-6))
        if 0 < at < len(readings) and readings[at].way == readings[at - 1].way:
            before, after = readings[at - 1].value, readings[at].value
            if readings[at].way != "volume" and not isinstance(holder, Bag):
                before, after = (float(holder.gas_volume_m3(max(v, 0.0))) for v in (before, after))
            total += max(before - after, 0.0)
    return total


def _pressure_rose(series: Series | None) -> bool:
    """Say whether the vessel's gauge climbed since the look before."""
    return (
        series is not None
        and series.day.size > 1
        and (float(series.value[-1] - series.value[-2]) > _RISE_KPA)
    )
