"""How much of one quantity's spread another explains, over equally likely lives."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]
# A cubic follows a threshold well enough, and a few hundred lives can carry its four numbers.
_DEGREE = 3
_FEWEST = 20


@dataclass(frozen=True)
class Share:
    """A name and the share of a quantity's variance it explains [0-1]."""

    name: str
    share: float


def explained_share(target: Floats, by: Floats) -> float:
    """Give the share of a target's variance that one other quantity explains.

    Parameters
    ----------
    target : array, shape (member,)
        The quantity of each life.
    by : array, shape (member,)
        What may explain it.

    Returns
    -------
    float
        From 0 to 1; 0 where either does not vary.

    Raises
    ------
    InputError
        With fewer than 20 lives, or lengths that differ.

    Notes
    -----
    Adjusted share of variance of a cubic in the normal scores of ``by``: what the best guess of
    the target would win if ``by`` were known. Joint effects of several quantities are not seen.

    References
    ----------
    saltelli_2008

    Examples
    --------
    >>> x = np.linspace(-1.0, 1.0, 101)
    >>> round(explained_share(x**3, x), 2)
    1.0
    """
    require(
        target.shape == by.shape and target.ndim == 1 and target.size >= _FEWEST,
        field="lives",
        value=target.shape,
        allowed=f"one number for each of {_FEWEST} lives or more",
        remedy="Draw more lives",
    )
    if float(np.ptp(target)) <= 0.0 or float(np.ptp(by)) <= 0.0:
        return 0.0
    # Ranks, so that one far life does not bend the cubic.
    scores = np.argsort(np.argsort(by, kind="stable"), kind="stable") / (by.size - 1.0) - 0.5
    columns = np.vander(scores, _DEGREE + 1)
    fitted = columns @ np.linalg.lstsq(columns, target, rcond=None)[0]
    left = float(np.var(target - fitted) / np.var(target))
    adjusted = 1.0 - left * (target.size - 1.0) / (target.size - _DEGREE - 1.0)
    return float(np.clip(adjusted, 0.0, 1.0))
