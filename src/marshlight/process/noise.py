"""How a digester strays from its smooth curve, and how much this one does.

Two kinds: the rate of a day is a little better or worse than the curve (`daily`,
gone after a day or so), and the curve's form is never quite the digester's (`lasting`: a rate
off today stays off for a while). The second matters more for a forecast: it is
why thousands of readings don't make the far end certain.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.process.observed import Observed

Floats = NDArray[np.float64]

# A stated uncertainty is itself known to about a third; the GUM (G.3) turns
# that into degrees of freedom, 1/2 (1/0.35)^2, rounded.
STATED_DOF = 4.0
# Relative sd before the run has shown its own, lognormal: sources `daily_wander`
# and `lasting_wander`.
_DAILY, _LASTING, _SPREAD = np.log(0.10), np.log(0.10), 0.7
_DAILY_GRID = np.geomspace(0.02, 0.8, 7)
_LASTING_GRID = np.geomspace(0.02, 0.8, 7)
# Correlation length in log time: scale-free, so that a misfit lasts days early
# and weeks late, as the misfit of one curve by another does.
LOG_LENGTH = 1.0
# A good or bad day lasts a day (source `daily_wander`).
MEMORY_D = 1.0
# Intervals used to estimate the two: their work grows with the cube.
MOST_FOR_NOISE = 60


@dataclass(frozen=True)
class Noise:
    """Relative sd of the rate: `daily` and `lasting` [1].

    `choices` (c x 3: weight, daily, lasting) is what is known about the two.
    """

    daily: float
    lasting: float
    choices: Floats

    @classmethod
    def fixed(cls, daily: float, lasting: float = 0.0) -> "Noise":
        """Known noise."""
        return cls(daily, lasting, np.array([[1.0, daily, lasting]]))


def relative_covariance(
    middle: Floats, length: Floats, *, noise: Noise, straying_d: float | None
) -> Floats:
    """Covariance of the relative deviation of intervals (middle and length in days).

    Notes
    -----
    The daily part remembers a day: cov(s, t) = exp(-|s - t| / tau) averaged over
    both intervals, exactly. Taken as white instead, hourly readings of a slow
    swing would look like hourly noise that averages out.

    The lasting part of a batch is the misfit of one curve's form, which grows slower
    with age. A fed digester has feeds of all ages in it at any time: the misfit of their
    form averages into a constant, which is for the feeds' scale to say, and what strays
    is forgotten as fast as a feed is digested (`straying_d`).
    """
    if straying_d is None:
        clock = np.log(np.maximum(middle, 0.05)) / LOG_LENGTH
    else:
        clock = middle / straying_d
    slow = np.exp(-np.abs(clock[:, None] - clock[None, :]))
    ratio = length / MEMORY_D
    gone = -np.expm1(-ratio) / ratio
    gap = np.abs(middle[:, None] - middle[None, :]) - 0.5 * (length[:, None] + length[None, :])
    quick = np.exp(-np.maximum(gap, 0.0) / MEMORY_D) * gone[:, None] * gone[None, :]
    np.fill_diagonal(quick, 2.0 / ratio * (1.0 - gone))
    return np.asarray(noise.lasting**2 * slow + noise.daily**2 * quick)


def process_covariance(observed: Observed, increments: Floats, noise: Noise) -> Floats:
    """Covariance of the gas of intervals from the digester's own straying [m6]."""
    gas = np.maximum(increments, 0.0)
    relative = relative_covariance(
        observed.middle, observed.length, noise=noise, straying_d=observed.straying_d
    )
    return np.asarray(np.outer(gas, gas) * relative)


def likely_noise(
    observed: Observed, increments: Floats, changes: Floats, by_prior: Floats | None
) -> Noise:
    """Estimate both kinds of straying from the residuals of a fit.

    Parameters
    ----------
    observed : Observed
        Intervals; some sixty tell as much about straying as thousands.
    increments : ndarray
        Fitted gas of each interval [m3], shape n.
    changes : ndarray
        Derivatives of the increments by the parameters, n x k.
    by_prior : ndarray or None
        Jacobian of the prior's residuals, if there is a prior.

    Returns
    -------
    Noise
        Posterior middle on a log grid, with the grid's weights.

    Notes
    -----
    Restricted likelihood: the fitted parameters are integrated out in linear
    approximation, so that few data don't look like little noise; the residual
    scale is integrated out under its stated degrees of freedom.

    References
    ----------
    patterson_thompson_1971, gum_2008, daily_wander, lasting_wander
    """
    grid = np.array([(d, s) for d in _DAILY_GRID for s in _LASTING_GRID])
    seen = ~observed.at_least
    log = -0.5 * np.sum(((np.log(grid) - (_DAILY, _LASTING)) / _SPREAD) ** 2, axis=1)
    if seen.any():
        noises = [process_covariance(observed, increments, Noise.fixed(d, s)) for d, s in grid]
        still = observed.covariance(np.zeros((observed.count,) * 2)).matrix
        stack = still + np.array(noises)[:, seen][:, :, seen]
        prior = np.zeros((changes.shape[1],) * 2) if by_prior is None else by_prior.T @ by_prior
        log += _restricted(stack, (observed.gas - increments)[seen], changes[seen], prior)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    middle = np.exp(weight @ np.log(grid))
    return Noise(float(middle[0]), float(middle[1]), np.column_stack([weight, grid]))


def _restricted(stack: Floats, gap: Floats, changes: Floats, prior: Floats) -> Floats:
    """Restricted log likelihood for each covariance of a stack (g x n x n)."""
    factor = np.linalg.cholesky(stack)
    columns = np.column_stack([gap[:, None], changes])
    white = np.linalg.solve(factor, np.broadcast_to(columns, (len(stack), *columns.shape)))
    residual, slope = white[..., 0], white[..., 1:]
    curvature = np.swapaxes(slope, 1, 2) @ slope + prior
    size = 1.0 / np.sqrt(np.maximum(np.diagonal(curvature, axis1=1, axis2=2), 1e-300))
    scaled = curvature * size[:, :, None] * size[:, None, :] + 1e-10 * np.eye(size.shape[1])
    pull = np.einsum("gnk,gn->gk", slope, residual) * size
    solved = np.linalg.solve(scaled, pull[..., None])[..., 0]
    chi_square = np.maximum(np.sum(residual**2, axis=1) - np.sum(pull * solved, axis=1), 0.0)
    log_curvature = np.linalg.slogdet(scaled)[1] - 2.0 * np.sum(np.log(size), axis=1)
    spare = gap.size if prior.any() else max(gap.size - changes.shape[1], 0)
    return np.asarray(
        -np.sum(np.log(np.diagonal(factor, axis1=1, axis2=2)), axis=1)
        - 0.5 * log_curvature
        - 0.5 * (STATED_DOF + spare) * np.log1p(chi_square / STATED_DOF)
    )
