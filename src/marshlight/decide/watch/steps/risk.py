"""The risk of souring over many lives, with the error that counting lives leaves."""

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from scipy.stats import beta

from marshlight.errors import require

Floats = NDArray[np.float64]
# Below this methane formers hardly work: common practice, no source.
SOUR_PH = 6.5


@dataclass(frozen=True)
class Risk:
    """How many of some lives come to something.

    ``worth`` is how many independent draws the lives are worth, where that is fewer.
    """

    count: int
    of: int
    worth: float | None = None

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When there are no lives, or more counted than there are.
        """
        require(
            0 <= self.count <= self.of and self.of > 0,
            field="risk",
            value=(self.count, self.of),
            allowed="a count of some lives, one at least",
            remedy="Count the lives again",
        )

    @property
    def share(self) -> float:
        """Give the share of the lives, 0 to 1."""
        return self.count / self.of

    @property
    def drawn(self) -> float:
        """Give how many independent draws stand behind it."""
        return float(self.of if self.worth is None else min(max(self.worth, 1.0), self.of))

    @property
    def error(self) -> float:
        """Give the standard error of the share that drawing so few lives leaves."""
        return float(np.sqrt(self.share * (1.0 - self.share) / self.drawn))

    @property
    def limits(self) -> tuple[float, float]:
        """Give 95 % limits of the share for the luck of the draw.

        Notes
        -----
        Quantiles of the beta distribution after Jeffreys' prior. With no life, or every life, one
        end is closed and the other exact: what would show so with a chance of 5 %. They say
        nothing on whether the model is right.

        References
        ----------
        brown_cai_dasgupta_2001
        """
        rarest = float(0.05 ** (1.0 / self.drawn))
        if self.count == 0:
            return 0.0, 1.0 - rarest
        if self.count == self.of:
            return rarest, 1.0
        hits, misses = self.share * self.drawn, (1.0 - self.share) * self.drawn
        at = beta(hits + 0.5, misses + 0.5)
        return float(at.ppf(0.025)), float(at.ppf(0.975))

    @property
    def words(self) -> str:
        """Write it in hundreds, never finer than the lives allow.

        Examples
        --------
        >>> Risk(0, 200).words, Risk(24, 200).words, Risk(200, 200).words
        ('less than 2 in 100', '12 in 100 (8 to 17)', 'more than 98 in 100')
        >>> Risk(1, 64).words
        '2 in 100 (0 to 7)'
        """
        low, high = self.limits
        if self.count == 0:
            return f"less than {ceil(100.0 * high)} in 100"
        if self.count == self.of:
            return f"more than {floor(100.0 * low)} in 100"
        # Never 0 or 100 in 100 where some lives went either way.
        middle = min(max(round(100.0 * self.share), 1), 99)
        ends = max(floor(100.0 * low + 0.5), 0), min(ceil(100.0 * high - 0.5), 100)
        return f"{middle} in 100 ({min(ends[0], middle)} to {max(ends[1], middle)})"


def risk_of_souring(last_ph: Floats, *, worth: float | None = None) -> Risk:
    """Count the lives whose pH ends below 6.5.

    Parameters
    ----------
    last_ph : array, shape (life,)
        pH at the end.
    worth : float, optional
        How many independent draws the lives are worth.

    Returns
    -------
    Risk
        Of standing sour at the end.

    Raises
    ------
    InputError
        When there are no lives.

    Examples
    --------
    >>> risk_of_souring(np.array([7.1, 5.2, 7.0, 7.2])).share
    0.25
    """
    return Risk(int(np.sum(last_ph < SOUR_PH)), len(last_ph), worth)
