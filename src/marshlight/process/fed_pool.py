"""Feeds that all digest first order, followed as one pool of what is left to digest."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Pool:
    """Gas and its derivatives by scale and rate, each (..., m) [m3]."""

    gas: Floats
    by_scale: Floats
    by_rate: Floats


def first_order_pool(
    t: Floats,
    scale: Floats,
    rate: Floats,
    *,
    feeds: tuple[tuple[float, float], ...],
    draw_offs: tuple[tuple[float, float], ...],
) -> Pool:
    """Follow the pool from change to change.

    Parameters
    ----------
    t : array, shape (m,)
        Days asked for [d].
    scale, rate : array, shape (...)
        How feeds give compared with what was expected [1], and the rate constant [1/d].
    feeds : tuple of (day, gas)
        Day [d] and gas expected in the end [m3].
    draw_offs : tuple of (day, share)
        Day [d] and share of the contents taken out, feeds of that moment included [1].

    Returns
    -------
    Pool
        Cumulative gas at each day.

    Notes
    -----
    What is left digests as U' = -k U, whichever feed it came from: the work grows with the number
    of changes, not with feeds times days as in the sum over feeds, which gives the same.
    """
    found = {day: 0.0 for day, _ in (*feeds, *draw_offs)}
    added, kept = dict(found), dict.fromkeys(found, 1.0)
    for day, gas in feeds:
        added[day] += gas
    for day, share in draw_offs:
        kept[day] *= 1.0 - share
    grid = np.union1d(t, [0.0, *found])
    shape = np.broadcast(scale, rate).shape
    left, slope = (np.asarray(np.zeros(shape)) for _ in range(2))
    total, by_rate = np.zeros((*shape, grid.size)), np.zeros((*shape, grid.size))
    for i, day in enumerate(grid.tolist()):
        if day in added:
            left = (left + added[day]) * kept[day]
            slope = slope * kept[day]
        if i + 1 == grid.size:
            break
        span = grid[i + 1] - day
        lasts = np.exp(-rate * span)
        gone = -np.expm1(-rate * span)
        total[..., i + 1] = total[..., i] + left * gone
        by_rate[..., i + 1] = by_rate[..., i] + slope * gone + left * span * lasts
        slope = (slope - span * left) * lasts
        left = left * lasts
    at = np.searchsorted(grid, t)
    size = np.asarray(scale, dtype=np.float64)[..., None]
    return Pool(size * total[..., at], total[..., at], size * by_rate[..., at])
