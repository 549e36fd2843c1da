"""Are numbers between 0 and 1 spread evenly? Ranks of a truth must be, if a posterior is right."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike

_BINS = 10
_SEED, _TRIED = 71, 4000


@dataclass(frozen=True)
class Evenness:
    """How even some ranks are.

    ``chance_bins`` is the chance of bins as uneven as these (chi-square), ``chance_curve`` that of
    a distribution curve as far off anywhere (Kolmogorov's distance, its chance from even draws of
    the same number). ``centre`` is the mean rank less a half: above 0 the truth lies higher than
    the lives. ``width`` compares the ranks' spread with that of even ones: above 1 the lives are
    too sure, below 1 too unsure.
    """

    count: int
    chance_bins: float
    chance_curve: float
    centre: float
    width: float


def evenness(ranks: ArrayLike) -> Evenness:
    """Judge ranks 0 to 1.

    References
    ----------
    Talts, Betancourt, Simpson, Vehtari & Gelman 2018, arXiv:1804.06788 (ranks in bins); the
    envelope of the curve by drawing even ranks, after Säilynoja, Bürkner & Vehtari 2022,
    Statistics and Computing 32: 32. Both from memory.
    """
    from scipy.special import chdtrc

    r = np.sort(np.asarray(ranks, dtype=np.float64))
    expected = r.size / _BINS
    counts = np.bincount(np.minimum((r * _BINS).astype(int), _BINS - 1), minlength=_BINS)
    chi_square = float(np.sum((counts - expected) ** 2) / expected)
    return Evenness(
        r.size,
        float(chdtrc(_BINS - 1, chi_square)),
        float(np.mean(_even_gaps(r.size) >= _gap(r[None])[0])),
        float(np.mean(r) - 0.5),
        float(np.std(r) * np.sqrt(12.0)),
    )


def _gap(sorted_ranks: np.ndarray) -> np.ndarray:
    count = sorted_ranks.shape[1]
    above = np.arange(1, count + 1) / count - sorted_ranks
    below = sorted_ranks - np.arange(count) / count
    return np.maximum(above.max(axis=1), below.max(axis=1))


@cache
def _even_gaps(count: int) -> np.ndarray:
    rng = np.random.default_rng(_SEED)
    return _gap(np.sort(rng.random((_TRIED, count)), axis=1))
