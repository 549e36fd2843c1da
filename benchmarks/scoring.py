"""Score a forecast of gas against what really came: distance, bands, and how often they held."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Bands:
    """Median with 50 % and 95 % bands at some days, in one unit of gas."""

    median: Floats
    low50: Floats
    high50: Floats
    low95: Floats
    high95: Floats


@dataclass(frozen=True)
class Score:
    """How a forecast fared over ``count`` later readings.

    ``mae`` and ``interval_score`` are in the unit of gas; ``interval_score`` is the weighted
    interval score over the median and both bands, which stands in for the continuous ranked
    probability score where only these quantiles are given (Bracher et al. 2021, PLoS
    Computational Biology 17: e1008618; Gneiting & Raftery 2007, JASA 102: 359).
    """

    count: int
    mae: float
    interval_score: float
    hit50: float
    hit95: float


def score(truth: ArrayLike, bands: Bands) -> Score:
    """Score one forecast against the later truth."""
    y = np.asarray(truth, dtype=np.float64)
    within50 = (bands.low50 <= y) & (y <= bands.high50)
    within95 = (bands.low95 <= y) & (y <= bands.high95)
    distance = np.abs(y - bands.median)
    weighted = 0.5 * distance
    for low, high, level in ((bands.low50, bands.high50, 0.5), (bands.low95, bands.high95, 0.95)):
        alpha = 1.0 - level
        fine = 2.0 / alpha * (np.maximum(low - y, 0.0) + np.maximum(y - high, 0.0))
        weighted = weighted + alpha / 2.0 * (high - low + fine)
    return Score(
        count=int(y.size),
        mae=float(np.mean(distance)),
        interval_score=float(np.mean(weighted)) / 2.5,
        hit50=float(np.mean(within50)),
        hit95=float(np.mean(within95)),
    )


def pooled(scores: Mapping[str, Score]) -> Score:
    """Pool several series, each later reading counting once."""
    parts = list(scores.values())
    weight = np.array([part.count for part in parts], dtype=np.float64)
    share = weight / weight.sum()
    fields = ("mae", "interval_score", "hit50", "hit95")
    means = {f: float(sum(share * [getattr(part, f) for part in parts])) for f in fields}
    return Score(count=int(weight.sum()), **means)
