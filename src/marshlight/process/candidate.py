"""Fitting one curve to observed intervals: residuals, noise and information.

The digestion's own wander (days a little better or worse than the curve) is
estimated beside the parameters. It is what keeps bands honest when thousands
of readings lie along one slow wave.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import FitError
from marshlight.process.curves import CurveParameter
from marshlight.process.least_squares import Solution, solve
from marshlight.process.noise import (
    MOST_FOR_NOISE,
    STATED_DOF,
    Noise,
    likely_noise,
    process_covariance,
)
from marshlight.process.observed import Observed

Floats = NDArray[np.float64]


class Model(Protocol):
    """What a fit needs of a curve, batch or fed."""

    @property
    def name(self) -> str: ...
    @property
    def parameters(self) -> tuple[CurveParameter, ...]: ...
    def value(self, day: ArrayLike, parameters: ArrayLike) -> Floats: ...
    def slopes(self, day: ArrayLike, parameters: ArrayLike) -> Floats: ...


class Belief(Protocol):
    """Gaussian evidence about parameters from outside the readings."""

    def residuals(self, parameters: Floats) -> Floats: ...
    def slopes(self, parameters: Floats) -> Floats: ...


@dataclass(frozen=True)
class Candidate:
    """One fitted curve with all that choosing and forecasting need.

    `noise` is the digester's straying from the curve; `low` and `high` are the
    bounds; `scale` multiplies every stated uncertainty so that the residuals are
    as large as they should be. `aicc` is Akaike's criterion: with the small-sample term
    where the readings stand alone, with the effective number of parameters under a belief.
    """

    model: Model
    solution: Solution
    observed: Observed
    belief: Belief | None
    low: Floats
    high: Floats
    noise: Noise
    scale: float
    degrees_of_freedom: int
    deviance: float
    aicc: float

    @property
    def parameters(self) -> Floats:
        """Best parameters, natural units."""
        return self.solution.parameters

    @property
    def covariance(self) -> Floats:
        """Covariance of the parameters, natural units, scale included."""
        return self.solution.inverse_curvature * self.scale**2


class Evidence:
    """Whitened residuals of a model against observed intervals, for given noise."""

    def __init__(self, model: Model, observed: Observed, process: Floats | None = None) -> None:
        self.model, self.observed = model, observed
        self.seen = ~observed.at_least
        own = np.zeros((observed.count, observed.count)) if process is None else process
        self.covariance = observed.covariance(own)
        self.sd = np.sqrt(observed.interval_sd() ** 2 + np.diag(own))

    def increments(self, parameters: Floats) -> Floats:
        """Model gas of each interval, (..., n)."""
        value = self.model.value(self.observed.end, parameters)
        return np.diff(value, axis=-1, prepend=0.0)

    def seen_residuals(self, increments: Floats) -> Floats:
        """Whitened distances of fully seen intervals, (..., n seen)."""
        gap = (self.observed.gas - increments)[..., self.seen]
        return self.covariance.whiten(gap.T).T

    def unseen_log_chance(self, increments: Floats) -> Floats:
        """Log chance of each lower bound: log P(true gas >= what was counted)."""
        from scipy.special import log_ndtr

        hidden = ~self.seen
        z = (increments - self.observed.gas)[..., hidden] / self.sd[hidden]
        return np.asarray(log_ndtr(z))

    def residuals(self, parameters: Floats) -> Floats:
        """All residuals whose squares sum to minus twice the log likelihood."""
        increments = self.increments(parameters)
        seen = self.seen_residuals(increments)
        if self.seen.all():
            return seen
        return np.concatenate([seen, np.sqrt(-2.0 * self.unseen_log_chance(increments))])

    def changes(self, parameters: Floats) -> Floats:
        """Derivatives of the increments by the parameters, n x k."""
        return np.diff(self.model.slopes(self.observed.end, parameters), axis=0, prepend=0.0)

    def slopes(self, parameters: Floats) -> Floats:
        """Exact Jacobian of the residuals."""
        change = self.changes(parameters)
        seen = -self.covariance.whiten(change[self.seen])
        if self.seen.all():
            return seen
        hidden = ~self.seen
        increments = self.increments(parameters)
        log_chance = self.unseen_log_chance(increments)
        z = (increments - self.observed.gas)[hidden] / self.sd[hidden]
        hazard = np.exp(-0.5 * z**2 - 0.5 * np.log(2 * np.pi) - log_chance)
        size = np.maximum(np.sqrt(-2.0 * log_chance), 1e-8)
        return np.vstack([seen, -(hazard / size / self.sd[hidden])[:, None] * change[hidden]])


def fit_candidate(
    model: Model,
    observed: Observed,
    starts: Sequence[Floats],
    *,
    low: Floats,
    high: Floats,
    belief: Belief | None = None,
    wander: float | None = None,
) -> Candidate:
    """Fit one model: parameters, the digestion's wander, and the scale of the residuals.

    Parameters
    ----------
    model : Model
        Curve, batch or fed.
    observed : Observed
        Intervals with their variances.
    starts : sequence of ndarray
        Natural starting points.
    low, high : ndarray
        Bounds in natural units.
    belief : Belief, optional
        Prior, appended as residuals.
    wander : float, optional
        Relative day-to-day noise of the rate [1], 0 or more;
        estimated if left out.

    Returns
    -------
    Candidate
        The fitted curve with its information criterion.

    Raises
    ------
    FitError
        If no start led to a minimum.
    """
    evidence = Evidence(model, observed)
    final = wander == 0.0
    solution = _solve(evidence, starts, low=low, high=high, belief=belief, exact=final)
    noise = Noise.fixed(0.0 if wander is None else wander)
    if not final:
        if not observed.scaled:
            observed = observed.rescaled(_residual_variance(evidence, solution))
        best = solution.parameters
        if wander is None:
            coarse = Evidence(model, observed.coarser(MOST_FOR_NOISE))
            noise = likely_noise(
                coarse.observed, coarse.increments(best), coarse.changes(best),
                None if belief is None else belief.slopes(best),
            )  # fmt: skip
        process = process_covariance(observed, evidence.increments(best), noise)
        evidence = Evidence(model, observed, process)
        # From so near, the last steps of every search end in the last digits by themselves.
        solution = _solve(evidence, [best], low=low, high=high, belief=belief, exact=False)
    return _judge(evidence, solution, low=low, high=high, belief=belief, noise=noise)


def _solve(
    evidence: Evidence,
    starts: Sequence[Floats],
    *,
    low: Floats,
    high: Floats,
    belief: Belief | None,
    exact: bool = True,
) -> Solution:
    model = evidence.model
    scales = [parameter.scale for parameter in model.parameters]
    if belief is None:
        return solve(
            evidence.residuals, evidence.slopes, starts,
            scales=scales, low=low, high=high, exact=exact,
        )  # fmt: skip
    known = belief

    def residuals(p: Floats) -> Floats:
        return np.concatenate([evidence.residuals(p), known.residuals(p)])

    def slopes(p: Floats) -> Floats:
        return np.vstack([evidence.slopes(p), known.slopes(p)])

    return solve(residuals, slopes, starts, scales=scales, low=low, high=high, exact=exact)


def _residual_variance(evidence: Evidence, solution: Solution) -> float:
    residuals = evidence.seen_residuals(evidence.increments(solution.parameters))
    spare = max(residuals.size - solution.parameters.size, 1)
    size = float(np.max(np.abs(evidence.observed.gas), initial=0.0))
    return max(float(np.sum(residuals**2)) / spare, (1e-9 * size) ** 2, 1e-60)


def _judge(
    evidence: Evidence,
    solution: Solution,
    *,
    low: Floats,
    high: Floats,
    belief: Belief | None,
    noise: Noise,
) -> Candidate:
    observed, best = evidence.observed, solution.parameters
    chi_square = float(np.sum(evidence.seen_residuals(evidence.increments(best)) ** 2))
    deviance, scale, spare = _misfit(evidence, chi_square, best)
    if belief is None:
        criterion = aicc(deviance, float(evidence.seen.sum()), float(best.size) + 1.0)
    else:
        deviance += float(np.sum(belief.residuals(best) ** 2))
        # No small-sample term here: it corrects for a variance and parameters that nothing but
        # the data hold. Both are held beforehand; the term would outweigh any misfit.
        counted = _effective_parameters(evidence.slopes(best), belief.slopes(best))
        criterion = deviance + 2.0 * (counted + 1.0)
    if not np.isfinite(deviance):
        raise FitError(f"The {evidence.model.name} curve gave no finite misfit.")
    return Candidate(
        model=evidence.model, solution=solution, observed=observed, belief=belief,
        low=low, high=high, noise=noise, scale=scale, degrees_of_freedom=spare, deviance=deviance,
        aicc=criterion,
    )  # fmt: skip


def _misfit(evidence: Evidence, chi_square: float, best: Floats) -> tuple[float, float, int]:
    """Deviance without the prior, residual scale, degrees of freedom."""
    data = int(evidence.seen.sum())
    increments = evidence.increments(best)
    unseen = -2.0 * float(np.sum(evidence.unseen_log_chance(increments)))
    if evidence.observed.scaled:
        spare = max(data - best.size, 0)
        scale = float(np.sqrt(max(1.0, (STATED_DOF + chi_square) / (STATED_DOF + spare))))
        fitted = evidence.covariance.log_determinant
        fitted += (STATED_DOF + data) * float(np.log1p(chi_square / STATED_DOF))
        return fitted + unseen, scale, int(spare + STATED_DOF)
    spare = max(data - best.size, 1)
    fitted = data * float(np.log(max(chi_square, 1e-300) / max(data, 1)))
    return fitted + unseen, float(np.sqrt(chi_square / spare)), spare


def _effective_parameters(by_data: Floats, by_prior: Floats) -> float:
    """How many parameters the data decide: the trace of their share of the curvature.

    References
    ----------
    hodges_sargent_2001, spiegelhalter_2002
    """
    data, prior = by_data.T @ by_data, by_prior.T @ by_prior
    total = data + prior
    size = 1.0 / np.sqrt(np.maximum(np.diag(total), 1e-300))
    rescale = np.outer(size, size)
    return float(np.trace(np.linalg.pinv(total * rescale) @ (data * rescale)))


def aicc(deviance: float, data: float, parameters: float) -> float:
    """Akaike's criterion with the small-sample term; infinite when data are too few.

    Parameters
    ----------
    deviance : float
        Minus twice the log likelihood at the best point [1].
    data : float
        Number of data.
    parameters : float
        Number of estimated numbers, the noise included.

    Returns
    -------
    float
        AICc [1]; smaller is better.

    References
    ----------
    hurvich_tsai_1989

    Examples
    --------
    >>> aicc(10.0, 10, 3)
    20.0
    """
    spare = data - parameters - 1
    if spare <= 0:
        return float("inf")
    return deviance + 2.0 * parameters + 2.0 * parameters * (parameters + 1) / spare
