"""Readings and the states after events, laid out as columns in order of time."""

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus import Counter, FloatingCylinder, Holder, MassLoss, SealedBottle
from marshlight.errors import require
from marshlight.measure.readings import HolderEvent, HolderReading
from marshlight.measure.surroundings import (
    BoolArray,
    FloatArray,
    Surroundings,
    air_pressures,
    gas_temperatures,
    vessel_temperatures,
)

_READ, _STATE, _READ_AFTER = 0, 1, 2
_EMPTIES = ("started", "emptied", "vented")
# A counter and a scale don't notice an emptied holder, only a new zero.
_SETS = ("started", "reset", "slurry_changed")
# Share of the head-space that fed liquid may take up before it must have gone elsewhere.
_FULLEST = 0.9


@dataclass(frozen=True)
class Rows:
    """Columns of n rows, each a reading or the known state just after an event.

    ``emptied`` marks states in which the holder stood open; ``state_of`` gives a
    state's event or -1; ``u_..`` are standard uncertainties fresh at each row.
    ``event_at[k]`` is the row before which event k happened.
    """

    day: FloatArray
    value: FloatArray
    way: NDArray[np.str_]
    temperature_c: FloatArray
    u_temperature_c: FloatArray
    vessel_c: FloatArray
    u_vessel_c: FloatArray
    air_kpa: FloatArray
    u_air_kpa: FloatArray
    u_air_shared_kpa: FloatArray
    headspace_m3: FloatArray
    emptied: BoolArray
    state_of: NDArray[np.int64]
    events: tuple[HolderEvent, ...]
    event_at: tuple[int, ...]
    filled_in: int
    overfull_from: float | None


def lay_out(
    holder: Holder,
    readings: Sequence[HolderReading],
    events: Sequence[HolderEvent],
    around: Surroundings,
) -> Rows:
    """Lay readings and events out in order of time and fill in what wasn't read.

    Parameters
    ----------
    holder : Holder
        The apparatus that was read.
    readings, events : sequence
        In any order.
    around : Surroundings
        Air, head-space, instruments and room.

    Returns
    -------
    Rows
        Columns in order of time.

    Raises
    ------
    InputError
        If a value is no number, a way unknown, or a needed temperature nowhere given.
    """
    ordered = tuple(sorted(events, key=lambda event: event.day))
    default = next(iter(holder.WAYS))
    start = min((e.day for e in ordered if e.kind == "started"), default=math.nan)
    entries = _entries(readings, ordered, default, start)
    entries += _state_entries(holder, ordered, default)
    day = np.array([e.day for e in entries], dtype=np.float64)
    rank = np.array([e.rank for e in entries], dtype=np.int64)
    order = np.lexsort((rank, day))
    entries = [entries[i] for i in order]
    day, rank = day[order], rank[order]
    value = np.array([e.value for e in entries], dtype=np.float64)
    emptied = np.array([e.emptied for e in entries], dtype=np.bool_)
    ways = np.array([e.way for e in entries], dtype=np.str_)
    _require_possible(holder, entries, day, value)
    _require_ways(holder, ways)
    state_of = np.array([e.state_of for e in entries], dtype=np.int64)
    beside = [[e.temperature_c, e.vessel_c, e.air_kpa] for e in entries]
    read, read_vessel, read_air = np.array(beside, dtype=np.float64).reshape(-1, 3).T
    temperature, u_temperature, missing = gas_temperatures(holder, day, read, read_vessel, around)
    vessel, u_vessel = vessel_temperatures(day, read_vessel, around)
    air, u_air, u_shared = air_pressures(read_air, around)
    space = _gas_space(holder, around)
    keys = list(zip(day.tolist(), rank.tolist(), strict=True))
    event_at = tuple(bisect_left(keys, (event.day, _STATE)) for event in ordered)
    slurry_in, overfull = _slurry_in(len(entries), ordered, event_at, space)
    return Rows(
        day=day,
        value=value,
        way=ways,
        temperature_c=temperature,
        u_temperature_c=u_temperature,
        vessel_c=vessel,
        u_vessel_c=u_vessel,
        air_kpa=air,
        u_air_kpa=u_air,
        u_air_shared_kpa=u_shared,
        headspace_m3=space - slurry_in if space else np.zeros(len(entries)),
        emptied=emptied,
        state_of=state_of,
        events=ordered,
        event_at=event_at,
        filled_in=int(np.count_nonzero(missing & (state_of < 0))),
        overfull_from=overfull,
    )


class _Entry(NamedTuple):
    day: float
    rank: int
    value: float
    way: str
    temperature_c: float
    vessel_c: float
    air_kpa: float
    emptied: bool = False
    state_of: int = -1


def _entries(
    readings: Sequence[HolderReading], events: Sequence[HolderEvent], way: str, start: float
) -> list[_Entry]:
    nan = math.nan
    left = _left_after(readings, events)
    entries = [
        _Entry(
            r.day,
            _READ_AFTER
            if r.after_event or r.day == start or (r.day in left and r.value <= left[r.day])
            else _READ,
            r.value,
            r.way or way,
            nan if r.temperature_c is None else r.temperature_c,
            nan if r.vessel_temperature_c is None else r.vessel_temperature_c,
            nan if r.air_pressure_kpa is None else r.air_pressure_kpa,
        )
        for r in readings
    ]
    told = [event for event in events if event.level_before is not None]
    for event in told:
        before = cast(float, event.level_before)
        entries.append(_Entry(event.day, _READ, before, event.way or way, nan, nan, nan))
    return entries


def _left_after(
    readings: Sequence[HolderReading], events: Sequence[HolderEvent]
) -> dict[float, float]:
    """Give the highest value that a reading of an emptying's own time can have after it.

    Who notes "emptied" and "level 0" at one time means that order; 2 % of the highest
    value read is allowed for what stays in.
    """
    slack = 0.02 * max((abs(reading.value) for reading in readings), default=0.0)
    emptied = [e for e in events if e.kind in _EMPTIES]
    return {e.day: (e.level_after or 0.0) + slack for e in emptied}


def _state_entries(holder: Holder, events: Sequence[HolderEvent], way: str) -> list[_Entry]:
    """Make the states known just after events: stated levels, and what stands open."""
    nan = math.nan
    adds_up = isinstance(holder, (Counter, MassLoss))
    entries = []
    for index, event in enumerate(events):
        told = event.way or way
        # Metered gas bridges the emptying, so what follows is one more reading.
        of = -1 if event.metered_m3 is not None else index
        stated = event.level_after if not (adds_up and event.kind not in _SETS) else None
        if stated is not None and not _let_out(holder, event, told):
            entries.append(_Entry(event.day, _STATE, stated, told, nan, nan, nan, False, of))
        elif event.kind in _EMPTIES and not adds_up:
            entries.append(_Entry(event.day, _STATE, 0.0, told, nan, nan, nan, True, of))
    return entries


def _let_out(holder: Holder, event: HolderEvent, way: str) -> bool:
    """Say whether a cylinder back on its rest is known to hold no pressure either."""
    if not isinstance(holder, FloatingCylinder) or event.level_after is None or way != "level":
        return False
    return event.kind in _EMPTIES and event.level_after <= holder.u_level_m


def _require_possible(
    holder: Holder, entries: Sequence[_Entry], day: FloatArray, value: FloatArray
) -> None:
    air = np.array([e.air_kpa for e in entries], dtype=np.float64)
    # A bottle cooled after closing reads below the outside pressure.
    least = -100.0 if isinstance(holder, SealedBottle) else 0.0
    impossible = {
        "day": (~np.isfinite(day), day, "a finite number"),
        "value": (~(np.isfinite(value) & (value >= least)), value, f"at least {least:g}"),
        "air_pressure_kpa": ((air < 30.0) | (air > 115.0), air, "30 to 115 kPa absolute"),
    }
    for field, (bad, values, allowed) in impossible.items():
        require(
            not bool(np.any(bad)),
            field=field,
            value=float(values[bad][0]) if np.any(bad) else 0.0,
            allowed=allowed,
            remedy="Correct or retract the reading",
        )


def _require_ways(holder: Holder, ways: NDArray[np.str_]) -> None:
    for way in np.unique(ways):
        require(
            str(way) in holder.WAYS,
            field="way",
            value=str(way),
            allowed=", ".join(holder.WAYS),
            remedy="Choose a way in which this holder can be read",
        )


def _gas_space(holder: Holder, around: Surroundings) -> float:
    if isinstance(holder, SealedBottle):
        return holder.headspace_m3
    return 0.0 if around.headspace is None else around.headspace.volume_m3.value


def _slurry_in(
    count: int, events: Sequence[HolderEvent], at: Sequence[int], space_m3: float
) -> tuple[FloatArray, float | None]:
    """Follow the liquid put in, and say from which day it can no longer all have stayed in.

    A vessel with an overflow keeps its level though only its feeding is written down.
    """
    added, total, overfull = np.zeros(count), 0.0, None
    for event, row in zip(events, at, strict=True):
        total += event.slurry_change_m3
        if total > _FULLEST * space_m3:
            total = _FULLEST * space_m3
            overfull = event.day if overfull is None else overfull
        added[row:] = total
    return added, overfull
