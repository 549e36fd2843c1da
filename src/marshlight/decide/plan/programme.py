"""The linear programme behind a charge: the best mix, and the price of every bound."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from marshlight.decide.plan.measures import Floats, Measure
from marshlight.errors import FitError

# Amounts and rows are scaled to about one, so the solver's tolerances are shares.
NOISE = 1e-7
INFEASIBLE = 2

Name = tuple[str, str]


@dataclass(frozen=True)
class Bound:
    """One end of one limit: ``side`` is "low" or "high"; ``fixed`` ends are never stretched."""

    key: str
    side: str
    value: float
    firm: bool = True
    fixed: bool = False

    @property
    def name(self) -> Name:
        """Give limit and side, which together name the bound."""
        return self.key, self.side


@dataclass(frozen=True)
class Solved:
    """A mix: amounts [kg] of the lots and water, the aim's value, and the price of each bound."""

    amounts: Floats
    value: float
    prices: Mapping[Name, Floats]


@dataclass(frozen=True)
class _Rows:
    """Bounds as rows ``matrix y <= right`` in amounts over ``scale``, each divided by ``size``."""

    matrix: Floats
    right: Floats
    size: Floats
    names: tuple[Name, ...]


@dataclass(frozen=True)
class Programme:
    """A charge as a linear programme: measures, bounds and what is wanted most.

    ``gain`` per kg of each lot and of water; ``prefer`` is minimised among equally good mixes,
    before filling the vessel as far as it may be; ``scale`` is the mass of a full vessel [kg].
    """

    measures: Mapping[str, Measure]
    bounds: tuple[Bound, ...]
    gain: Floats
    prefer: Floats
    scale: float

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
        from scipy.optimize import linprog

        rows = self._rows()
        largest = float(np.abs(self.gain).max()) * self.scale
        wanted = -self.gain * self.scale / largest
        # Bounds that only just leave a mix may need the noise of the search for one.
        for right in (rows.right, rows.right + 2.0 * NOISE):
            first = linprog(
                wanted, A_ub=rows.matrix, b_ub=right, bounds=(0.0, None), method="highs"
            )
            if first.status != INFEASIBLE:
                break
        if first.status == INFEASIBLE:
            return None
        if first.status != 0 or first.x is None or first.fun is None:
            raise FitError(
                f"The search for a mix stopped: {first.message} Set a limit on how full the vessel "
                "may be and on what is at hand, then try again."
            )
        found = self._settled(rows, right, wanted, float(first.fun)) if settle else None
        amounts = np.asarray(first.x if found is None else found, dtype=np.float64) * self.scale
        prices: dict[Name, list[float]] = {}
        for name, price, size in zip(rows.names, first.ineqlin.marginals, rows.size, strict=True):
            prices.setdefault(name, []).append(max(0.0, -float(price)) * largest / float(size))
        return Solved(
            amounts=amounts,
            value=-float(first.fun) * largest,
            prices={name: np.array(row) for name, row in prices.items()},
        )

    def conflict(self) -> frozenset[Name]:
        """Name some bounds that cannot be kept together; none where a mix keeps them all.

        Notes
        -----
        Every bound is loosened by the same share t of its row, and the least t sought. Where it is
        not zero, the bounds with a price in that little programme prove the clash (Farkas).
        """
        from scipy.optimize import linprog

        if not self.bounds:
            return frozenset()
        rows = self._rows()
        loose = np.hstack([rows.matrix, -np.ones((len(rows.matrix), 1))])
        least = np.append(np.zeros(len(self.gain)), 1.0)
        found = linprog(least, A_ub=loose, b_ub=rows.right, bounds=(0.0, None), method="highs")
        if found.status != 0 or found.fun is None:
            raise FitError(f"The search for a mix stopped: {found.message}")
        if float(found.fun) <= NOISE:
            return frozenset()
        priced = np.abs(np.asarray(found.ineqlin.marginals)) > NOISE
        return frozenset(name for name, held in zip(rows.names, priced, strict=True) if held)

    def possible(self) -> bool:
        """Say whether any mix at all keeps every bound."""
        return not self.conflict()

    def with_bound(self, name: Name, value: float) -> "Programme":
        """Give the same programme with one bound moved."""
        return replace(
            self,
            bounds=tuple(replace(b, value=value) if b.name == name else b for b in self.bounds),
        )

    def without(self, names: set[Name]) -> "Programme":
        """Give the same programme without some bounds."""
        return replace(self, bounds=tuple(b for b in self.bounds if b.name not in names))

    def predicted_gain(self, at: Solved, name: Name, value: float) -> float:
        """Foretell from the bound's price what moving it to a value would add to the aim."""
        before = next(b for b in self.bounds if b.name == name)
        full = np.append(at.amounts, 1.0)
        measure = self.measures[before.key]
        room = (value - before.value) * (measure.under @ full)
        return float(at.prices[name] @ (room if before.side == "high" else -room))

    def _rows(self) -> _Rows:
        blocks, names = [], []
        for bound in self.bounds:
            measure = self.measures[bound.key]
            sign = 1.0 if bound.side == "high" else -1.0
            block = sign * (measure.over - bound.value * measure.under)
            blocks.append(block)
            names += [bound.name] * len(block)
        whole = np.vstack(blocks)
        matrix, right = whole[:, :-1] * self.scale, -whole[:, -1]
        size = np.maximum(np.abs(matrix).max(axis=1), np.abs(right))
        size = np.where(size > 0.0, size, 1.0)
        return _Rows(matrix / size[:, None], right / size, size, tuple(names))

    def _settled(self, rows: _Rows, right: Floats, wanted: Floats, best: float) -> Floats | None:
        """Among mixes as good, take the cheapest, then the one that fills the vessel best."""
        from scipy.optimize import linprog

        n = len(wanted)
        fill = self.measures["fill"]
        target = next((b.value for b in self.bounds if b.name == ("fill", "high")), 0.0)
        # A column for how far the filling falls short of the target, as a share of the vessel.
        full = fill.over[0, :-1] * self.scale / fill.under[0, -1]
        wide = np.hstack([rows.matrix, np.zeros((len(rows.matrix), 1))])
        second = linprog(
            np.append(self.prefer, 1e-3),
            A_ub=np.vstack([wide, np.append(-full, -1.0), np.append(wanted, 0.0)]),
            b_ub=np.concatenate([right, [-target], [best + 0.1 * NOISE]]),
            bounds=(0.0, None),
            method="highs",
        )
        if second.status != 0 or second.x is None:
            return None
        return np.asarray(second.x[:n], dtype=np.float64)
