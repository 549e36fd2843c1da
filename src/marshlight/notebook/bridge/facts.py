"""All that a run's log says, in the engine's words, with few queries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from marshlight.apparatus import Vessel
from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import AirPressure, pressure_from_barometer
from marshlight.measure.readings import Headspace

from ..kinds import ADVICE_EVENTS, READINGS
from ..models import Event, Lot, Reading, Run, Site
from ..moments import site_zone
from .apparatus import air_pressure_of, holder_of, vessel_of
from .charges import Charge, charge_of
from .holder_log import HolderLog, holder_log
from .series import DetailedReading, LoggedEvent, Series

__all__ = ["RunRecords", "Series", "run_facts"]
SECONDS = 86_400.0
# Read with details: kept one by one; all others are plain series.
_DETAILED = tuple(kind.key for kind in READINGS.values() if kind.details)
_CHARGES = ("charge", "feed")
# Volume of a vessel from its dimensions, and of slurry from its mass; common practice, no source.
_VOLUME_RELATIVE_U = 0.03
_BAROMETER_U_KPA = 0.2
# Whole swing of a shed's temperature read as a 95 % range when only a usual value is given.
_UNSAID_ROOM_U_C = 5.0


@dataclass(frozen=True)
class RunRecords:
    """What the notebook knows of a run; days count from ``start``.

    ``holder_log``, ``barometer`` and ``headspace`` are what ``measure.build_ledger`` takes.
    """

    run: Run
    start: datetime
    series: Mapping[str, Series]
    detailed: tuple[DetailedReading, ...]
    events: tuple[LoggedEvent, ...]
    charges: tuple[Charge, ...]
    vessel: Vessel | None
    holder_log: HolderLog
    barometer: AirPressure
    headspace: Headspace | None
    slurry_m3: float | None
    notes: tuple[str, ...]

    def day_of(self, at: datetime) -> float:
        """Days since the start of the run."""
        return (at - self.start).total_seconds() / SECONDS

    @property
    def first_charge(self) -> Charge | None:
        """What the run was started with."""
        return next((c for c in self.charges if c.kind == "charge"), None)

    @property
    def feeds(self) -> tuple[Charge, ...]:
        """What came after the first charge."""
        first = self.first_charge
        return tuple(c for c in self.charges if c is not first)

    def of_kind(self, kind: str) -> tuple[DetailedReading, ...]:
        """Readings of a kind that carries details, oldest first."""
        return tuple(reading for reading in self.detailed if reading.kind == kind)


def run_facts(run: Run) -> RunRecords:
    """Gather what answers need about a run.

    Parameters
    ----------
    run
        Its record.

    Returns
    -------
    RunRecords
        Current versions only; ``notes`` say what had to be taken for granted.

    Notes
    -----
    Five queries, whatever the number of readings.
    """
    # All that is asked of the run later on: its records travel to workers without a database.
    links = ("site", "vessel", "holder", "heater", "trial_bottle")
    run = Run.objects.select_related(*links).get(pk=run.pk)
    raw = _raw_readings(run)
    raw_events = list(
        Event.objects.current()
        .filter(run=run)
        .exclude(kind__in=ADVICE_EVENTS)
        .order_by("at", "entered_at")
        .values_list("id", "at", "kind", "value", "detail", "note")
    )
    start = _start(run, [row[0] for row in raw[:1]], [row[1] for row in raw_events])
    events = tuple(
        LoggedEvent(pk, _days(at, start), at, kind, value, detail, note)
        for pk, at, kind, value, detail, note in raw_events
    )
    notes: list[str] = []
    series, detailed = _split(raw, _detailed(run), start)
    charges = _charges(run, events)
    vessel = _attempt(vessel_of, run.vessel, notes)
    log = _holder_log(run, series, events, charges, notes)
    slurry = _slurry_at_start(charges)
    return RunRecords(
        run=run,
        start=start,
        series=series,
        detailed=detailed,
        events=events,
        charges=tuple(charges.values()),
        vessel=vessel,
        holder_log=log,
        barometer=_barometer(run.site, series, notes),
        headspace=_headspace(run, vessel, slurry, series),
        slurry_m3=slurry,
        notes=(*notes, *log.notes),
    )


def _days(at: datetime, start: datetime) -> float:
    return (at - start).total_seconds() / SECONDS


def _raw_readings(run: Run) -> list[tuple[datetime, str, float]]:
    """Read the plain numbers without making an object of each."""
    rows = (
        Reading.objects.current()
        .filter(run=run, value__isnull=False)
        .exclude(kind__in=_DETAILED)
        .order_by("at")
        .values_list("at", "kind", "value")
    )
    return list(rows)


def _detailed(run: Run) -> list[tuple[datetime, str, float | None, Any]]:
    rows = Reading.objects.current().filter(run=run, kind__in=_DETAILED).order_by("at")
    return list(rows.values_list("at", "kind", "value", "detail"))


def _start(run: Run, readings: list[datetime], events: list[datetime]) -> datetime:
    """Take the recorded start, else the first thing written down."""
    if run.started_at is not None:
        return run.started_at
    known = [*readings, *events]
    # A run without a start and without a log is only planned: any day serves as day 0.
    return min(known) if known else datetime.fromisoformat("2000-01-01T00:00:00+00:00")


def _split(
    raw: list[tuple[datetime, str, float]],
    detailed: list[tuple[datetime, str, float | None, Any]],
    start: datetime,
) -> tuple[dict[str, Series], tuple[DetailedReading, ...]]:
    zero = start.timestamp()
    gathered: dict[str, tuple[list[float], list[float]]] = {}
    for at, kind, value in raw:
        days, values = gathered.setdefault(kind, ([], []))
        days.append((at.timestamp() - zero) / SECONDS)
        values.append(value)
    series = {kind: Series(np.array(d), np.array(v)) for kind, (d, v) in gathered.items()}
    told = tuple(
        DetailedReading(_days(at, start), kind, value, detail)
        for at, kind, value, detail in detailed
    )
    return series, told


def _charges(run: Run, events: Iterable[LoggedEvent]) -> dict[Any, Charge]:
    """Describe every charge and feed, its lots fetched in one query; a feed of nothing is none."""
    found = [e for e in events if e.kind in _CHARGES and e.value != 0.0]
    ids = {p["lot"] for e in found for p in e.detail.get("parts", ()) if "lot" in p}
    rows = Lot.objects.select_related("feedstock", "site").filter(pk__in=ids) if ids else ()
    lots = {str(lot.pk): lot for lot in rows}
    zone = site_zone(run.site.time_zone)
    return {
        event.id: charge_of(
            event.detail,
            kind=event.kind,
            day=event.day,
            on=event.at.astimezone(zone).date(),
            value_kg=event.value,
            lots=lots,
        )
        for event in found
    }


def _attempt(make: Any, row: Any, notes: list[str]) -> Any:
    """Build an engine object, or note why its set-up does not allow it."""
    if row is None:
        return None
    try:
        return make(row)
    except InputError as error:
        notes.append(str(error))
        return None


def _holder_log(
    run: Run,
    series: Mapping[str, Series],
    events: tuple[LoggedEvent, ...],
    charges: Mapping[Any, Charge],
    notes: list[str],
) -> HolderLog:
    first = next((k for k, c in charges.items() if c.kind == "charge"), None)

    def change(event: LoggedEvent) -> float:
        if event.kind == "draw_off":
            return -(event.value or 0.0)
        charge = charges.get(event.id)
        return charge.volume_m3 if charge is not None and event.id != first else 0.0

    return holder_log(
        _attempt(holder_of, run.holder, notes),
        series,
        events,
        room=_site_room(run.site),
        slurry_change_m3=change,
    )


def _site_room(site: Site) -> Estimate | None:
    low, high, usual = site.room_low_c, site.room_high_c, site.room_temperature_c
    if low is not None and high is not None and low < high:
        return Estimate.from_range((low + high) / 2.0 if usual is None else usual, low, high)
    return None if usual is None else Estimate(usual, _UNSAID_ROOM_U_C)


def _barometer(site: Site, series: Mapping[str, Series], notes: list[str]) -> AirPressure:
    read = series.get("barometer")
    if read is not None and read.day.size and site.barometer_kpa is None:
        return pressure_from_barometer(float(np.mean(read.value)), u_kpa=_BAROMETER_U_KPA)
    pressure, note = air_pressure_of(site)
    if note:
        notes.append(note)
    return pressure


def _slurry_at_start(charges: Mapping[Any, Charge]) -> float | None:
    first = next((c for c in charges.values() if c.kind == "charge"), None)
    if first is None:
        return None
    if first.filled_to_m3 is not None:
        return float(first.filled_to_m3)
    return first.volume_m3 or None


def _headspace(
    run: Run, vessel: Vessel | None, slurry_m3: float | None, series: Mapping[str, Series]
) -> Headspace | None:
    """Describe the vessel's own gas space, where its volume and filling are known."""
    if vessel is None or slurry_m3 is None:
        return None
    whole = vessel.total_m3
    space = whole - slurry_m3
    if space <= 0.0:
        return None
    doubt = float(np.hypot(whole, slurry_m3)) * _VOLUME_RELATIVE_U
    warm = series.get("slurry_temperature")
    if warm is not None and warm.day.size:
        spread = float(np.std(warm.value))
        temperature = Estimate(float(np.mean(warm.value)), float(np.hypot(spread, 2.0)))
    else:
        room = _site_room(run.site)
        if room is None:
            return None
        temperature = room
    return Headspace(Estimate(space, min(doubt, space / 2.0)), temperature)
