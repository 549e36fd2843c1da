"""Parameter draws that respect bounds, priors, gaps and skewness.

A Gaussian around the best point is not enough when data are few: totals are
skewed, lags end at zero. Draws come from adaptive importance sampling instead:
Student proposals, corrected by the true density, adapted a few times.
"""

import numpy as np
from numpy.typing import NDArray

from marshlight.process.candidate import Belief, Candidate, Evidence
from marshlight.process.noise import STATED_DOF, process_covariance
from marshlight.process.scales import to_internal, to_natural

Floats = NDArray[np.float64]

_ROUNDS = 4
_DRAWS = 500
_TAIL = 5.0  # degrees of freedom of the proposal: heavier than any target here
# Widest useful proposal in each coordinate: a factor e^1.5, a share from 1 to 99 %.
_WIDEST = {"log": 1.5, "share": 2.0}


def draw_parameters(
    fit: Candidate, belief: Belief, count: int, *, rng: np.random.Generator
) -> tuple[Floats, Floats]:
    """Draw parameters from the posterior of one fitted curve.

    Parameters
    ----------
    fit : Candidate
        The fitted curve, with its data and noise.
    belief : Belief
        Gaussian evidence about parameters; where the fit had none, the general
        expectation for digesters.
    count : int
        Number of draws, 1 or more.
    rng : numpy.random.Generator
        Source of randomness.

    Returns
    -------
    tuple of ndarray
        Natural parameters (count x k) and the residual scale of each draw.

    References
    ----------
    cornuet_2012, gum_2008
    """
    target = _Target(fit, belief)
    middle, spread = fit.solution.internal, _first_spread(fit)
    pools: list[Floats] = []
    logs: list[Floats] = []
    shapes: list[tuple[Floats, Floats]] = []
    for _ in range(_ROUNDS):
        shapes.append((middle, np.asarray(np.linalg.cholesky(spread), dtype=np.float64)))
        pools.append(_student(shapes[-1], _DRAWS, rng))
        logs.append(target.log_density(pools[-1]))
        pool = np.concatenate(pools)
        weight = _weights(pool, np.concatenate(logs), shapes)
        middle, spread = _moments(pool, weight, spread)
    picked = _systematic(weight, count, rng)
    chosen = to_natural(np.concatenate(pools)[picked], target.scales)
    return chosen, target.scale_draws(chosen, rng)


class _Target:
    """Log posterior density, the scale of the stated uncertainties integrated out."""

    def __init__(self, fit: Candidate, belief: Belief) -> None:
        self.fit, self.belief = fit, belief
        self.scales = [p.scale for p in fit.model.parameters]
        increments = Evidence(fit.model, fit.observed).increments(fit.parameters)
        process = process_covariance(fit.observed, increments, fit.noise)
        self.evidence = Evidence(fit.model, fit.observed, process)
        self.low = to_internal(fit.low, self.scales)
        self.high = to_internal(fit.high, self.scales)

    def chi_square(self, increments: Floats) -> Floats:
        return np.asarray(np.sum(self.evidence.seen_residuals(increments) ** 2, axis=-1))

    def log_density(self, internal: Floats) -> Floats:
        inside = np.all((internal >= self.low) & (internal <= self.high), axis=-1)
        p = to_natural(np.clip(internal, self.low, self.high), self.scales)
        increments = self.evidence.increments(p)
        data = int(self.evidence.seen.sum())
        log = -0.5 * np.sum(self.belief.residuals(p) ** 2, axis=-1)
        if self.fit.observed.scaled:
            log -= 0.5 * (STATED_DOF + data) * np.log1p(self.chi_square(increments) / STATED_DOF)
        else:
            log -= 0.5 * data * np.log(np.maximum(self.chi_square(increments), 1e-300))
        log += np.sum(self.evidence.unseen_log_chance(increments), axis=-1)
        return np.where(inside & np.isfinite(log), log, -np.inf)

    def scale_draws(self, natural: Floats, rng: np.random.Generator) -> Floats:
        own = STATED_DOF if self.fit.observed.scaled else 0.0
        chi_square = own + self.chi_square(self.evidence.increments(natural))
        freedom = max(own + float(self.evidence.seen.sum()), 1.0)
        return np.sqrt(chi_square / rng.chisquare(freedom, len(natural)))


def _first_spread(fit: Candidate) -> Floats:
    """Starting proposal: the fit's covariance, with blind directions kept finite."""
    covariance = fit.solution.internal_covariance * max(fit.scale, 1.0) ** 2
    sd = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    horizon = max(fit.observed.last_day, 5.0)
    limits = np.array([_WIDEST.get(p.scale, 0.5 * horizon) for p in fit.model.parameters])
    stuck = np.array(fit.solution.at_bound)
    wanted = np.where(stuck, 0.3 * limits, np.minimum(1.2 * sd, limits))
    wanted = np.maximum(wanted, 1e-6)
    correlation = covariance / np.maximum(np.outer(sd, sd), 1e-300)
    # Shrunk a little: at the limits a perfect correlation would leave a flat proposal.
    correlation = 0.98 * np.where(np.eye(sd.size, dtype=bool), 0.0, correlation) + np.eye(sd.size)
    loose = stuck | (sd > limits)
    correlation[loose, :] = correlation[:, loose] = 0.0
    np.fill_diagonal(correlation, 1.0)
    return _positive(correlation * np.outer(wanted, wanted))


def _positive(matrix: Floats) -> Floats:
    values, vectors = np.linalg.eigh(0.5 * (matrix + matrix.T))
    floor = max(float(values.max()), 1e-12) * 1e-9
    return np.asarray((vectors * np.maximum(values, floor)) @ vectors.T)


def _student(shape: tuple[Floats, Floats], count: int, rng: np.random.Generator) -> Floats:
    middle, factor = shape
    normal = rng.standard_normal((count, middle.size)) @ factor.T
    return np.asarray(middle + normal / np.sqrt(rng.chisquare(_TAIL, (count, 1)) / _TAIL))


def _weights(pool: Floats, log: Floats, shapes: list[tuple[Floats, Floats]]) -> Floats:
    """Normalised weights against the mixture of all proposals used."""
    densities = []
    for middle, factor in shapes:
        z = np.linalg.solve(factor, (pool - middle).T)
        distance = np.sum(z**2, axis=0)
        densities.append(
            -np.sum(np.log(np.diag(factor)))
            - 0.5 * (_TAIL + middle.size) * np.log1p(distance / _TAIL)
        )
    mixture = np.logaddexp.reduce(np.array(densities), axis=0)
    ratio = np.where(np.isfinite(log), log - mixture, -np.inf)
    weight = np.exp(ratio - ratio.max())
    return np.asarray(weight / weight.sum())


def _moments(pool: Floats, weight: Floats, before: Floats) -> tuple[Floats, Floats]:
    """Weighted middle and spread; with few effective draws the old spread is kept in part."""
    middle = weight @ pool
    gap = pool - middle
    spread = (weight[:, None] * gap).T @ gap
    effective = 1.0 / float(np.sum(weight**2))
    keep = 1.0 / (1.0 + effective / (10.0 * middle.size))
    return middle, _positive((1 - keep) * spread + keep * before)


def _systematic(weight: Floats, count: int, rng: np.random.Generator) -> NDArray[np.intp]:
    points = (np.arange(count) + rng.random()) / count
    picked = np.searchsorted(np.cumsum(weight), points).clip(0, weight.size - 1)
    return np.asarray(rng.permutation(picked), dtype=np.intp)
