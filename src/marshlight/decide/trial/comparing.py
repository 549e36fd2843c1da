"""Differences between groups with intervals that hold for all of them together."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from scipy.special import stdtr, stdtrit

from marshlight.decide.trial.many_to_one import many_to_one_p, many_to_one_quantile
from marshlight.decide.trial.studentized_range import range_p, range_quantile
from marshlight.errors import require

PAIR_METHODS = ("welch_sidak", "games_howell", "tukey", "welch")
CONTROL_METHODS = ("welch_sidak", "dunnett", "welch")


@dataclass(frozen=True)
class Group:
    """Replicates of one material; ``lever`` says how the shared blank error moves its mean.

    A mean potential moves by minus ``lever`` times the error of the blanks' mean: it is the
    mean of inoculum over substrate VS.  ``own_u`` is an error that all its bottles share and no
    other group does (the VS content, or a bucket's weight), with ``own_df`` degrees of freedom.
    """

    name: str
    values: tuple[float, ...]
    lever: float = 0.0
    own_u: float = 0.0
    own_df: float = float("inf")

    @property
    def mean(self) -> float:
        """Mean of the values."""
        return float(np.mean(self.values))

    @property
    def variance(self) -> float:
        """Variance of the values."""
        return float(np.var(self.values, ddof=1))


@dataclass(frozen=True)
class SharedError:
    """Standard error of what all groups share (the blanks' mean) and its degrees of freedom."""

    u: float
    df: float


@dataclass(frozen=True)
class Contrast:
    """``a`` minus ``b``: difference, its interval and p, adjusted for all comparisons made."""

    a: str
    b: str
    difference: float
    standard_error: float
    df: float
    low: float
    high: float
    p: float
    method: str
    level: float
    comparisons: int

    @property
    def separated(self) -> bool:
        """Whether the interval leaves out zero."""
        return self.low > 0.0 or self.high < 0.0


def welch(
    a: Group, b: Group, *, shared: SharedError | None = None, level: float = 0.95, of: int = 1
) -> Contrast:
    """Compare two groups whose scatter may differ.

    Parameters
    ----------
    a, b : Group
        At least two values each.
    shared : SharedError, optional
        Error of the blanks that both groups share.
    level : float
        Of the interval [1].
    of : int
        Number of comparisons the level is to hold for (Sidak).

    Returns
    -------
    Contrast
        In the unit of the values.

    Raises
    ------
    InputError
        If a group has fewer than two values.

    Notes
    -----
    The blanks' error is common to both means and mostly cancels: it enters with the difference
    of the groups' levers, not twice.  The VS content's error is each group's own.  Degrees of
    freedom after Welch and Satterthwaite.

    References
    ----------
    welch_1947, satterthwaite_1946, sidak_1967
    """
    _enough((a, b))
    parts = [(a.variance / len(a.values), len(a.values) - 1.0)]
    parts.append((b.variance / len(b.values), len(b.values) - 1.0))
    parts += [(g.own_u**2, g.own_df) for g in (a, b)]
    if shared is not None and shared.df > 0.0:
        parts.append((((a.lever - b.lever) * shared.u) ** 2, shared.df))
    variance = sum(v for v, _ in parts)
    difference = a.mean - b.mean
    if variance <= 0.0:
        p = 1.0 if difference == 0.0 else 0.0
        return _contrast(a, b, (difference, 0.0, parts[0][1]), 0.0, p, kept=("welch", level, of))
    df = variance**2 / sum(v**2 / k for v, k in parts)
    error = float(np.sqrt(variance))
    single = 2.0 * float(stdtr(df, -abs(difference) / error))
    p = 1.0 - (1.0 - single) ** of
    quantile = float(stdtrit(df, 0.5 + level ** (1.0 / of) / 2.0))
    name = "welch" if of == 1 else "welch_sidak"
    return _contrast(a, b, (difference, error, df), quantile, p, kept=(name, level, of))


def compare_pairs(
    groups: Sequence[Group],
    *,
    method: str = "welch_sidak",
    shared: SharedError | None = None,
    level: float = 0.95,
) -> tuple[Contrast, ...]:
    """Compare every group with every other.

    Parameters
    ----------
    groups : sequence of Group
        Two or more, at least two values each.
    method : str
        "welch_sidak" (unequal scatter, cautious with few bottles; the default), "games_howell"
        (unequal scatter), "tukey" (Tukey-Kramer: equal scatter) or "welch" (not adjusted).
    shared : SharedError, optional
        The blanks' error; "tukey" looks at the bottles' scatter only.
    level : float
        That all intervals hold together [1].

    Returns
    -------
    tuple of Contrast
        Larger mean first in each.

    Raises
    ------
    InputError
        If a group is too small or the method unknown.

    Notes
    -----
    With three bottles whose scatter differs, simulated trials without any difference claimed one
    in 3.9 % (welch_sidak), 6.1 % (games_howell) and 9.3 % (tukey) of cases where 5 % is meant:
    benchmarks/bench_trials.py.  That is why the first is the default.

    References
    ----------
    sidak_1967, tamhane_1979, games_howell_1976, kramer_1956
    """
    _known(method, PAIR_METHODS)
    _enough(groups)
    ordered = sorted(groups, key=lambda g: -g.mean)
    pairs = list(combinations(ordered, 2))
    if method in ("welch", "welch_sidak"):
        of = len(pairs) if method == "welch_sidak" else 1
        return tuple(welch(a, b, shared=shared, level=level, of=of) for a, b in pairs)
    pooled = _pooled(groups) if method == "tukey" else None
    return tuple(
        _ranged(a, b, len(ordered), shared=shared, level=level, pooled=pooled) for a, b in pairs
    )


def compare_with_control(
    groups: Sequence[Group],
    control: Group,
    *,
    method: str = "welch_sidak",
    shared: SharedError | None = None,
    level: float = 0.95,
) -> tuple[Contrast, ...]:
    """Compare every group with one reference.

    Parameters
    ----------
    groups : sequence of Group
        The others.
    control : Group
        What they are compared with.
    method : str
        "welch_sidak", "dunnett" (equal scatter) or "welch" (not adjusted).
    shared : SharedError, optional
        The blanks' error; "dunnett" looks at the bottles' scatter only.
    level : float
        That all intervals hold together [1].

    Returns
    -------
    tuple of Contrast
        Group minus control.

    Raises
    ------
    InputError
        If a group is too small or the method unknown.

    References
    ----------
    dunnett_1955, sidak_1967
    """
    _known(method, CONTROL_METHODS)
    _enough((*groups, control))
    if method != "dunnett":
        of = len(groups) if method == "welch_sidak" else 1
        return tuple(welch(g, control, shared=shared, level=level, of=of) for g in groups)
    variance, df = _pooled((*groups, control))
    sizes, n0 = tuple(len(g.values) for g in groups), len(control.values)
    quantile = many_to_one_quantile(level, sizes, n0, df)
    found = []
    for group in groups:
        error = float(np.sqrt(variance * (1.0 / len(group.values) + 1.0 / n0)))
        difference = group.mean - control.mean
        p = many_to_one_p(abs(difference) / error, sizes, n0, df)
        kept = ("dunnett", level, len(groups))
        found.append(_contrast(group, control, (difference, error, df), quantile, p, kept=kept))
    return tuple(found)


def _ranged(
    a: Group,
    b: Group,
    k: int,
    *,
    shared: SharedError | None,
    level: float,
    pooled: tuple[float, float] | None,
) -> Contrast:
    """Use the studentized range, with pooled or separate scatter."""
    na, nb = len(a.values), len(b.values)
    if pooled is not None:
        error, df = float(np.sqrt(pooled[0] * (1.0 / na + 1.0 / nb))), pooled[1]
    else:
        apart = welch(a, b, shared=shared)
        error, df = apart.standard_error, apart.df
    difference = a.mean - b.mean
    p = range_p(abs(difference) / error * float(np.sqrt(2.0)), k, df)
    quantile = range_quantile(level, k, df) / float(np.sqrt(2.0))
    name = "games_howell" if pooled is None else "tukey"
    return _contrast(
        a, b, (difference, error, df), quantile, p, kept=(name, level, k * (k - 1) // 2)
    )


def _contrast(
    a: Group,
    b: Group,
    found: tuple[float, float, float],
    quantile: float,
    p: float,
    *,
    kept: tuple[str, float, int],
) -> Contrast:
    difference, error, df = found
    half = quantile * error
    return Contrast(
        a.name, b.name, difference, error, df, difference - half, difference + half, p, *kept
    )


def _pooled(groups: Sequence[Group]) -> tuple[float, float]:
    """Give the variance within groups and its degrees of freedom, centred group by group."""
    df = sum(len(g.values) - 1 for g in groups)
    within = sum(g.variance * (len(g.values) - 1) for g in groups)
    return within / df, float(df)


def _enough(groups: Sequence[Group]) -> None:
    small = [g.name for g in groups if len(g.values) < 2]
    require(
        not small,
        field="bottles",
        value=", ".join(small),
        allowed="at least two of each material",
        remedy="Run replicates: one bottle alone can't show its scatter",
    )


def _known(method: str, methods: tuple[str, ...]) -> None:
    require(
        method in methods,
        field="method",
        value=method,
        allowed=", ".join(methods),
        remedy="Choose one of these",
    )
