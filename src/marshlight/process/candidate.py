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
from marshlight.process.observed import Observed

Floats = NDArray[np.float64]

# A stated uncertainty is itself known to about a third; the GUM (G.3) turns
# that into degrees of freedom, 1/2 (1/0.35)^2, rounded.
STATED_DOF = 4.0
# Day-to-day wander of the rate, relative, for one day: lognormal middle and
# spread before the run has shown its own (source `daily_wander`).
_WANDER_MIDDLE, _WANDER_SPREAD = np.log(0.10), 0.7
_WANDER_GRID = np.exp(np.linspace(np.log(0.01), np.log(1.0), 15))


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

    `wander` is the relative day-to-day noise of the rate; `scale` multiplies
    every stated uncertainty so that the residuals are as large as they should be.
    """

    model: Model
    solution: Solution
    observed: Observed
    belief: Belief | None
    wander: float
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

    def __init__(self, model: Model, observed: Observed, wander: Floats) -> None:
        self.model, self.observed, self.wander = model, observed, wander
        self.seen = ~observed.at_least
        self.covariance = observed.covariance(wander)
        self.sd = np.sqrt(observed.interval_sd() ** 2 + wander)

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

    def slopes(self, parameters: Floats) -> Floats:
        """Exact Jacobian of the residuals."""
        change = np.diff(self.model.slopes(self.observed.end, parameters), axis=0, prepend=0.0)
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


def wander_variance(observed: Observed, increments: Floats, wander: float) -> Floats:
    """Variance of the digestion's own wander in each interval [m6].

    White in time: relative sd `wander` for one day, so (w x gas)^2 / days; two
    half days and one whole day then agree.
    """
    return np.asarray(wander**2 * np.maximum(increments, 0.0) ** 2 / observed.length)


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
        Relative day-to-day noise of the rate [1 per sqrt(d)], 0 or more;
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
    evidence = Evidence(model, observed, np.zeros(observed.count))
    solution = _solve(evidence, starts, low=low, high=high, belief=belief)
    used = 0.0 if wander is None else wander
    if wander != 0.0:
        if not observed.scaled:
            observed = observed.rescaled(_residual_variance(evidence, solution))
        for _ in range(2):
            increments = evidence.increments(solution.parameters)
            used = _likely_wander(observed, increments) if wander is None else wander
            evidence = Evidence(model, observed, wander_variance(observed, increments, used))
            solution = _solve(evidence, [solution.parameters], low=low, high=high, belief=belief)
    return _judge(evidence, solution, belief=belief, wander=used)


def _solve(
    evidence: Evidence,
    starts: Sequence[Floats],
    *,
    low: Floats,
    high: Floats,
    belief: Belief | None,
) -> Solution:
    model = evidence.model
    scales = [parameter.scale for parameter in model.parameters]
    if belief is None:
        return solve(evidence.residuals, evidence.slopes, starts, scales=scales, low=low, high=high)
    known = belief

    def residuals(p: Floats) -> Floats:
        return np.concatenate([evidence.residuals(p), known.residuals(p)])

    def slopes(p: Floats) -> Floats:
        return np.vstack([evidence.slopes(p), known.slopes(p)])

    return solve(residuals, slopes, starts, scales=scales, low=low, high=high)


def _residual_variance(evidence: Evidence, solution: Solution) -> float:
    residuals = evidence.seen_residuals(evidence.increments(solution.parameters))
    spare = max(residuals.size - solution.parameters.size, 1)
    size = float(np.max(np.abs(evidence.observed.gas), initial=0.0))
    return max(float(np.sum(residuals**2)) / spare, (1e-9 * size) ** 2, 1e-60)


def _likely_wander(observed: Observed, increments: Floats) -> float:
    """Posterior middle of the wander, the scale of the stated uncertainties integrated out."""
    seen = ~observed.at_least
    gap = (observed.gas - increments)[seen]
    if gap.size == 0:
        return float(np.exp(_WANDER_MIDDLE))
    log_chance = np.empty(_WANDER_GRID.size)
    for i, wander in enumerate(_WANDER_GRID):
        noise = observed.covariance(wander_variance(observed, increments, wander))
        chi_square = float(np.sum(noise.whiten(gap) ** 2))
        log_chance[i] = (
            -0.5 * noise.log_determinant
            - 0.5 * (STATED_DOF + gap.size) * np.log1p(chi_square / STATED_DOF)
            - 0.5 * ((np.log(wander) - _WANDER_MIDDLE) / _WANDER_SPREAD) ** 2
        )
    weight = np.exp(log_chance - log_chance.max())
    return float(np.exp(np.sum(weight * np.log(_WANDER_GRID)) / np.sum(weight)))


def _judge(
    evidence: Evidence, solution: Solution, *, belief: Belief | None, wander: float
) -> Candidate:
    observed = evidence.observed
    increments = evidence.increments(solution.parameters)
    chi_square = float(np.sum(evidence.seen_residuals(increments) ** 2))
    data = int(evidence.seen.sum())
    size = solution.parameters.size
    deviance = -2.0 * float(np.sum(evidence.unseen_log_chance(increments)))
    if observed.scaled:
        deviance += evidence.covariance.log_determinant + (STATED_DOF + data) * float(
            np.log1p(chi_square / STATED_DOF)
        )
        spare = max(data - size, 0)
        scale = float(np.sqrt(max(1.0, (STATED_DOF + chi_square) / (STATED_DOF + spare))))
    else:
        spare = max(data - size, 1)
        scale = float(np.sqrt(chi_square / spare))
        deviance += data * float(np.log(max(chi_square, 1e-300) / max(data, 1)))
    if belief is not None:
        distances = belief.residuals(solution.parameters)
        deviance += float(np.sum(distances**2))
        data += distances.size
    if not np.isfinite(deviance):
        raise FitError(f"The {evidence.model.name} curve gave no finite misfit.")
    return Candidate(
        model=evidence.model, solution=solution, observed=observed, belief=belief,
        wander=wander, scale=scale, degrees_of_freedom=spare, deviance=deviance,
        aicc=aicc(deviance, data, size + 1),
    )  # fmt: skip


def aicc(deviance: float, data: int, parameters: int) -> float:
    """Akaike's criterion with the small-sample term; infinite when data are too few.

    Parameters
    ----------
    deviance : float
        Minus twice the log likelihood at the best point [1].
    data : int
        Number of data.
    parameters : int
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
