"""How big a gas holder must be, when it is full and when to empty it; how full a vessel may be."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.apparatus.vessel import Vessel
from marshlight.errors import require
from marshlight.estimate import Range

Floats = NDArray[np.float64]
# Two thirds, never past three quarters, half where it froths (source `practice_fill`).
USUAL_FILL, MOST_FILL, FROTHING_FILL = 2.0 / 3.0, 0.75, 0.5
# Reserve on a computed holder (source `gtz_storage`): 10 to 20 %.
RESERVE = (0.10, 0.20)


@dataclass(frozen=True)
class Storage:
    """Holder volume for a repeating day [m3], its share of a day's gas [-], and what binds."""

    volume_m3: float
    share_of_day: float
    peak_draw_m3: float
    longest_pause_m3: float

    @property
    def with_reserve_m3(self) -> tuple[float, float]:
        """Volume with 10 and with 20 % reserve [m3]."""
        return self.volume_m3 * (1.0 + RESERVE[0]), self.volume_m3 * (1.0 + RESERVE[1])


def storage_needed(made_m3: ArrayLike, used_m3: ArrayLike) -> Storage:
    """Return the holder volume for a day that repeats itself.

    Parameters
    ----------
    made_m3, used_m3 : array_like, shape (n,)
        Gas made and used in each of n equal parts of the day, zero or more [m3].

    Returns
    -------
    Storage
        By the mass curve, with the two simpler figures of the trade beside it.

    Raises
    ------
    InputError
        If the parts differ in number, or more is used than made.

    Notes
    -----
    Largest less smallest running sum of supply minus use, begun anywhere, as the day
    repeats. Where less is used than made the rest is vented, which this figure doesn't hold.
    The simpler figures are the largest draw of one period of use, less what comes in
    meanwhile, and what comes in during the longest pause.

    References
    ----------
    mass_curve; gtz_storage.

    Examples
    --------
    >>> use = [0.4 if hour in (6, 7, 12, 18, 19, 20) else 0.0 for hour in range(24)]
    >>> round(storage_needed([0.1] * 24, use).volume_m3, 3)
    0.9
    """
    made = np.atleast_1d(np.asarray(made_m3, dtype=np.float64))
    used = np.atleast_1d(np.asarray(used_m3, dtype=np.float64))
    require(
        made.shape == used.shape and bool(np.all(made >= 0.0) and np.all(used >= 0.0)),
        field="gas made and used",
        value=(made.size, used.size),
        allowed="as many parts of the day in both, zero or more",
        remedy="Give both hour by hour",
    )
    total, wanted = float(made.sum()), float(used.sum())
    require(
        wanted <= total * (1.0 + 1e-9),
        field="gas used",
        value=wanted,
        allowed=f"up to what is made, {total:g} m3 a day",
        remedy="Use less, or make more gas: no holder helps against this",
    )
    spare = made * (wanted / total if total > 0.0 else 0.0) - used
    running = np.cumsum(np.concatenate([spare, spare]))
    volume = float(running.max() - running.min()) if wanted > 0.0 else total
    return Storage(
        volume,
        volume / total if total > 0.0 else 0.0,
        _longest(np.maximum(used - made, 0.0), used > 0.0),
        _longest(made, used == 0.0),
    )


def _longest(amount: Floats, wanted: NDArray[np.bool_]) -> float:
    """Give the largest sum over a stretch where something holds, across midnight too."""
    best = total = 0.0
    for value, holds in zip(np.tile(amount, 2), np.tile(wanted, 2), strict=True):
        total = total + float(value) if holds else 0.0
        best = max(best, total)
    return min(best, float(amount.sum()))


def full_day(
    day: ArrayLike,
    low_m3: ArrayLike,
    middle_m3: ArrayLike,
    high_m3: ArrayLike,
    *,
    from_day: float,
    room_m3: float,
) -> Range:
    """Return when a holder will be full, from a forecast of the gas.

    Parameters
    ----------
    day : array_like, shape (n,)
        Days of the forecast, rising [d].
    low_m3, middle_m3, high_m3 : array_like, shape (n,)
        Cumulative gas: lower and upper end of its 95 % band, and its middle [m3].
    from_day : float
        Day on which the holder has this room [d].
    room_m3 : float
        Gas it can still take, as it will stand, above zero [m3].

    Returns
    -------
    Range
        Earliest, likely and latest day; infinite where the forecast never fills it [d].

    Raises
    ------
    InputError
        If there is no room, or the forecast's lengths differ.

    Notes
    -----
    Empty it before the earliest. The growth of each edge of the band is taken as one
    course, which is a little wide.

    References
    ----------
    mass_curve.
    """
    days = np.asarray(day, dtype=np.float64)
    curves = [np.asarray(c, dtype=np.float64) for c in (low_m3, middle_m3, high_m3)]
    require(
        days.ndim == 1 and days.size > 1 and all(c.shape == days.shape for c in curves),
        field="forecast",
        value=days.size,
        allowed="two or more days with three curves as long",
        remedy="Give the forecast's own arrays",
    )
    require(
        room_m3 > 0.0,
        field="room in the holder",
        value=room_m3,
        allowed="above zero",
        remedy="Empty the holder now",
    )
    late, likely, early = (_reaches(days, curve, from_day, room_m3) for curve in curves)
    return Range(min(early, likely), likely, max(late, likely), 0.95)


def _reaches(days: Floats, total: Floats, from_day: float, room: float) -> float:
    grown = np.maximum.accumulate(total) - float(np.interp(from_day, days, total))
    there = np.flatnonzero((grown >= room) & (days >= from_day))
    if not there.size:
        return math.inf
    last = int(there[0])
    if last == 0 or grown[last] == grown[last - 1]:
        return float(max(days[last], from_day))
    part = (room - grown[last - 1]) / (grown[last] - grown[last - 1])
    return float(max(days[last - 1] + part * (days[last] - days[last - 1]), from_day))


@dataclass(frozen=True)
class Fill:
    """How full a vessel is [-], its gas space [m3], how far slurry may swell, and what that means.

    ``room_to_swell`` is the gas space as a share of the slurry: froth that swells further gets
    into the gas line. ``free_m`` is the height left, None where the vessel's height isn't known.
    """

    share: float
    gas_space_m3: float
    room_to_swell: float
    free_m: float | None
    advised_m3: float
    sentence: str


def fill_of(vessel: Vessel, slurry_m3: float, *, froths: bool = False) -> Fill:
    """Return how a filling stands beside what is advised, and what froth would do.

    Parameters
    ----------
    vessel : Vessel
        Any shape.
    slurry_m3 : float
        Slurry, above zero and at most the vessel's volume [m3].
    froths : bool
        Whether the material is known to froth.

    Returns
    -------
    Fill
        With the advised filling [m3].

    Raises
    ------
    InputError
        If the slurry doesn't fit, or there is none.

    References
    ----------
    practice_fill.

    Examples
    --------
    >>> round(fill_of(Vessel.given(volume_m3=0.025), 0.0166).room_to_swell, 2)
    0.51
    """
    gas = float(vessel.gas_space_m3(slurry_m3))
    require(
        slurry_m3 > 0.0,
        field="slurry",
        value=slurry_m3,
        allowed="above zero",
        remedy="Say how much slurry is in it",
    )
    whole = vessel.total_m3
    share, swell = slurry_m3 / whole, gas / slurry_m3
    known = vessel.shape not in ("given",) or vessel.height_m > 0.0
    free = vessel.depth_m - float(vessel.level_at(slurry_m3)) if known else None
    most = FROTHING_FILL if froths else MOST_FILL
    advised = (FROTHING_FILL if froths else USUAL_FILL) * whole
    if share > most + 1e-9:
        sentence = (
            f"Too full: slurry that swells by {swell:.0%} reaches the gas outlet, blocks it and "
            f"lets pressure build. Take it down to {advised * 1e3:.3g} L."
        )
    else:
        sentence = (
            f"Room for froth: the slurry may swell by {swell:.0%} before it gets to the outlet."
        )
    return Fill(share, gas, swell, free, advised, sentence)
