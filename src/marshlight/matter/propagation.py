"""First-order uncertainty: a number that remembers how it leans on each input."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate


@dataclass(frozen=True, eq=False)
class Uncertain:
    """A value and its slope against every input of one ``Inputs``; arithmetic keeps both.

    Two results built from the same input stay correlated through it, which is what makes the
    volatile share of a blend less doubtful than its volatile and total solids are.
    """

    value: float
    slope: NDArray[np.float64]

    def __add__(self, other: "Uncertain | float") -> "Uncertain":
        """Add a number or another result of the same inputs."""
        if isinstance(other, Uncertain):
            return Uncertain(self.value + other.value, self.slope + other.slope)
        return Uncertain(self.value + other, self.slope)

    __radd__ = __add__

    def __neg__(self) -> "Uncertain":
        """Change sign."""
        return Uncertain(-self.value, -self.slope)

    def __sub__(self, other: "Uncertain | float") -> "Uncertain":
        """Subtract a number or another result of the same inputs."""
        return self + (-other)

    def __rsub__(self, other: float) -> "Uncertain":
        """Subtract from a number."""
        return -self + other

    def __mul__(self, other: "Uncertain | float") -> "Uncertain":
        """Multiply by a number or another result of the same inputs."""
        if isinstance(other, Uncertain):
            return Uncertain(
                self.value * other.value, other.value * self.slope + self.value * other.slope
            )
        return Uncertain(self.value * other, other * self.slope)

    __rmul__ = __mul__

    def __truediv__(self, other: "Uncertain | float") -> "Uncertain":
        """Divide by a number or another result of the same inputs."""
        if isinstance(other, Uncertain):
            ratio = self.value / other.value
            return Uncertain(ratio, (self.slope - ratio * other.slope) / other.value)
        return self * (1.0 / other)


class Inputs:
    """The inputs of one calculation: values, standard uncertainties and their correlations.

    Parameters
    ----------
    estimates : Mapping[tuple[int, str], Estimate]
        Inputs by (owner, name); the owner is whatever lot or weighing they belong to.
    correlations : Mapping[tuple[str, str], float]
        Correlation of two names of the same owner, -1 to 1; different owners are independent.

    Raises
    ------
    InputError
        When the correlations cannot hold at once.
    """

    def __init__(
        self,
        estimates: Mapping[tuple[int, str], Estimate],
        correlations: Mapping[tuple[str, str], float],
    ) -> None:
        self._index = {key: i for i, key in enumerate(estimates)}
        self._estimates = estimates
        self._u = np.array([e.u for e in estimates.values()], dtype=np.float64)
        self._correlation = _correlation_matrix(estimates, correlations)
        self._zero = np.zeros(len(self._index))

    def __getitem__(self, key: tuple[int, str]) -> Uncertain:
        """Give one input as a number to calculate with."""
        slope = self._zero.copy()
        slope[self._index[key]] = 1.0
        return Uncertain(self._estimates[key].value, slope)

    def get(self, key: tuple[int, str]) -> Uncertain | None:
        """Give one input, or None when there is no such input."""
        return self[key] if key in self._index else None

    def constant(self, value: float) -> Uncertain:
        """Give a number without doubt, ready to be added to."""
        return Uncertain(value, self._zero)

    def total(self, terms: Iterable[Uncertain]) -> Uncertain:
        """Add up any number of results; none gives zero."""
        return sum(terms, self.constant(0.0))

    def estimate(self, result: Uncertain) -> Estimate:
        """Turn a result into a value with its standard uncertainty.

        Parameters
        ----------
        result : Uncertain
            Anything computed from these inputs.

        Returns
        -------
        Estimate
            In the result's unit.

        Notes
        -----
        u^2 = s' R s with s the slopes times the inputs' standard uncertainties and R their
        correlation; second-order terms are neglected, good to some 30 % relative uncertainty.

        References
        ----------
        Source ``first_order_propagation``.
        """
        scaled = result.slope * self._u
        if self._correlation is None:
            variance = float(scaled @ scaled)
        else:
            variance = float(scaled @ self._correlation @ scaled)
        return Estimate(result.value, max(variance, 0.0) ** 0.5)


def _correlation_matrix(
    estimates: Mapping[tuple[int, str], Estimate],
    correlations: Mapping[tuple[str, str], float],
) -> NDArray[np.float64] | None:
    if not correlations:
        return None
    keys = list(estimates)
    matrix = np.eye(len(keys))
    for i, (owner, name) in enumerate(keys):
        for j, (other_owner, other_name) in enumerate(keys[:i]):
            if owner == other_owner:
                pair = correlations.get((name, other_name))
                if pair is None:
                    pair = correlations.get((other_name, name), 0.0)
                matrix[i, j] = matrix[j, i] = pair
    require(
        bool(np.all(np.linalg.eigvalsh(matrix) >= -1e-9)),
        field="correlations",
        value=dict(correlations),
        allowed="correlations from -1 to 1 that can hold together",
        remedy="Lower the correlations or leave some out",
    )
    return matrix
