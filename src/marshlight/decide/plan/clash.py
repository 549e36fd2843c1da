"""Limits that cannot be kept together: the smallest set of them, and the nearest mix."""

from collections.abc import Sequence
from dataclasses import replace

from marshlight.decide.plan.programme import Bound, Name, Programme

# How far firm limits are stretched, at the most, in search of the nearest mix, and how finely.
FARTHEST = 4.0
FINEST = 0.005


def clash(programme: Programme, order: Sequence[Name]) -> tuple[Bound, ...]:
    """Find a smallest set of bounds that cannot be kept together.

    Parameters
    ----------
    programme : Programme
        One without a solution.
    order : Sequence[Name]
        Bounds to try leaving out first, so that the set names what is most worth naming.

    Returns
    -------
    tuple[Bound, ...]
        Leave out any one of them and the rest can be kept.

    Notes
    -----
    Deletion filter: leave out one bound after the other and put back those without which a mix
    exists. After each that is not needed, what the solver's proof does not use goes too.
    """
    left = programme
    for name in order:
        if name not in {bound.name for bound in left.bounds}:
            continue
        trial = left.without({name})
        needed = trial.conflict()
        if needed:
            unused = {bound.name for bound in trial.bounds} - needed
            left = trial.without(unused)
    return left.bounds


def nearest(programme: Programme, clashing: set[Name]) -> Programme | None:
    """Stretch the bounds that clash, all by the same share, just far enough for a mix to exist.

    Parameters
    ----------
    programme : Programme
        One without a solution.
    clashing : set[Name]
        Bounds to stretch first; every bound is stretched if that is not enough.

    Returns
    -------
    Programme or None
        With stretched bounds; None if stretching fivefold is not enough.
    """
    names = clashing
    if not _stretched(programme, names, FARTHEST).possible():
        names = {bound.name for bound in programme.bounds}
        if not _stretched(programme, names, FARTHEST).possible():
            return None
    low, high = 0.0, FARTHEST
    while high - low > FINEST * (1.0 + high):
        middle = 0.5 * (low + high)
        if _stretched(programme, names, middle).possible():
            high = middle
        else:
            low = middle
    return _stretched(programme, names, high)


def _stretched(programme: Programme, names: set[Name], share: float) -> Programme:
    def move(bound: Bound) -> Bound:
        if bound.fixed or bound.name not in names:
            return bound
        factor = 1.0 + share
        moved = bound.value * factor if bound.side == "high" else bound.value / factor
        return replace(bound, value=moved)

    return replace(programme, bounds=tuple(move(b) for b in programme.bounds))
