"""Summing a walk's stretches: cumulative gas and the uncertainty that belongs to it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.measure.contents import Contents
from marshlight.measure.rows import Rows
from marshlight.measure.surroundings import BoolArray, FloatArray
from marshlight.measure.walk import Walk

IntArray = NDArray[np.int64]


@dataclass(frozen=True)
class Sum:
    """Cumulative gas at the points of a log, and how sure each part of it is.

    ``row`` gives the row of each point. Volumes are dry normal [m3]; ``interval_..``
    belong to the interval that ends at the point.
    """

    row: IntArray
    cumulative_m3: FloatArray
    u_random_m3: FloatArray
    u_shared_m3: FloatArray
    interval_u_m3: FloatArray
    interval_unseen: BoolArray


def sum_up(rows: Rows, contents: Contents, path: Walk) -> Sum:
    """Sum the stretches of a walk.

    Parameters
    ----------
    rows : Rows
        Columns in order of time.
    contents : Contents
        Gas at each row.
    path : Walk
        How the rows hang together.

    Returns
    -------
    Sum
        Cumulative gas at each point; several rows of one time make one point.

    Notes
    -----
    Within a stretch the sum telescopes: only its two ends carry fresh uncertainty.
    A shared input moves every content together, so its effects add with their signs
    over all stretches and only then enter the square.

    References
    ----------
    gum_2008, section 5.2.
    """
    point = _points(rows)
    totals = _Totals(contents, path)
    amount, shared = totals.linear(contents.amount_m3), totals.linear(contents.shared)
    random = totals.random()
    segment, before = path.segment[point], np.concatenate([point[:1], point[:-1]])
    step = contents.variance[point] + contents.variance[before]
    step = step + totals.walked[point] - totals.walked[before]
    for place in np.flatnonzero(segment != path.segment[before]):
        step[place] = totals.across(int(before[place]), int(point[place]))
    step[:1] = 0.0
    common = np.sum((shared[point] - shared[before]) ** 2, axis=1)
    seen = np.concatenate([[0], np.cumsum(path.unseen)])
    since = np.concatenate([[0], point[:-1] + 1]) if point.size else point
    return Sum(
        row=point,
        cumulative_m3=amount[point],
        u_random_m3=np.sqrt(random[point]),
        u_shared_m3=np.sqrt(np.sum(shared[point] ** 2, axis=1)),
        interval_u_m3=np.sqrt(step + common),
        interval_unseen=seen[point + 1] > seen[since],
    )


class _Totals:
    def __init__(self, contents: Contents, path: Walk) -> None:
        self.contents, self.path = contents, path
        self.walked = np.cumsum(contents.path_variance)
        ends = np.where(path.start == path.end, 0.0, 1.0)
        fresh = contents.variance[path.start] + contents.variance[path.end]
        self.closed = ends * fresh + self.walked[path.end] - self.walked[path.start]

    def linear(self, values: FloatArray) -> FloatArray:
        """Sum a quantity that is linear in the contents, at each row."""
        path = self.path
        grown = values[path.end] - values[path.start]
        before = np.concatenate([np.zeros_like(grown[:1]), np.cumsum(grown, axis=0)[:-1]])
        return np.asarray(before[path.segment] + values - values[path.start[path.segment]])

    def random(self) -> FloatArray:
        """Sum the fresh variance at each row."""
        path, variance = self.path, self.contents.variance
        start = path.start[path.segment]
        own = np.where(np.arange(start.size) == start, 0.0, variance + variance[start])
        before = np.concatenate([np.zeros_like(self.closed[:1]), np.cumsum(self.closed)[:-1]])
        return np.asarray(before[path.segment] + own + self.walked - self.walked[start])

    def across(self, before: int, after: int) -> float:
        """Return the fresh variance of a difference that runs over breaks."""
        path, variance = self.path, self.contents.variance
        first, last = path.segment[before], path.segment[after]
        end, start = path.end[first], path.start[last]
        total = float(np.sum(self.closed[first + 1 : last]))
        if end != before:
            total += variance[before] + variance[end] + self.walked[end] - self.walked[before]
        if start != after:
            total += variance[after] + variance[start] + self.walked[after] - self.walked[start]
        return float(total)


def _points(rows: Rows) -> IntArray:
    """Take readings and the start as points, the last row of each time."""
    shown = rows.state_of < 0
    started = {k for k, event in enumerate(rows.events) if event.kind == "started"}
    shown |= np.isin(rows.state_of, list(started))
    point = np.flatnonzero(shown)
    last_of_time = np.ones(point.size, dtype=np.bool_)
    last_of_time[:-1] = np.diff(rows.day[point]) > 0.0
    return np.asarray(point[last_of_time], dtype=np.int64)
