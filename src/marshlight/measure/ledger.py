"""The gas ledger: all gas a run has given, as far as it could be seen."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from marshlight.apparatus import (
    DisplacementColumn,
    FloatingCylinder,
    Holder,
    MassLoss,
    SealedBottle,
)
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import AirPressure
from marshlight.measure.barrier import co2_loss_upper_m3
from marshlight.measure.contents import Contents, account
from marshlight.measure.displaced import displaced_air
from marshlight.measure.merge import merge_contradictions
from marshlight.measure.metered import with_metered
from marshlight.measure.readings import Headspace, HolderEvent, HolderReading, Instruments
from marshlight.measure.rows import Rows, lay_out
from marshlight.measure.summing import sum_up
from marshlight.measure.surroundings import BoolArray, FloatArray, Surroundings
from marshlight.measure.walk import VISIT_D, LedgerNote, walk


@dataclass(frozen=True)
class Intervals:
    """Gas between one point of a ledger and the next, dry normal.

    Parameters
    ----------
    start, end : array, shape (n - 1,)
        Days since the run began [d].
    volume_m3, u_m3 : array, shape (n - 1,)
        Gas and its standard uncertainty; neighbours are correlated [m3].
    lower_bound : array of bool, shape (n - 1,)
        True where some gas of the interval was unseen.
    """

    start: FloatArray
    end: FloatArray
    volume_m3: FloatArray
    u_m3: FloatArray
    lower_bound: BoolArray


@dataclass(frozen=True)
class GasLedger:
    """Gas produced since the start, dry at 0 degC and 101.325 kPa.

    Parameters
    ----------
    day : array, shape (n,)
        Days since the run began, rising [d].
    cumulative_m3 : array, shape (n,)
        Biogas produced: what left the head-space, plus what the head-space gained [m3].
    u_m3 : array, shape (n,)
        Standard uncertainty of the cumulative gas, all parts [m3].
    u_random_m3, u_shared_m3 : array, shape (n,)
        Its part fresh at each reading, and its part shared by all readings [m3].
    lower_bound : array of bool, shape (n,)
        True once some gas before this point went unseen.
    passed_m3 : array, shape (n,)
        Gas passed on to the holder, air included [m3].
    displaced_air_m3 : array, shape (n,)
        Air among it, pushed out of the head-space [m3].
    air_left_m3 : array, shape (n,)
        Air still in the head-space [m3].
    notes : tuple of LedgerNote
        What the reader must know, in order of time.
    co2_lost_upper_m3 : float
        Most carbon dioxide the barrier liquid can have taken; the least is zero [m3].
    interval_u_m3, interval_lower_bound : array, shape (n,)
        For the interval that ends at each point.
    air_share : array, shape (n,)
        Share of air in the head-space gas, zero where no head-space is known [-].
    sources : tuple of str
        Keys of the sources that the figures rest on.
    held_m3 : array, shape (n,)
        Gas in the head-space at each point, zero where none is known [m3].
    """

    day: FloatArray
    cumulative_m3: FloatArray
    u_m3: FloatArray
    u_random_m3: FloatArray
    u_shared_m3: FloatArray
    lower_bound: BoolArray
    passed_m3: FloatArray
    displaced_air_m3: FloatArray
    air_left_m3: FloatArray
    notes: tuple[LedgerNote, ...]
    co2_lost_upper_m3: float
    interval_u_m3: FloatArray
    interval_lower_bound: BoolArray
    air_share: FloatArray = field(default_factory=lambda: np.zeros(0))
    sources: tuple[str, ...] = ()
    held_m3: FloatArray = field(default_factory=lambda: np.zeros(0))

    @property
    def intervals(self) -> Intervals:
        """The same gas, interval by interval."""
        return Intervals(
            self.day[:-1],
            self.day[1:],
            np.diff(self.cumulative_m3),
            self.interval_u_m3[1:],
            self.interval_lower_bound[1:],
        )

    @property
    def total(self) -> Estimate:
        """All gas so far; zero if nothing was read [m3]."""
        if self.day.size == 0:
            return Estimate(0.0, 0.0)
        return Estimate(float(self.cumulative_m3[-1]), float(self.u_m3[-1]))


def build_ledger(
    holder: Holder,
    readings: Sequence[HolderReading],
    events: Sequence[HolderEvent] = (),
    *,
    barometer: AirPressure,
    headspace: Headspace | None = None,
    instruments: Instruments | None = None,
    methane_share: Estimate | None = None,
    room_temperature: Estimate | None = None,
) -> GasLedger:
    """Turn a log of readings and events into gas produced, with its uncertainty.

    Parameters
    ----------
    holder : Holder
        The apparatus that was read.
    readings : sequence of HolderReading
        In any order.
    events : sequence of HolderEvent
        In any order; a "started" event fixes the zero.
    barometer : AirPressure
        Outside pressure for readings that bring none [kPa].
    headspace : Headspace, optional
        Gas space of the vessel; without it, warming and weather in that space pass
        for gas. Not used with a sealed bottle, which is its own.
    instruments : Instruments, optional
        How well thermometers and barometer are read.
    methane_share : Estimate, optional
        Dry methane share; needed by mass loss, sharpens the bound on lost CO2 [-].
    room_temperature : Estimate, optional
        Temperature of the holder where no reading gives one [degC].

    Returns
    -------
    GasLedger
        Gas produced at each point.

    Raises
    ------
    InputError
        If a reading is impossible or something needed is missing.

    Notes
    -----
    Gas in holder and head-space is added up at each reading; differences are summed
    over stretches without a break. Fresh uncertainty therefore counts only at the
    ends of a stretch, while bore, gauges and calibrations act on the whole sum.
    Readings that share a time are merged: within three standard uncertainties by
    their weights, else by their plain mean with half their spread as uncertainty.

    References
    ----------
    hafner_2020_doc_201; gum_2008.

    Examples
    --------
    >>> from marshlight.apparatus import FloatingCylinder
    >>> from marshlight.matter.atmosphere import pressure_from_altitude
    >>> drum = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25)
    >>> log = [HolderReading(day, level, temperature_c=18.0) for day, level in
    ...        ((1.0, 0.05), (2.0, 0.12), (3.0, 0.21))]
    >>> ledger = build_ledger(drum, log, [HolderEvent(0.0, "started")],
    ...                       barometer=pressure_from_altitude(640.0))
    >>> [round(float(v) * 1e3, 2) for v in ledger.cumulative_m3]
    [0.0, 1.09, 2.15, 3.5]
    """
    if not _anything_read(readings, events):
        return _nothing_read()
    around = Surroundings(barometer, headspace, instruments or Instruments(), room_temperature)
    readings, events, notes = _since_start(readings, events)
    readings = _no_lower_than_rest(holder, readings, notes)
    rows = lay_out(holder, readings, events, around)
    contents = account(holder, rows, around, methane=methane_share)
    contents = with_metered(contents, rows, holder)
    rows, contents, disagreements = merge_contradictions(rows, contents)
    notes += disagreements + _start_notes(holder, rows, contents)
    if rows.filled_in:
        text = f"{rows.filled_in} readings lack a gas temperature: filled in, with more doubt."
        notes.append(LedgerNote(float(rows.day[0]), text, "filled_in"))
    if rows.overfull_from is not None:
        text = "More liquid went in than the gas space holds: it is taken to have left as it came."
        notes.append(LedgerNote(rows.overfull_from, text, "overfull"))
    path = walk(holder, rows, contents)
    total = sum_up(rows, contents, path)
    flushed = headspace is not None and not headspace.starts_as_air
    pushed, left = displaced_air(contents, path, total, starts_as_air=not flushed)
    space = contents.headspace_m3[total.row]
    return GasLedger(
        day=rows.day[total.row],
        cumulative_m3=total.cumulative_m3,
        u_m3=np.hypot(total.u_random_m3, total.u_shared_m3),
        u_random_m3=total.u_random_m3,
        u_shared_m3=total.u_shared_m3,
        lower_bound=np.logical_or.accumulate(total.interval_unseen),
        passed_m3=total.cumulative_m3 - (space - space[:1]),
        displaced_air_m3=pushed,
        air_left_m3=left,
        notes=tuple(sorted([*notes, *path.notes], key=lambda note: note.day)),
        co2_lost_upper_m3=_barrier_loss(holder, rows, methane_share),
        interval_u_m3=total.interval_u_m3,
        interval_lower_bound=total.interval_unseen,
        air_share=np.divide(left, space, out=np.zeros_like(left), where=space > 0.0),
        sources=_sources(holder, around),
        held_m3=space,
    )


def _sources(holder: Holder, around: Surroundings) -> tuple[str, ...]:
    keys = ["hafner_2020_doc_201", "iapws_sr1_86", "gum_2008", "instrument_practice"]
    keys += [*holder.SOURCES, *around.barometer.sources]
    if isinstance(holder, FloatingCylinder | DisplacementColumn):
        keys += [holder.liquid.source, "iapws_g7_04", "barrier_exchange"]
    if around.headspace is not None:
        keys.append("mixed_headspace")
    return tuple(dict.fromkeys(keys))


def _anything_read(readings: Sequence[HolderReading], events: Sequence[HolderEvent]) -> bool:
    told = ((e.level_before, e.level_after, e.metered_m3) for e in events)
    return bool(readings) or any(part is not None for levels in told for part in levels)


def _nothing_read() -> GasLedger:
    none, never = np.zeros(0), np.zeros(0, dtype=np.bool_)
    return GasLedger(none, none, none, none, none, never, none, none, none, (), 0.0, none, never)


def _since_start(
    readings: Sequence[HolderReading], events: Sequence[HolderEvent]
) -> tuple[Sequence[HolderReading], Sequence[HolderEvent], list[LedgerNote]]:
    starts = [event.day for event in events if event.kind == "started"]
    if not starts:
        return readings, events, []
    start = min(starts)
    kept = [reading for reading in readings if reading.day >= start]
    dropped = len(readings) - len(kept)
    text = f"{dropped} readings from before the start are left out of the sum."
    notes = [LedgerNote(start, text, "before_start")] if dropped else []
    return kept, [event for event in events if event.day >= start], notes


def _no_lower_than_rest(
    holder: Holder, readings: Sequence[HolderReading], notes: list[LedgerNote]
) -> Sequence[HolderReading]:
    """Take a level below the mark of rest as rest: the eye saw it, so it is not refused."""
    low = [r.day for r in readings if r.value < 0.0 and (r.way or "level") == "level"]
    if not low or "level" not in holder.WAYS:
        return readings
    text = f"{len(low)} levels below the mark of rest are taken as empty: check where zero is."
    notes.append(LedgerNote(low[0], text, "below_rest"))
    return [replace(r, value=0.0) if r.value < 0.0 else r for r in readings]


def _start_notes(holder: Holder, rows: Rows, contents: Contents) -> list[LedgerNote]:
    """Mark the whole log if gas was there before its first reading."""
    if rows.day.size == 0 or any(event.kind == "started" for event in rows.events):
        return []
    if rows.day[0] <= VISIT_D or not _shows_gas(holder, rows):
        return []
    contents.unseen[0] = True
    text = "No start is recorded: gas made before the first reading is unseen."
    return [LedgerNote(float(rows.day[0]), text, "no_start")]


def _shows_gas(holder: Holder, rows: Rows) -> bool:
    first = float(rows.value[0])
    if isinstance(holder, FloatingCylinder | DisplacementColumn):
        return first > holder.u_level_m
    if isinstance(holder, SealedBottle):
        return first > 3.0 * holder.u_gauge_kpa
    return isinstance(holder, MassLoss) or first > 0.0


def _barrier_loss(holder: Holder, rows: Rows, methane: Estimate | None) -> float:
    if not isinstance(holder, FloatingCylinder | DisplacementColumn) or rows.day.size == 0:
        return 0.0
    richest = 1.0 if methane is None else 1.0 - (methane.value - 2.0 * methane.u)
    return co2_loss_upper_m3(
        holder.liquid,
        holder.bath_m3,
        co2_share=min(max(richest, 0.0), 1.0),
        temperature_c=float(np.min(rows.temperature_c)),
        pressure_kpa=float(np.max(rows.air_kpa)),
        open_area_m2=holder.open_area_m2,
        days=float(rows.day[-1] - rows.day[0]),
    )
