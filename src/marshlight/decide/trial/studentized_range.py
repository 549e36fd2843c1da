"""The distribution of the studentized range, by quadrature."""

from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from marshlight.decide.trial.scatter import estimated_over_true, legendre

_NODES = 96
_SPAN = 8.5


def _within(q: float, k: int, df: float) -> float:
    """Probability that the range of k means over their estimated error stays at or below q."""
    node, weight = legendre(_NODES)
    z, wz = node * _SPAN, weight * _SPAN * np.exp(-((node * _SPAN) ** 2) / 2.0)
    s, ws = estimated_over_true(df, _NODES)
    inside = (ndtr(z[:, None]) - ndtr(z[:, None] - q * s)) ** (k - 1)
    return float(k / np.sqrt(2.0 * np.pi) * (wz @ inside @ ws))


def range_p(q: float, k: int, df: float) -> float:
    """Chance that the studentized range of ``k`` equal means exceeds ``q``.

    Parameters
    ----------
    q : float
        Range over the standard error of a mean [1].
    k : int
        Number of means.
    df : float
        Degrees of freedom of that error [1].

    Returns
    -------
    float
        p [1].
    """
    return max(0.0, 1.0 - _within(q, k, df))


@lru_cache(maxsize=256)
def range_quantile(level: float, k: int, df: float) -> float:
    """Find the range that ``k`` equal means stay below with probability ``level`` [1]."""
    from scipy.optimize import brentq

    return float(brentq(lambda q: _within(q, k, df) - level, 1e-6, 1000.0, xtol=1e-9))
