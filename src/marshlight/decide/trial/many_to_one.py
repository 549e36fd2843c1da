"""Dunnett's distribution: the largest of several t against one control, by quadrature."""

from collections.abc import Sequence

import numpy as np
from scipy.special import ndtr

from marshlight.decide.trial.scatter import estimated_over_true, legendre

_NODES = 96
_SPAN = 8.5


def _within(c: float, sizes: Sequence[int], control: int, df: float) -> float:
    """Probability that every |t| stays at or below c when nothing differs."""
    node, weight = legendre(_NODES)
    z, wz = node * _SPAN, weight * _SPAN
    wz = wz * np.exp(-(z**2) / 2.0) / np.sqrt(2.0 * np.pi)
    s, ws = estimated_over_true(df, _NODES)
    lever = np.array([np.sqrt(n / (n + control)) for n in sizes])
    rest = np.sqrt(1.0 - lever**2)
    up = (lever[:, None, None] * z[None, :, None] + c * s) / rest[:, None, None]
    down = (lever[:, None, None] * z[None, :, None] - c * s) / rest[:, None, None]
    inside = np.prod(ndtr(up) - ndtr(down), axis=0)
    return float(wz @ inside @ ws)


def many_to_one_p(t: float, sizes: Sequence[int], control: int, df: float) -> float:
    """Chance that the largest |t| against a control exceeds ``t`` when nothing differs.

    Parameters
    ----------
    t : float
        Largest |t| [1].
    sizes : sequence of int
        Bottles of each compared group.
    control : int
        Bottles of the control.
    df : float
        Of the pooled variance [1].

    Returns
    -------
    float
        Two-sided p [1].

    References
    ----------
    dunnett_1955
    """
    return max(0.0, 1.0 - _within(t, sizes, control, df))


def many_to_one_quantile(level: float, sizes: Sequence[int], control: int, df: float) -> float:
    """Find the t that all comparisons with a control stay below with probability ``level`` [1].

    Parameters
    ----------
    level : float
        Above 0, below 1 [1].
    sizes : sequence of int
        Bottles of each compared group.
    control : int
        Bottles of the control.
    df : float
        Of the pooled variance [1].

    Returns
    -------
    float
        The quantile [1].
    """
    from scipy.optimize import brentq

    return float(brentq(lambda c: _within(c, sizes, control, df) - level, 0.0, 200.0, xtol=1e-9))
