"""Wandering: what drifts about its usual value and forgets where it was."""

import numpy as np

from marshlight.decide.watch.calibration.log import Floats


def wander(
    now: Floats, gap_d: Floats, *, size: Floats | float, memory_d: float, rng: np.random.Generator
) -> Floats:
    """Draw where an Ornstein-Uhlenbeck process stands after each of some gaps of time.

    Parameters
    ----------
    now : array, shape (member,)
        Where it stands, as a distance from its usual value.
    gap_d : array, shape (time,)
        From each time to the next, from now on [d].
    size : float or array, shape (member,)
        Its standard deviation in the long run.
    memory_d : float
        Days in which it forgets all but 37 % of where it was [d].
    rng : numpy.random.Generator
        The state to draw from.

    Returns
    -------
    array, shape (member, time)
        In the unit of ``size``.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> wander(np.ones(1), np.array([2.0, 2.0]), size=0.0, memory_d=2.0, rng=rng).round(2).tolist()
    [[0.37, 0.14]]
    """
    found = np.empty((len(now), len(gap_d)))
    for i, gap in enumerate(gap_d):
        kept = np.exp(-gap / memory_d)
        now = kept * now + size * np.sqrt(1.0 - kept**2) * rng.standard_normal(len(now))
        found[:, i] = now
    return found
