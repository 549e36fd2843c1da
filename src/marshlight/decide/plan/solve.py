"""The linear programme behind a charge: the best mix, what holds it back, what clashes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from marshlight.decide.plan.measures import Measure
from marshlight.errors import FitError

Floats = NDArray[np.float64]

# Solver work is in kilograms; differences below a millionth of the answer are noise.
NOISE = 1e-6
INFEASIBLE = 2
# How far firm limits are stretched, at the most, in search of the nearest mix.
FARTHEST = 4.0


@dataclass(frozen=True)
class Bound:
    """One end of one limit: ``side`` is "low" or "high"; ``fixed`` ends are never stretched."""

    key: str
    side: str
    value: float
    firm: bool = True
    fixed: bool = False

    @property
    def name(self) -> tuple[str, str]:
        """Give limit and side, which together name the bound."""
        return self.key, self.side


@dataclass(frozen=True)
class Solved:
    """A mix: amounts [kg] of the lots and water, the aim's value, and the price of each bound."""

    amounts: Floats
    value: float
    prices: Mapping[tuple[str, str], Floats]


@dataclass(frozen=True)
class Programme:
    """A charge as a linear programme: measures, bounds and what is wanted most.

    ``gain`` per kg of each lot and of water; ``prefer`` is minimised among equally good mixes,
    together with ``shortfall_weight`` times how far the slurry stays below its high fill.
    """

    measures: Mapping[str, Measure]
    bounds: tuple[Bound, ...]
    gain: Floats
    prefer: Floats

    def solve(self, *, settle: bool = True) -> Solved | None:
        """Find the best mix, or None where no mix keeps every bound.

        Parameters
        ----------
        settle : bool
            Whether to choose among equally good mixes; not needed to compare values.

        Returns
        -------
        Solved or None
            Amounts [kg].

        Raises
        ------
        FitError
            When the solver stops for a reason other than there being no such mix.
        """
        matrix, right, names = self._rows()
        first = linprog(-self.gain, A_ub=matrix, b_ub=right, bounds=(0.0, None), method="highs")
        if first.status == INFEASIBLE:
            return None
        if first.status != 0 or first.x is None or first.fun is None:
            raise FitError(
                f"The search for a mix stopped: {first.message} Set a limit on how full the vessel "
                "may be and on what is at hand, then try again."
            )
        prices: dict[tuple[str, str], list[float]] = {}
        for name, price in zip(names, first.ineqlin.marginals, strict=True):
            prices.setdefault(name, []).append(max(0.0, -float(price)))
        amounts = self._settled(matrix, right, -float(first.fun)) if settle else None
        return Solved(
            amounts=np.asarray(first.x if amounts is None else amounts, dtype=np.float64),
            value=-float(first.fun),
            prices={name: np.array(row) for name, row in prices.items()},
        )

    def possible(self) -> bool:
        """Say whether any mix at all keeps every bound."""
        if not self.bounds:
            return True
        matrix, right, _ = self._rows()
        nothing = np.zeros(len(self.gain))
        found = linprog(nothing, A_ub=matrix, b_ub=right, bounds=(0.0, None), method="highs")
        return bool(found.status != INFEASIBLE)

    def with_bound(self, name: tuple[str, str], value: float) -> "Programme":
        """Give the same programme with one bound moved."""
        return replace(
            self,
            bounds=tuple(replace(b, value=value) if b.name == name else b for b in self.bounds),
        )

    def without(self, names: set[tuple[str, str]]) -> "Programme":
        """Give the same programme without some bounds."""
        return replace(self, bounds=tuple(b for b in self.bounds if b.name not in names))

    def predicted_gain(self, at: Solved, name: tuple[str, str], value: float) -> float:
        """Foretell from the bound's price what moving it to a value would add to the aim."""
        before = next(b for b in self.bounds if b.name == name)
        full = np.append(at.amounts, 1.0)
        measure = self.measures[before.key]
        room = (value - before.value) * (measure.under @ full)
        return float(at.prices[name] @ (room if before.side == "high" else -room))

    def _rows(self) -> tuple[Floats, Floats, list[tuple[str, str]]]:
        rows, right, names = [], [], []
        for bound in self.bounds:
            measure = self.measures[bound.key]
            sign = 1.0 if bound.side == "high" else -1.0
            block = sign * (measure.over - bound.value * measure.under)
            rows.append(block[:, :-1])
            right.append(-block[:, -1])
            names += [bound.name] * len(block)
        return np.vstack(rows), np.concatenate(right), names

    def _settled(self, matrix: Floats, right: Floats, best: float) -> Floats | None:
        """Among mixes as good, take the cheapest, then the one that fills the vessel best."""
        n = len(self.gain)
        fill = self.measures["fill"]
        target = next((b.value for b in self.bounds if b.name == ("fill", "high")), 0.0)
        # A column for how far the filling falls short of the target.
        short = np.append(fill.over[0, :-1] * -1.0, -1.0)
        keep = np.append(-self.gain, 0.0)
        wide = np.hstack([matrix, np.zeros((len(matrix), 1))])
        second = linprog(
            np.append(self.prefer, 1e-3 / fill.under[0, -1]),
            A_ub=np.vstack([wide, short, keep]),
            b_ub=np.concatenate(
                [right, [-target * fill.under[0, -1]], [-best + NOISE * 1e-2 * abs(best)]]
            ),
            bounds=(0.0, None),
            method="highs",
        )
        if second.status != 0 or second.x is None:
            return None
        return np.asarray(second.x[:n], dtype=np.float64)


def clash(programme: Programme, order: Sequence[tuple[str, str]]) -> tuple[Bound, ...]:
    """Find a smallest set of bounds that cannot be kept together.

    Parameters
    ----------
    programme : Programme
        One without a solution.
    order : Sequence[tuple[str, str]]
        Bounds to try leaving out first, so that the set names what is most worth naming.

    Returns
    -------
    tuple[Bound, ...]
        Leave out any one of them and the rest can be kept.

    Notes
    -----
    Deletion filter: leave out one bound after the other and put back those without which a mix
    exists.
    """
    left = programme
    for name in order:
        trial = left.without({name})
        if not trial.possible():
            left = trial
    return left.bounds


def nearest(programme: Programme, clashing: set[tuple[str, str]]) -> Programme | None:
    """Stretch the bounds that clash, all by the same share, just far enough for a mix to exist.

    Parameters
    ----------
    programme : Programme
        One without a solution.
    clashing : set[tuple[str, str]]
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
    while high - low > 0.002 * (1.0 + high):
        middle = 0.5 * (low + high)
        if _stretched(programme, names, middle).possible():
            high = middle
        else:
            low = middle
    return _stretched(programme, names, high)


def _stretched(programme: Programme, names: set[tuple[str, str]], share: float) -> Programme:
    def move(bound: Bound) -> Bound:
        if bound.fixed or bound.name not in names:
            return bound
        factor = 1.0 + share
        moved = bound.value * factor if bound.side == "high" else bound.value / factor
        return replace(bound, value=moved)

    return replace(programme, bounds=tuple(move(b) for b in programme.bounds))


def bounds_from(
    ends: Mapping[str, tuple[float, float]],
    firm: Callable[[str, str], bool],
    fixed: Callable[[str, str], bool],
) -> tuple[Bound, ...]:
    """List the bounds of some limits, open ends left out."""
    return tuple(
        Bound(key, side, value, firm(key, side), fixed(key, side))
        for key, (low, high) in ends.items()
        for side, value, open_end in (("low", low, -inf), ("high", high, inf))
        if value != open_end
    )
