"""When a curve is spent: the rule by which a test may end, applied to a curve."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.process.curves import Curve

Floats = NDArray[np.float64]

# Daily gas under 1 % of the total for three days in a row (source `bmp_requirements_2020`).
SPENT_SHARE = 0.01
SPENT_DAYS = 3


def spent_day(which: Curve, parameters: ArrayLike, *, horizon_d: int = 730) -> Floats:
    """First day that ends three days in a row with under 1 % of the gas so far.

    Parameters
    ----------
    which : Curve
        The curve.
    parameters : array_like
        Shape k or n x k.
    horizon_d : int
        Last day looked at [d], above 3.

    Returns
    -------
    ndarray
        Day [d], shape () or n; infinite if not spent by the horizon. Days
        before the peak don't count: a slow start is not an end.

    References
    ----------
    bmp_requirements_2020

    Examples
    --------
    >>> from marshlight.process.curves import curve
    >>> float(spent_day(curve("first_order"), [1.0, 0.1]))
    27.0
    """
    days = np.arange(0.0, horizon_d + 1.0)
    total = which.value(days, parameters)
    return first_spent(days, total, after=which.peak(parameters)[0])


def first_spent(days: Floats, total: Floats, *, after: ArrayLike) -> Floats:
    """First spent day of cumulative gas on consecutive whole days (..., m)."""
    daily = np.diff(total, axis=-1)
    low = (daily < SPENT_SHARE * total[..., 1:]) & (days[1:] > np.asarray(after)[..., None])
    run = np.ones(low[..., SPENT_DAYS - 1 :].shape, dtype=bool)
    for shift in range(SPENT_DAYS):
        run &= low[..., shift : low.shape[-1] - (SPENT_DAYS - 1 - shift)]
    found = np.argmax(run, axis=-1)
    return np.where(run.any(axis=-1), days[1:][found + SPENT_DAYS - 1], np.inf)
