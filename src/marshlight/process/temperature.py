"""How temperature speeds or slows digestion near body heat, and thermal time."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]

REFERENCE_C = 38.0
# Cardinal temperatures of methane formers near body heat: an engineering guess
# (source `rosso_1993`), held against measurements in the outside checks.
LOWEST_C, BEST_C, HIGHEST_C = 5.0, 37.0, 50.0
# Published responses between 20 and 35 degC keep within this of the factor, see the checks.
FACTOR_SPREAD = 0.12


def cardinal(t_c: ArrayLike, lowest: float, best: float, highest: float) -> Floats:
    """Cardinal temperature model with inflection.

    Parameters
    ----------
    t_c : array_like
        Temperature [degC], any shape.
    lowest, best, highest : float
        Cardinal temperatures [degC], rising.

    Returns
    -------
    ndarray
        Rate relative to that at the best temperature [1], 0 outside the limits.

    References
    ----------
    rosso_1993

    Examples
    --------
    >>> round(float(cardinal(20.0, 5.0, 37.0, 50.0)), 4)
    0.4072
    """
    t = np.asarray(t_c, dtype=np.float64)
    above = (t - highest) * (t - lowest) ** 2
    span = best - lowest
    below = span * (span * (t - best) - (best - highest) * (best + lowest - 2.0 * t))
    inside = (t > lowest) & (t < highest)
    return np.where(inside, above / np.where(inside, below, 1.0), 0.0)


def temperature_factor(t_c: ArrayLike) -> Floats:
    """Rate of digestion relative to 38 degC.

    Parameters
    ----------
    t_c : array_like
        Slurry temperature [degC], any shape.

    Returns
    -------
    ndarray
        Factor [1]; 1 at 38 degC, 0 at 5 degC and below, 0 at 50 degC and above
        (a vessel run near body heat is not adapted to more).

    Notes
    -----
    Steady or slowly changing temperature, adapted microbes. A sudden fall costs
    more for some days than this factor says. Measured rates at 20 to 35 degC
    agree within 0.1; at 15 degC one source measured far less (0.07 of 35 degC).

    References
    ----------
    rosso_1993, yang_2016, siegrist_2002

    Examples
    --------
    >>> float(temperature_factor(38.0))
    1.0
    """
    scale = cardinal(REFERENCE_C, LOWEST_C, BEST_C, HIGHEST_C)
    return np.asarray(cardinal(t_c, LOWEST_C, BEST_C, HIGHEST_C) / scale)


def thermal_days(day: ArrayLike, slurry_c: ArrayLike, *, at: ArrayLike) -> Floats:
    """Days at 38 degC that would have done as much as the real days so far.

    Parameters
    ----------
    day : array_like
        Days of the temperature readings since the start [d], rising, shape n.
    slurry_c : array_like
        Slurry temperature at those days [degC], shape n; held before the first
        and after the last reading, straight in between.
    at : array_like
        Days asked for [d], 0 or more, shape m.

    Returns
    -------
    ndarray
        Equivalent days at 38 degC [d], shape m.

    Raises
    ------
    InputError
        If there is no temperature reading, or days don't rise.

    References
    ----------
    rosso_1993
    """
    t, temperature = (
        np.atleast_1d(np.asarray(day, float)),
        np.atleast_1d(np.asarray(slurry_c, float)),
    )
    require(
        t.size > 0 and t.shape == temperature.shape and bool(np.all(np.diff(t) > 0)),
        field="temperature record",
        value=t[:5].tolist(),
        allowed="at least one reading, rising days",
        remedy="Give one slurry temperature for each day, in order",
    )
    asked = np.atleast_1d(np.asarray(at, dtype=np.float64))
    end = max(float(asked.max(initial=0.0)), 1e-9)
    steps = int(np.ceil(end * 24)) + 1
    grid = np.union1d(np.linspace(0.0, end, steps), asked)
    factor = temperature_factor(np.interp(grid, t, temperature))
    total = np.concatenate([[0.0], np.cumsum(0.5 * (factor[1:] + factor[:-1]) * np.diff(grid))])
    return np.asarray(np.interp(asked, grid, total))
