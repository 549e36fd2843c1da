"""When a run is at its peak, at four fifths and spent: read off its drawn paths.

A milestone of the curve alone would forget what was counted: a run that has given
more than its curve's total can't end below what it gave.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.estimate import Range
from marshlight.process.bands import quantile_range
from marshlight.process.paths import Paths

Floats = NDArray[np.float64]

# Daily gas under 1 % of the total for three days in a row (source `bmp_requirements_2020`).
SPENT_SHARE = 0.01
SPENT_DAYS = 3
MOST_OF_IT = 0.8
HORIZON_D = 730
# Milestones need whole days far ahead; this many paths give their 95 % range well enough.
_PATHS = 240


@dataclass(frozen=True)
class Milestones:
    """Gas in the end [m3], and for some of the paths the days and sizes looked for (n each)."""

    ultimate: Floats
    peak_day: Floats
    peak_rate: Floats
    day_80: Floats
    spent: Floats

    def ranges(self) -> dict[str, Range]:
        """Ranges under the names of `Forecast`; what lies past two years ends there."""
        return {
            "ultimate_m3": quantile_range(self.ultimate),
            "peak_day": quantile_range(self.peak_day),
            "peak_rate_m3_per_d": quantile_range(self.peak_rate),
            "day_80": quantile_range(self.day_80),
            "spent_day": quantile_range(np.minimum(self.spent, HORIZON_D)),
        }

    @classmethod
    def joined(cls, parts: list["Milestones"]) -> "Milestones":
        """One set from the sets of several curves."""
        return cls(
            *(
                np.concatenate([getattr(part, name) for part in parts])
                for name in ("ultimate", "peak_day", "peak_rate", "day_80", "spent")
            )
        )


def milestones(
    paths: Paths,
    ultimate: Floats,
    *,
    share: float = 1.0,
    last_day: float = HORIZON_D,
    not_before: float = 0.0,
) -> Milestones:
    """Read the milestones off drawn paths.

    Parameters
    ----------
    paths : Paths
        Drawn paths of total gas, what was counted included.
    ultimate : ndarray
        Gas of each path in the end [m3], draws.
    share : float
        Share of the forecast that these paths stand for, above 0 to 1 [1].
    last_day : float
        How far to look [d], 4 or more.
    not_before : float
        A run can't be spent before this day [d], as that of the last feed.

    Returns
    -------
    Milestones
        The peak is the day that ends the 24 h with the most gas.

    References
    ----------
    bmp_requirements_2020
    """
    count = len(ultimate)
    rows = np.unique(np.linspace(0, count - 1, max(round(_PATHS * share), 1)).astype(np.intp))
    days = np.arange(0.0, np.ceil(last_day) + 1.0)
    total = np.maximum.accumulate(paths.at(days, rows), axis=-1)
    total[:, 0] = 0.0
    daily = np.diff(total, axis=-1)
    peak = np.argmax(daily, axis=-1)
    return Milestones(
        ultimate=ultimate,
        peak_day=days[1:][peak],
        peak_rate=np.max(daily, axis=-1),
        day_80=_first_reached(days, total, MOST_OF_IT * ultimate[rows]),
        spent=first_spent(days, total, after=np.maximum(days[1:][peak], not_before)),
    )


def _first_reached(days: Floats, total: Floats, wanted: Floats) -> Floats:
    """Day on which each path (n x m) reaches its amount (n), straight between days."""
    after = total >= wanted[:, None]
    right = np.where(after.any(axis=-1), np.argmax(after, axis=-1), days.size - 1).clip(1)
    row = np.arange(len(total))
    low, high = total[row, right - 1], total[row, right]
    part = np.clip((wanted - low) / np.maximum(high - low, 1e-300), 0.0, 1.0)
    return np.asarray(days[right - 1] + part * (days[right] - days[right - 1]))


def first_spent(days: Floats, total: Floats, *, after: ArrayLike) -> Floats:
    """First day that ends three days in a row with under 1 % of the gas so far.

    Parameters
    ----------
    days : ndarray
        Consecutive whole days [d], shape m.
    total : ndarray
        Cumulative gas on those days [m3], shape (..., m).
    after : array_like
        Day of the peak, before which no day counts: a slow start is not an end [d].

    Returns
    -------
    ndarray
        Day [d]; infinite if not spent by the last of the days.

    References
    ----------
    bmp_requirements_2020

    Examples
    --------
    >>> days = np.arange(0.0, 60.0)
    >>> float(first_spent(days, 1.0 - np.exp(-0.1 * days), after=0.0))
    27.0
    """
    daily = np.diff(total, axis=-1)
    low = (daily < SPENT_SHARE * total[..., 1:]) & (days[1:] > np.asarray(after)[..., None])
    run = np.ones(low[..., SPENT_DAYS - 1 :].shape, dtype=bool)
    for shift in range(SPENT_DAYS):
        run &= low[..., shift : low.shape[-1] - (SPENT_DAYS - 1 - shift)]
    found = np.argmax(run, axis=-1)
    return np.where(run.any(axis=-1), days[1:][found + SPENT_DAYS - 1], np.inf)
