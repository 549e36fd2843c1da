"""A comparison that does not lean on the normal curve: shuffle the bottles and look again."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]
MOST_ARRANGEMENTS = 50_000


@dataclass(frozen=True)
class Shuffled:
    """Difference of medians, the p of all shufflings, and the smallest p this design can give."""

    median_difference: float
    p: float
    smallest_p: float
    arrangements: int


def shuffled(a: Sequence[float], b: Sequence[float]) -> Shuffled:
    """Compare two groups by every way of sharing their bottles out.

    Parameters
    ----------
    a, b : sequence of float
        Values of each group, at least two.

    Returns
    -------
    Shuffled
        Two-sided p of Welch's statistic over all arrangements; medians in the values' unit.

    Raises
    ------
    InputError
        If a group has one value, or there are more arrangements than can be gone through.

    Notes
    -----
    Exact: no normal curve, no ranks.  The statistic is studentised, so that unequal scatter
    does little harm.  With three bottles against three there are 20 arrangements, and p can't
    fall below 0.1 however clear the difference: ``smallest_p`` says so.

    References
    ----------
    janssen_1997

    Examples
    --------
    >>> shuffled([1.0, 2.0, 3.0], [7.0, 8.0, 9.0]).p
    0.1
    """
    n, m = len(a), len(b)
    count = comb(n + m, n)
    require(
        min(n, m) >= 2 and count <= MOST_ARRANGEMENTS,
        field="bottles",
        value=(n, m),
        allowed=f"two or more of each, at most {MOST_ARRANGEMENTS} arrangements",
        remedy="Compare fewer bottles this way",
    )
    everything = np.array([*a, *b], dtype=np.float64)
    chosen = np.array(list(combinations(range(n + m), n)))
    inside = np.zeros((count, n + m), dtype=bool)
    inside[np.arange(count)[:, None], chosen] = True
    first = everything[chosen]
    second = np.broadcast_to(everything, inside.shape)[~inside].reshape(count, m)
    t = np.abs(_studentised(first, second))
    seen = t[0]
    as_far = int(np.sum(t >= seen * (1.0 - 1e-12)))
    most = int(np.sum(t >= np.max(t) * (1.0 - 1e-12)))
    between = float(np.median(a) - np.median(b))
    return Shuffled(between, as_far / count, most / count, count)


def _studentised(first: Floats, second: Floats) -> Floats:
    gap = first.mean(axis=1) - second.mean(axis=1)
    error = np.sqrt(
        first.var(axis=1, ddof=1) / first.shape[1] + second.var(axis=1, ddof=1) / second.shape[1]
    )
    # Equal bottles have no scatter: any gap between them is then as far as can be.
    scale = max(float(np.max(np.abs(gap))), 1e-300)
    return np.asarray(gap / np.maximum(error, 1e-9 * scale))
