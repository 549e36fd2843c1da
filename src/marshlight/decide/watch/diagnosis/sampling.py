"""Which lives a supposition is tried with: the likelier ones more often, and counting for less."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.process.model.kernel import Reals

# Half of the picks follow the readings, half go to all alike, so that a life that only the trouble
# itself makes likely is found too. Our choice.
_ALIKE = 0.5


@dataclass(frozen=True)
class Sample:
    """Some of a number of lives: their places, and the share of all that each stands for [1]."""

    kept: NDArray[np.intp]
    share: Reals


def everyone(count: int) -> Sample:
    """Take all lives, each for itself."""
    return Sample(np.arange(count), np.full(count, 1.0 / count))


def sample(near: Reals, count: int) -> Sample:
    """Pick lives, more often those that come near the readings.

    Parameters
    ----------
    near : array, shape (member,)
        How much each life weighs, adding to 1.
    count : int
        How many to pick.

    Returns
    -------
    Sample
        Places in rising order. A sum over the picked, each times its share, estimates the mean
        over all without bias.

    Notes
    -----
    Unequal chances of being picked, one over which stands for how many a picked life speaks (the
    Horvitz-Thompson estimator); picks are spread evenly along the lives, which come in no order.

    References
    ----------
    horvitz_thompson_1952

    Examples
    --------
    >>> import numpy as np
    >>> some = sample(np.array([0.7, 0.1, 0.1, 0.1]), 2)
    >>> some.kept.tolist(), some.share.round(2).tolist()
    ([0, 2], [0.26, 0.71])
    """
    every = len(near)
    if count >= every:
        return everyone(every)
    wanted = (1.0 - _ALIKE) * near + _ALIKE / every
    sure = np.zeros(every, bool)
    while True:
        chance = wanted * (count - sure.sum()) / wanted[~sure].sum()
        more = ~sure & (chance >= 1.0)
        if not more.any():
            break
        sure |= more
    chance = np.where(sure, 1.0, chance)
    passed = np.floor(np.cumsum(chance) + 0.5 + 1e-9)
    kept = np.flatnonzero(np.diff(passed, prepend=0.0) > 0.0)
    return Sample(kept, 1.0 / (every * chance[kept]))
