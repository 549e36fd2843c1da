"""Coordinates in which a fit moves: logs of positive numbers, logits of shares.

They give every parameter a step of about one, keep it inside its meaning, and
turn a Gaussian there into the skewed band a rate or a total really has.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def to_internal(natural: Floats, scales: Sequence[str]) -> Floats:
    """Natural parameters (..., k) to fitting coordinates."""
    p = np.asarray(natural, dtype=np.float64)
    out = np.empty_like(p)
    for i, scale in enumerate(scales):
        x = p[..., i]
        if scale == "log":
            out[..., i] = np.log(np.maximum(x, 1e-300))
        elif scale == "share":
            out[..., i] = np.log(x) - np.log1p(-x)
        else:
            out[..., i] = x
    return out


def to_natural(internal: Floats, scales: Sequence[str]) -> Floats:
    """Fitting coordinates (..., k) back to natural parameters."""
    q = np.asarray(internal, dtype=np.float64)
    out = np.empty_like(q)
    for i, scale in enumerate(scales):
        x = q[..., i]
        if scale == "log":
            out[..., i] = np.exp(np.clip(x, -690.0, 690.0))
        elif scale == "share":
            out[..., i] = 1.0 / (1.0 + np.exp(-np.clip(x, -690.0, 690.0)))
        else:
            out[..., i] = x
    return out


def natural_slope(natural: Floats, scales: Sequence[str]) -> Floats:
    """d natural / d internal at natural parameters (k)."""
    p = np.asarray(natural, dtype=np.float64)
    slope = np.ones_like(p)
    for i, scale in enumerate(scales):
        if scale == "log":
            slope[..., i] = p[..., i]
        elif scale == "share":
            slope[..., i] = p[..., i] * (1.0 - p[..., i])
    return slope
