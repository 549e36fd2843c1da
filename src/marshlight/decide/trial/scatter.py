"""The distribution of an estimated standard deviation, for quadrature."""

from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

Floats = NDArray[np.float64]


@cache
def legendre(n: int) -> tuple[Floats, Floats]:
    """Nodes and weights of Gauss and Legendre on -1 to 1."""
    node, weight = np.polynomial.legendre.leggauss(n)
    return node, weight


def estimated_over_true(df: float, nodes: int = 96) -> tuple[Floats, Floats]:
    """Give nodes s, the ratio of an estimated to the true standard deviation, and weights.

    The weights are probabilities: chi with ``df`` degrees of freedom over its root.
    """
    node, weight = legendre(nodes)
    reach = 9.0 / np.sqrt(2.0 * df)
    low, high = max(0.0, 1.0 - reach), 1.0 + reach
    s = low + (node + 1.0) * (high - low) / 2.0
    half = df / 2.0
    log_density = np.log(2.0) + half * np.log(half) - gammaln(half)
    log_density = log_density + (df - 1.0) * np.log(s) - half * s**2
    return s, weight * (high - low) / 2.0 * np.exp(log_density)
