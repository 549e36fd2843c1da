"""Numbers with their doubt: a value and its standard uncertainty, or a range at a level."""

from dataclasses import dataclass
from statistics import NormalDist

from marshlight.errors import require


@dataclass(frozen=True)
class Range:
    """An interval around a best value; ``level`` is the probability it claims, 0 to 1."""

    low: float
    value: float
    high: float
    level: float


@dataclass(frozen=True)
class Estimate:
    """A value with its standard uncertainty ``u``, both in the same base unit."""

    value: float
    u: float

    def __post_init__(self) -> None:
        """Refuse a negative or missing uncertainty.

        Raises
        ------
        InputError
            When ``u`` is negative or not a number.
        """
        require(
            self.u >= 0.0,
            field="standard uncertainty",
            value=self.u,
            allowed="zero or more",
            remedy="Give the standard uncertainty as a non-negative number",
        )

    @classmethod
    def from_range(cls, value: float, low: float, high: float) -> "Estimate":
        """Read a published spread as a 95 % range: two standard uncertainties to each side."""
        require(
            low <= value <= high,
            field="range",
            value=(low, value, high),
            allowed="low <= value <= high",
            remedy="Order the three numbers",
        )
        return cls(value, (high - low) / 4.0)

    def interval(self, level: float = 0.95) -> tuple[float, float]:
        """Give the normal interval at the level.

        Examples
        --------
        >>> low, high = Estimate(10.0, 1.0).interval(0.95)
        >>> round(low, 2), round(high, 2)
        (8.04, 11.96)
        """
        half = NormalDist().inv_cdf(0.5 + level / 2.0) * self.u
        return self.value - half, self.value + half

    def range(self, level: float = 0.95) -> Range:
        """Give the same interval as a Range."""
        low, high = self.interval(level)
        return Range(low, self.value, high, level)

    def scaled(self, factor: float) -> "Estimate":
        """Multiply by an exact factor."""
        return Estimate(self.value * factor, self.u * abs(factor))

    @property
    def relative_u(self) -> float:
        """Give the relative standard uncertainty; infinite for a zero value with doubt."""
        if self.value == 0.0:
            return 0.0 if self.u == 0.0 else float("inf")
        return self.u / abs(self.value)
