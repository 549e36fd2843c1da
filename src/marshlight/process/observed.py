"""Cumulative readings as intervals with the right covariance.

Errors of a cumulative record are not independent: a slip of one reading moves
two intervals in opposite directions, an error of a counted interval stays in
the total for good. Both are kept apart here, so that many readings do not look
like more knowledge than they are.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

# More intervals than this add nothing to a curve of four numbers; see `thinned`.
MOST_INTERVALS = 400
# With the digester's own straying in play, readings closer than a day or so say
# the same thing twice, and the work grows with the cube.
MOST_WITH_WANDER = 120


class Covariance:
    """A covariance matrix ready to whiten and solve with."""

    def __init__(self, matrix: Floats) -> None:
        self.matrix = matrix
        factor = np.linalg.cholesky(matrix)
        self.log_determinant = 2.0 * float(np.sum(np.log(np.diag(factor))))
        # A fit whitens some hundred times: one inverse is cheaper than as many solves.
        self._inverse = np.linalg.inv(factor)

    def whiten(self, columns: Floats) -> Floats:
        """L^-1 x for a vector (n) or columns (n x m)."""
        return np.asarray(self._inverse @ columns)

    def solve(self, columns: Floats) -> Floats:
        """C^-1 x for a vector (n) or columns (n x m)."""
        return np.asarray(self._inverse.T @ (self._inverse @ columns))


@dataclass(frozen=True)
class Observed:
    """Gas intervals: between `end[i-1]` (or the start) and `end[i]` came `gas[i]`.

    `reading_variance` (n + 1) belongs to the edges, `counted_variance` (n) to
    the intervals; `at_least[i]` marks an interval in which some gas was unseen.
    `scaled` tells whether the variances are in true units. `straying_d` is how long
    the digester's lasting straying lasts [d]; None for a batch, where it lasts days
    early and weeks late.
    """

    end: Floats
    gas: Floats
    reading_variance: Floats
    counted_variance: Floats
    at_least: Flags
    scaled: bool
    straying_d: float | None = None

    @property
    def count(self) -> int:
        """Number of intervals."""
        return int(self.end.size)

    @property
    def last_day(self) -> float:
        """Day of the last reading, 0 without readings."""
        return float(self.end[-1]) if self.count else 0.0

    @property
    def total(self) -> float:
        """Gas seen so far [m3]."""
        return float(np.sum(self.gas))

    @property
    def length(self) -> Floats:
        """Length of each interval [d]; the first starts on day 0."""
        return np.maximum(np.diff(np.concatenate([[0.0], self.end])), 1e-9)

    def interval_sd(self) -> Floats:
        """Standard uncertainty of each interval on its own [m3]."""
        r = self.reading_variance
        return np.sqrt(self.counted_variance + r[1:] + r[:-1])

    @property
    def middle(self) -> Floats:
        """Middle of each interval [d]."""
        return self.end - 0.5 * self.length

    def covariance(self, process: Floats) -> "Covariance":
        """Covariance of the fully seen intervals; `process` (n x n) is the digester's own."""
        r, seen = self.reading_variance, ~self.at_least
        matrix = process + np.diag(self.counted_variance + r[1:] + r[:-1])
        if self.count > 1:
            below = np.arange(1, self.count)
            matrix[below, below - 1] -= r[1:-1]
            matrix[below - 1, below] -= r[1:-1]
        return Covariance(matrix if seen.all() else matrix[np.ix_(seen, seen)])

    def coarser(self, most: int) -> "Observed":
        """The same record in at most about `most` intervals."""
        if self.count <= most:
            return self
        r = self.reading_variance
        end, total, reading, counted, flags = thinned(
            self.end, np.cumsum(self.gas), r[1:], self.counted_variance,
            flags=self.at_least, most=most,
        )  # fmt: skip
        gas = np.diff(total, prepend=0.0)
        reading = np.concatenate([r[:1], reading])
        return Observed(end, gas, reading, counted, flags, self.scaled, self.straying_d)

    def rescaled(self, variance: float) -> "Observed":
        """The same intervals with all variances multiplied, then in true units."""
        return Observed(
            self.end, self.gas, self.reading_variance * variance,
            self.counted_variance * variance, self.at_least, True, self.straying_d,
        )  # fmt: skip


def observe(
    day: ArrayLike,
    volume_m3: ArrayLike,
    u_m3: ArrayLike | None,
    *,
    lower_bound: ArrayLike | None = None,
    interval_u_m3: ArrayLike | None = None,
    most: int = MOST_INTERVALS,
) -> Observed:
    """Turn a cumulative record into intervals for fitting.

    Parameters
    ----------
    day : array_like
        Days since the start [d], rising, shape n.
    volume_m3 : array_like
        Cumulative gas [m3], shape n.
    u_m3 : array_like or None
        Standard uncertainty of each cumulative value [m3], shape n or scalar;
        None if unknown (then it comes from the scatter).
    lower_bound : array_like, optional
        True where some gas between this reading and the one before was unseen.
    interval_u_m3 : array_like, optional
        Standard uncertainty of the gas since the reading before [m3]. With it,
        the share of independent reading error in `u_m3` is known; without it,
        only the growth of `u_m3` counts as error that stays in the total.
    most : int
        Denser records are averaged to about this many intervals.

    Returns
    -------
    Observed
        Intervals and their variances.

    Raises
    ------
    InputError
        If days do not rise, a number is missing, or an uncertainty is negative.
    """
    t, v = np.atleast_1d(np.asarray(day, float)), np.atleast_1d(np.asarray(volume_m3, float))
    scaled = u_m3 is not None
    u = np.broadcast_to(np.asarray(1.0 if u_m3 is None else u_m3, float), t.shape)
    flags = np.zeros(t.shape, bool) if lower_bound is None else np.asarray(lower_bound, bool).copy()
    _check(t, v, u, flags)
    interval_u = None if interval_u_m3 is None else np.asarray(interval_u_m3, float)
    reading, counted = _split_variance(u, interval_u)
    # A stated uncertainty of zero would make any misfit infinite; a billionth of the gas is none.
    reading = np.maximum(reading, (1e-9 * np.max(np.abs(v), initial=0.0)) ** 2 + 1e-60)
    origin = 0.0
    if t.size and t[0] <= 0.0 and v[0] == 0.0:
        # A zero reading on day 0 is where counting starts, not a datum of the curve.
        origin = float(reading[0])
        t, v, reading, counted, flags = t[1:], v[1:], reading[1:], counted[1:], flags[1:]
    t, v, reading, counted, flags = thinned(t, v, reading, counted, flags=flags, most=most)
    return Observed(
        end=t,
        gas=np.diff(np.concatenate([[0.0], v])),
        reading_variance=np.concatenate([[origin], reading]),
        counted_variance=counted,
        at_least=flags,
        scaled=scaled,
    )


def thinned(
    day: Floats,
    volume: Floats,
    reading: Floats,
    counted: Floats,
    *,
    flags: Flags,
    most: int,
) -> tuple[Floats, Floats, Floats, Floats, Flags]:
    """Average neighbouring readings until about `most` are left.

    Within a group, day, volume and reading error are averaged (the error of a
    mean of m readings falls by m); counted errors add up. A flagged interval
    stays between groups, so that nothing seen is mixed with something unseen.
    """
    n = day.size
    if n <= most:
        return day, volume, reading, counted, flags
    span = day[-1] - day[0]
    # Half of the groups equal in time, half in readings: bursts and gaps both keep detail.
    by_time = np.floor((day - day[0]) / span * (most // 2) * (1 - 1e-12)).astype(int)
    by_count = (np.arange(n) * (most // 2)) // n
    breaks = np.ones(n, bool)
    breaks[1:] = (np.diff(by_time) > 0) | (np.diff(by_count) > 0) | flags[1:]
    first = np.flatnonzero(breaks)
    size = np.diff(np.append(first, n))

    def total(x: Floats) -> Floats:
        return np.asarray(np.add.reduceat(x, first), dtype=np.float64)

    return (
        total(day) / size,
        total(volume) / size,
        total(reading) / size**2,
        total(counted),
        flags[first],
    )


def _split_variance(u: Floats, interval_u: Floats | None) -> tuple[Floats, Floats]:
    """Reading variance at each point, counted variance of each interval.

    With w the reading and q the counted variance, u_i^2 = w_i + sum q and
    interval_u_i^2 = q_i + w_i + w_(i-1); solved for w_(i-1).
    """
    square = u**2
    if interval_u is None:
        envelope = np.minimum.accumulate(square[::-1])[::-1]
        counted = np.diff(np.concatenate([[envelope[0] if u.size else 0.0], envelope]))
        return square - np.cumsum(counted), counted
    before = np.concatenate([[0.0], square[:-1]])
    earlier = np.maximum((interval_u**2 - square + before) / 2.0, 0.0)
    reading = np.append(earlier[1:], earlier[-1] if u.size > 1 else square[-1:])
    reading = np.minimum(reading, square)
    previous = np.concatenate([[0.0], reading[:-1]])
    return reading, np.maximum(interval_u**2 - reading - previous, 0.0)


def _check(t: Floats, v: Floats, u: Floats, flags: Flags) -> None:
    same = t.shape == v.shape == u.shape == flags.shape
    require(
        same and t.ndim == 1,
        field="gas record",
        value=(t.shape, v.shape),
        allowed="as many days as volumes",
        remedy="Give one volume and one uncertainty for each day",
    )
    require(
        bool(np.all(np.isfinite(t)) and np.all(np.isfinite(v)) and np.all(np.isfinite(u))),
        field="gas record",
        value="a missing number",
        allowed="finite numbers",
        remedy="Leave out the readings that have no number",
    )
    require(
        bool(np.all(np.diff(t) > 0)),
        field="day",
        value="days that repeat or go back",
        allowed="rising days",
        remedy="Sort the readings by time and keep one for each moment",
    )
    require(
        bool(np.all(u >= 0)),
        field="uncertainty",
        value=float(u.min(initial=0.0)),
        allowed="0 or more",
        remedy="Give standard uncertainties without a sign",
    )
