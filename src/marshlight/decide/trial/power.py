"""What a design can show: power of Welch's comparison, exactly, and the smallest difference."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import betaln, ndtr, stdtrit

from marshlight.decide.trial.scatter import estimated_over_true, legendre
from marshlight.errors import require

Floats = NDArray[np.float64]
_NODES = 120
_MOST_BOTTLES = 200


def pooled_power(difference: float, sd: float, n: int, *, alpha: float = 0.05) -> float:
    """Power of the two-sample t test with equal scatter and ``n`` bottles in each group.

    Parameters
    ----------
    difference : float
        True difference, in the unit of ``sd``.
    sd : float
        Standard deviation of a bottle, above 0.
    n : int
        Bottles in each group, 2 or more.
    alpha : float
        Two-sided error accepted [1].

    Returns
    -------
    float
        Probability that the difference shows [1].

    References
    ----------
    cohen_1988

    Examples
    --------
    >>> round(pooled_power(1.0, 1.0, 20), 4)
    0.869
    """
    df, shift = 2.0 * (n - 1.0), abs(difference) / (sd * np.sqrt(2.0 / n))
    cut = float(stdtrit(df, 1.0 - alpha / 2.0))
    return float(_beyond(np.array([cut]), df, float(shift))[0])


def _beyond(cut: Floats, df: float, shift: float) -> Floats:
    """Probability that a non-central t lies beyond plus or minus each cut."""
    s, weight = estimated_over_true(df)
    reach = cut[:, None] * s
    return np.asarray((ndtr(shift - reach) + ndtr(-shift - reach)) @ weight)


def welch_power(
    difference: float,
    sd: tuple[float, float],
    n: tuple[int, int],
    *,
    alpha: float = 0.05,
    of: int = 1,
) -> float:
    """Power of Welch's comparison of two groups.

    Parameters
    ----------
    difference : float
        True difference, in the unit of ``sd``.
    sd : tuple of float
        Standard deviation of a bottle in each group, above 0.
    n : tuple of int
        Bottles in each group, 2 or more.
    alpha : float
        Two-sided error accepted over all comparisons [1].
    of : int
        Number of comparisons (Sidak).

    Returns
    -------
    float
        Probability that this difference shows [1].

    Raises
    ------
    InputError
        If a group has fewer than two bottles or no scatter.

    Notes
    -----
    Exact for normal scatter.  Given the share r of the first group in the two groups' summed
    squares (a beta variable, independent of the sum), the statistic is a scaled non-central t
    with n1 + n2 - 2 degrees of freedom and Welch's degrees of freedom are a function of r; so
    one integral over r remains.

    References
    ----------
    welch_1947, sidak_1967

    Examples
    --------
    >>> round(welch_power(1.0, (1.0, 1.0), (20, 20)), 3)
    0.868
    """
    require(
        min(n) >= 2 and min(sd) > 0.0,
        field="design",
        value=(n, sd),
        allowed="two or more bottles of each, scatter above 0",
        remedy="Plan replicates and give the scatter to expect",
    )
    free = np.array(n, dtype=np.float64) - 1.0
    one, two = sd[0] ** 2 / n[0], sd[1] ** 2 / n[1]
    node, weight = legendre(_NODES)
    # r = sin^2 takes the beta density's corners at few bottles off.
    angle = (node + 1.0) * np.pi / 4.0
    r = np.sin(angle) ** 2
    log_density = (free[0] - 1.0) * np.log(np.sin(angle)) + (free[1] - 1.0) * np.log(np.cos(angle))
    chance = weight * np.pi / 4.0 * 2.0 * np.exp(log_density - betaln(free[0] / 2.0, free[1] / 2.0))
    parts = np.stack([one * r / free[0], two * (1.0 - r) / free[1]])
    whole = parts.sum(axis=0)
    df = whole**2 / (parts[0] ** 2 / free[0] + parts[1] ** 2 / free[1])
    cut = stdtrit(df, 0.5 + (1.0 - alpha) ** (1.0 / of) / 2.0)
    total = float(free.sum())
    scaled = cut * np.sqrt(total * whole / (one + two))
    shift = abs(difference) / np.sqrt(one + two)
    shows = _beyond(scaled, total, float(shift))
    return float(np.sum(chance * shows))


def smallest_difference(
    sd: float, n: int, *, power: float = 0.8, alpha: float = 0.05, of: int = 1, pooled: bool = False
) -> float:
    """Smallest true difference that shows with the wanted power.

    Parameters
    ----------
    sd : float
        Standard deviation of a bottle, above 0.
    n : int
        Bottles in each group, 2 or more.
    power : float
        Probability that it shows [1].
    alpha : float
        Two-sided error accepted over all comparisons [1].
    of : int
        Number of comparisons.
    pooled : bool
        For the t test with equal scatter instead of Welch's.

    Returns
    -------
    float
        In the unit of ``sd``.

    Examples
    --------
    >>> round(smallest_difference(1.0, 3, pooled=True), 4)
    3.0709
    """
    from scipy.optimize import brentq

    def short(times: float) -> float:
        if pooled:
            return pooled_power(times, 1.0, n, alpha=alpha) - power
        return welch_power(times, (1.0, 1.0), (n, n), alpha=alpha, of=of) - power

    high = 4.0
    while short(high) < 0.0:
        high *= 2.0
    return sd * float(brentq(short, 0.0, high, xtol=1e-10))


def bottles_needed(
    difference: float, sd: float, *, power: float = 0.8, alpha: float = 0.05, of: int = 1
) -> int:
    """Fewest bottles in each group that show a difference with the wanted power (Welch).

    Parameters
    ----------
    difference : float
        To be shown, above 0, in the unit of ``sd``.
    sd : float
        Standard deviation of a bottle, above 0.
    power : float
        Probability that it shows [1].
    alpha : float
        Two-sided error accepted over all comparisons [1].
    of : int
        Number of comparisons.

    Returns
    -------
    int
        Bottles in each group.

    Raises
    ------
    InputError
        If not even two hundred bottles would do.
    """
    for n in range(2, _MOST_BOTTLES + 1):
        if welch_power(difference, (sd, sd), (n, n), alpha=alpha, of=of) >= power:
            return n
    require(
        False,
        field="difference to show",
        value=difference,
        allowed=f"what {_MOST_BOTTLES} bottles a group can show",
        remedy="Ask for a larger difference, or reduce the scatter",
    )
    return _MOST_BOTTLES
