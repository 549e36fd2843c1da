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


def quantile_range(values: Floats, level: float = 0.95) -> Range:
    """Median and central range of draws."""
    low, middle, high = np.quantile(values, [0.5 - level / 2, 0.5, 0.5 + level / 2])
    return Range(float(low), float(middle), float(high), level)
