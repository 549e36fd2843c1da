"""Bands from draws."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.estimate import Range

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Band:
    """Median with 50 and 95 % bands, each of shape m."""

    median: Floats
    low50: Floats
    high50: Floats
    low95: Floats
    high95: Floats


def band(draws: Floats) -> Band:
    """Quantiles over the first axis (draws x m)."""
    low95, low50, middle, high50, high95 = np.quantile(
        draws, [0.025, 0.25, 0.5, 0.75, 0.975], axis=0
    )
    return Band(middle, low50, high50, low95, high95)


# Standard normal scores of the five quantiles a band is made of.
_SCORES = np.array([-1.959964, -0.6744898, 0.0, 0.6744898, 1.959964])
_EVENLY = np.linspace(-4.0, 4.0, 641)


def mixed_band(first: Band, second: Band) -> Band:
    """Mix two bands half and half.

    Parameters
    ----------
    first, second : Band
        Of the same quantity on the same days.

    Returns
    -------
    Band
        Quantiles of a forecast that is either of the two with equal chance.

    Notes
    -----
    Between its quantiles each forecast is taken as piecewise normal, with straight tails. Such a
    mixture is never narrower than both where the two disagree.

    References
    ----------
    stone_1961

    Examples
    --------
    >>> one = Band(*(np.array([v]) for v in (5.0, 4.0, 6.0, 2.0, 8.0)))
    >>> float(mixed_band(one, one).high95[0])
    8.0
    """
    found = np.concatenate([_drawn(first), _drawn(second)])
    weight = np.tile(np.exp(-0.5 * _EVENLY**2), 2)
    order = np.argsort(found, axis=0, kind="stable")
    values = np.take_along_axis(found, order, axis=0)
    below = np.cumsum(weight[order], axis=0) - 0.5 * weight[order]
    below /= weight.sum()
    levels = (0.025, 0.25, 0.5, 0.75, 0.975)
    low95, low50, middle, high50, high95 = (
        np.array([np.interp(level, below[:, i], values[:, i]) for i in range(values.shape[1])])
        for level in levels
    )
    return Band(middle, low50, high50, low95, high95)


def _drawn(found: Band) -> Floats:
    """Give a forecast's values at evenly spaced normal scores (score x m)."""
    quantiles = np.stack([found.low95, found.low50, found.median, found.high50, found.high95])
    slopes = np.diff(quantiles, axis=0) / np.diff(_SCORES)[:, None]
    piece = np.clip(np.searchsorted(_SCORES, _EVENLY) - 1, 0, 3)
    off = (_EVENLY - _SCORES[piece])[:, None]
    return np.asarray(quantiles[piece] + off * slopes[piece])


def quantile_range(values: Floats, level: float = 0.95) -> Range:
    """Median and central range of draws."""
    low, middle, high = np.quantile(values, [0.5 - level / 2, 0.5, 0.5 + level / 2])
    return Range(float(low), float(middle), float(high), level)
