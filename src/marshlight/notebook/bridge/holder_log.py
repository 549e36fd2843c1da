"""What was read at a holder and done to it, as the gas ledger takes it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus import Counter, Holder, MassLoss, SealedBottle
from marshlight.estimate import Estimate
from marshlight.measure.readings import HolderEvent, HolderReading, Instruments

from .series import LoggedEvent, Series

FloatArray = NDArray[np.float64]
# A temperature or pressure read within so long of a level belongs to it [d].
NEAR_D = 0.25
# A first reading within half an hour of the start is the state it started from.
_AT_START_D = 0.02
# Gas in a holder follows the room, not exactly; common practice, no source.
_ROOM_FOR_GAS_U_C = 2.0
_WAYS: Mapping[str, tuple[tuple[str, str], ...]] = {
    "Counter": (("counter", "volume"), ("collected", "volume")),
    "SealedBottle": (("pressure", "gauge"),),
    "MassLoss": (("mass", "mass"),),
}
_HELD = (("level", "level"), ("volume", "volume"))


@dataclass(frozen=True)
class HolderLog:
    """Ready for ``measure.build_ledger``; days count from the start of the run."""

    holder: Holder | None
    readings: tuple[HolderReading, ...] = ()
    events: tuple[HolderEvent, ...] = ()
    instruments: Instruments = field(default_factory=Instruments)
    room: Estimate | None = None
    notes: tuple[str, ...] = ()


def holder_log(
    holder: Holder | None,
    series: Mapping[str, Series],
    events: Sequence[LoggedEvent],
    *,
    room: Estimate | None,
    slurry_change_m3: Callable[[LoggedEvent], float],
) -> HolderLog:
    """Collect a holder's readings and events.

    Parameters
    ----------
    holder
        The engine's holder, or None when none was set up.
    series
        Readings by kind, days and base units.
    events
        Everything done to the run.
    room
        Usual temperature around the holder [degC].
    slurry_change_m3
        Liquid that an event put in (positive) or took out [m3].

    Returns
    -------
    HolderLog
        With notes on what had to be taken for granted.
    """
    notes: list[str] = []
    holder, ways = _ways(holder, series, notes)
    if holder is None:
        return HolderLog(None, room=room, notes=tuple(notes))
    read = [
        (way, _summed(series[kind]) if kind == "collected" else series[kind])
        for kind, way in ways
        if kind in series
    ]
    gas_c, instruments = _gas_temperatures(series)
    near = _Near(gas_c, series.get("slurry_temperature"), series.get("barometer"))
    start, read = _start(holder, read, {kind for kind, _ in ways if kind in series}, notes)
    readings = [r for way, one in read for r in near.readings(way, one)]
    done = [e for e in (_event(holder, e, slurry_change_m3) for e in events) if e is not None]
    return HolderLog(
        holder,
        tuple(readings),
        (*start, *done),
        instruments=instruments,
        room=_room(series.get("room_temperature"), room),
        notes=tuple(notes),
    )


def _ways(
    holder: Holder | None, series: Mapping[str, Series], notes: list[str]
) -> tuple[Holder | None, tuple[tuple[str, str], ...]]:
    """Settle which kinds of reading count for this holder."""
    if holder is not None:
        ways = _WAYS.get(type(holder).__name__, _HELD)
        if any(kind in series for kind, _ in ways):
            return holder, ways
    for kind in ("counter", "collected"):
        if kind in series:
            if holder is not None:
                notes.append("The holder itself was never read; the gas counted is used.")
            # A volume noted in cubic metres has no cell that could stand half filled.
            return Counter(per_count_m3=1.0, u_counts=0.0), ((kind, "volume"),)
    if holder is None:
        notes.append("No gas holder is set up for this run, so its gas cannot be measured.")
    return holder, _WAYS.get(type(holder).__name__, _HELD) if holder is not None else ()


def _summed(collected: Series) -> Series:
    """Turn gas since the last look into a register that only rises."""
    return Series(collected.day, np.cumsum(collected.value))


def _start(
    holder: Holder,
    read: list[tuple[str, Series]],
    kinds: set[str],
    notes: list[str],
) -> tuple[list[HolderEvent], list[tuple[str, Series]]]:
    """Say from which state the holder started."""
    for place, (way, one) in enumerate(read):
        at_start = np.flatnonzero(np.abs(one.day) <= _AT_START_D)
        if at_start.size and not kinds & {"collected"}:
            first = int(at_start[0])
            kept = Series(np.delete(one.day, first), np.delete(one.value, first))
            begun = HolderEvent(0.0, "started", level_after=float(one.value[first]), way=way)
            return [begun], [*read[:place], (way, kept), *read[place + 1 :]]
    if isinstance(holder, MassLoss) or (isinstance(holder, Counter) and "collected" not in kinds):
        if read:
            notes.append(
                "It was not read at the start: gas before the first reading is not counted."
            )
        return [], read
    if not isinstance(holder, Counter | SealedBottle) and read:
        notes.append("The holder is taken to have stood empty at the start.")
    if isinstance(holder, Counter):
        return [HolderEvent(0.0, "started", level_after=0.0, way="volume")], read
    return [HolderEvent(0.0, "started")], read


def _gas_temperatures(series: Mapping[str, Series]) -> tuple[Series | None, Instruments]:
    """Take the gas's own thermometer, else the room's with more doubt."""
    if "gas_temperature" in series:
        return series["gas_temperature"], Instruments()
    usual = Instruments()
    doubt = float(np.hypot(usual.u_temperature_c, _ROOM_FOR_GAS_U_C))
    return series.get("room_temperature"), Instruments(u_temperature_c=doubt)


def _room(read: Series | None, room: Estimate | None) -> Estimate | None:
    if read is None or not read.day.size:
        return room
    spread = float(np.std(read.value)) if read.value.size > 1 else 0.0
    return Estimate(float(np.mean(read.value)), float(np.hypot(spread, _ROOM_FOR_GAS_U_C)))


class _Near:
    """Puts to each level the temperatures and the pressure read near it."""

    def __init__(self, gas: Series | None, slurry: Series | None, air: Series | None) -> None:
        self.beside = (gas, slurry, air)

    def readings(self, way: str, read: Series) -> list[HolderReading]:
        """Make the ledger's readings of one series."""
        gas, slurry, air = (_nearest(read.day, one) for one in self.beside)
        rows = zip(read.day.tolist(), read.value.tolist(), gas, slurry, air, strict=True)
        return [HolderReading(d, v, way, g, s, a) for d, v, g, s, a in rows]


def _nearest(day: FloatArray, other: Series | None) -> list[float | None]:
    """Give the nearest of another series to each day, None where none is near."""
    if other is None or not other.day.size:
        return [None] * day.size
    after = np.clip(np.searchsorted(other.day, day), 0, other.day.size - 1)
    before = np.maximum(after - 1, 0)
    closer = np.where(
        np.abs(other.day[before] - day) <= np.abs(other.day[after] - day), before, after
    )
    near = np.abs(other.day[closer] - day) <= NEAR_D
    if not near.any():
        near[:] = True  # read now and then only: the nearest still beats none
    found = other.value[closer].tolist()
    return [value if ok else None for value, ok in zip(found, near.tolist(), strict=True)]


def _event(
    holder: Holder, event: LoggedEvent, slurry_change_m3: Callable[[LoggedEvent], float]
) -> HolderEvent | None:
    make = _EVENTS.get(event.kind)
    if make is not None:
        return make(holder, event)
    if event.kind in {"charge", "feed", "draw_off"} and event.day > 0.0:
        change = slurry_change_m3(event)
        if change:
            return HolderEvent(event.day, "slurry_changed", slurry_change_m3=change)
    return None


def _level_way(holder: Holder) -> str:
    return "level" if "level" in holder.WAYS else ""


def _emptied(holder: Holder, event: LoggedEvent) -> HolderEvent:
    left = event.detail.get("volume_left")
    if event.value is not None and "level" in holder.WAYS:
        return HolderEvent(event.day, "emptied", level_after=event.value, way="level")
    if left is not None and "volume" in holder.WAYS:
        return HolderEvent(event.day, "emptied", level_after=left, way="volume")
    return HolderEvent(event.day, "emptied")


def _reset(holder: Holder, event: LoggedEvent) -> HolderEvent:
    before: Any = event.detail.get("level_before")
    after, way = event.value, _level_way(holder)
    if event.detail.get("volume_after") is not None and "volume" in holder.WAYS:
        before, after, way = None, event.detail["volume_after"], "volume"
    return HolderEvent(event.day, "reset", level_before=before, level_after=after, way=way)


def _gas_left(holder: Holder, event: LoggedEvent) -> HolderEvent:
    """Describe gas used or vented; a bottle of which no more is said was let off whole."""
    after = event.detail.get("level_after") if "level" in holder.WAYS else None
    vented = event.kind == "gas_vented" and (isinstance(holder, SealedBottle) or after is not None)
    return HolderEvent(
        event.day,
        "vented" if vented else "used",
        level_after=after,
        way=_level_way(holder) if after is not None else "",
        metered_m3=event.value,
    )


def _named(kind: str) -> Callable[[Holder, LoggedEvent], HolderEvent]:
    return lambda _, event: HolderEvent(event.day, kind)


_EVENTS: Mapping[str, Callable[[Holder, LoggedEvent], HolderEvent]] = {
    "holder_emptied": _emptied,
    "holder_reset": _reset,
    "gas_used": _gas_left,
    "gas_vented": _gas_left,
    "overflow": _named("overflowed"),
    "seal_opened": _named("seal_opened"),
}
