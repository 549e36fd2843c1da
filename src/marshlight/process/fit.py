"""Fit cumulative gas, choose among curves, and say why and what to distrust."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import FitError, require
from marshlight.estimate import Estimate
from marshlight.process.candidate import Candidate, fit_candidate
from marshlight.process.choice import Rival, choose
from marshlight.process.curves import CURVES, Curve, curve
from marshlight.process.doubts import doubts
from marshlight.process.observed import MOST_INTERVALS, MOST_WITH_WANDER, Observed, observe
from marshlight.process.prior import CurvePrior, Expectation, from_descriptors
from marshlight.process.starts import data_starts

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Prediction:
    """Cumulative gas at days: value, and half-widths of intervals for curve and new reading."""

    day: Floats
    value: Floats
    curve_half_width: Floats
    reading_half_width: Floats
    level: float


@dataclass(frozen=True)
class Fit:
    """A fitted curve, its rivals, and how far to trust it.

    `covariance` is in natural parameters and includes the residual scale;
    `candidates` is the table of all curves tried, best first; `members` are the
    curves worth averaging in a forecast, with weights that sum to 1.
    """

    curve: str
    parameters: Floats
    covariance: Floats
    aicc: float
    candidates: tuple[Rival, ...]
    reason: str
    warnings: tuple[str, ...]
    best: Candidate
    members: tuple[tuple[float, Candidate], ...]
    prior: CurvePrior | None
    asked: str

    @property
    def names(self) -> tuple[str, ...]:
        """Parameter names, in the order of `parameters`."""
        return tuple(p.name for p in self.best.model.parameters)

    @property
    def estimates(self) -> Mapping[str, Estimate]:
        """Each parameter with its standard uncertainty."""
        sd = np.sqrt(np.maximum(np.diag(self.covariance), 0.0))
        return {
            n: Estimate(float(v), float(u))
            for n, v, u in zip(self.names, self.parameters, sd, strict=True)
        }

    @property
    def observed(self) -> Observed:
        """The intervals that were fitted."""
        return self.best.observed

    @property
    def residual_scale(self) -> float:
        """How many times the stated uncertainties the residuals call for (1 = as stated)."""
        return self.best.scale

    @property
    def wander(self) -> float:
        """Relative day-to-day noise of the rate about the curve [1]."""
        return self.best.noise.daily

    @property
    def drift(self) -> float:
        """Relative straying of the rate that lasts: the misfit of the curve's form [1]."""
        return self.best.noise.lasting

    def interval(self, name: str, level: float = 0.95) -> tuple[float, float]:
        """Student interval of a parameter, symmetric about its value.

        Raises
        ------
        InputError
            If the curve has no such parameter.
        """
        require(
            name in self.names,
            field="parameter",
            value=name,
            allowed=", ".join(self.names),
            remedy="Choose a parameter of this curve",
        )
        estimate = self.estimates[name]
        half = self._quantile(level) * estimate.u
        return estimate.value - half, estimate.value + half

    def predict(self, day: ArrayLike, *, level: float = 0.95) -> Prediction:
        """Curve and prediction intervals at days, by linearising the curve.

        Parameters
        ----------
        day : array_like
            Days [d], shape m.
        level : float
            Share of truth the intervals should hold, 0 to 1 [1].

        Returns
        -------
        Prediction
            Cumulative gas [m3] and half-widths [m3] for the curve itself and
            for one new reading. Bands of a forecast: see `forecast`.
        """
        t = np.atleast_1d(np.asarray(day, dtype=np.float64))
        value = self.best.model.value(t, self.parameters)
        slope = self.best.model.slopes(t, self.parameters)
        variance = np.einsum("mi,ij,mj->m", slope, self.covariance, slope)
        reading = float(np.median(self.observed.reading_variance[1:])) * self.residual_scale**2
        q = self._quantile(level)
        return Prediction(
            day=t,
            value=value,
            curve_half_width=q * np.sqrt(np.maximum(variance, 0.0)),
            reading_half_width=q * np.sqrt(np.maximum(variance, 0.0) + reading),
            level=level,
        )

    def _quantile(self, level: float) -> float:
        from scipy.special import stdtrit

        return float(stdtrit(max(self.best.degrees_of_freedom, 1), 0.5 + level / 2.0))


def fit_curve(
    day: ArrayLike,
    volume_m3: ArrayLike,
    u_m3: ArrayLike | None,
    *,
    curve: str = "auto",
    prior: CurvePrior | None = None,
    lower_bound: ArrayLike | None = None,
    interval_u_m3: ArrayLike | None = None,
    wander: float | None = None,
) -> Fit:
    """Fit a cumulative-gas curve to a batch run.

    Parameters
    ----------
    day : array_like
        Days since the start [d], rising, shape n.
    volume_m3 : array_like
        Cumulative dry normal gas [m3], shape n.
    u_m3 : array_like or None
        Standard uncertainty of each cumulative value [m3]; None if unknown.
    curve : str
        A curve's name, or "auto" to choose by AICc.
    prior : CurvePrior, optional
        The recipe's expectation; needed when data are few.
    lower_bound : array_like, optional
        True where some gas since the reading before was unseen: that interval
        then only says "at least".
    interval_u_m3 : array_like, optional
        Standard uncertainty of the gas since the reading before [m3].
    wander : float, optional
        Relative day-to-day noise of the rate [1]; estimated if left
        out, 0 for plain least squares.

    Returns
    -------
    Fit
        Parameters with covariance, the table of curves tried, the reason for
        the choice, and warnings in words.

    Raises
    ------
    FitError
        If there is too little to fit, or no curve could be fitted.
    InputError
        If the record is malformed or the curve's name unknown.

    Notes
    -----
    Generalised least squares on the gas of each interval, whose covariance has
    independent reading error, counted error and the digestion's own wander; a
    prior is appended as Gaussian residuals. Uncertainties are multiplied by the
    residual scale where residuals are larger than stated. A scale error common
    to all readings (a wrong bore) can't be seen in any fit; add it outside.

    References
    ----------
    nist_strd, hurvich_tsai_1989, zwietering_1990, kinetic_review_2020

    Examples
    --------
    >>> fit = fit_curve([1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224], None,
    ...                 curve="first_order", wander=0.0)
    >>> round(fit.estimates["ultimate"].value, 4), round(fit.estimates["rate"].u, 5)
    (213.8094, 0.10456)
    """
    observed = observe(
        day,
        volume_m3,
        u_m3,
        lower_bound=lower_bound,
        interval_u_m3=interval_u_m3,
        most=MOST_INTERVALS if wander == 0.0 else MOST_WITH_WANDER,
    )
    return fit_observed(observed, curve=curve, prior=prior, wander=wander)


def fit_observed(
    observed: Observed,
    *,
    curve: str = "auto",
    prior: CurvePrior | None = None,
    wander: float | None = None,
) -> Fit:
    """Fit intervals already made by `observe`; parameters and errors as `fit_curve`.

    Raises
    ------
    FitError
        If there is too little to fit, or no curve could be fitted.
    """
    tried = _names_to_try(observed, curve, prior)
    belief = None if prior is None else Expectation.of(prior)
    fitted, failures = _fit_each(tried, observed, belief, wander)
    chosen = choose(fitted, asked=curve)
    best = chosen.members[0][1]
    return Fit(
        curve=best.model.name,
        parameters=best.parameters,
        covariance=best.covariance,
        aicc=best.aicc,
        candidates=chosen.table,
        reason=chosen.reason,
        warnings=doubts(best, failures=failures),
        best=best,
        members=chosen.members,
        prior=prior,
        asked=curve,
    )


def forecast_members(fit: Fit) -> tuple[tuple[float, Candidate], ...]:
    """Weighted curves to forecast with.

    With a recipe these are the fit's own. Without one, the readings alone may
    leave a total anywhere up to infinity; the curves are then fitted again under
    the general expectation for digesters, which stays silent when data speak.

    Raises
    ------
    FitError
        If no curve could be fitted.
    """
    if fit.prior is not None:
        return fit.members
    names = list(CURVES) if fit.asked == "auto" else [fit.curve]
    wander = 0.0 if fit.wander == 0.0 else None
    fitted, _ = _fit_each(
        names, fit.observed, Expectation.of(None, seen_m3=fit.observed.total), wander
    )
    return choose(fitted, asked=fit.asked).members


def _fit_each(
    names: Sequence[str],
    observed: Observed,
    belief: Expectation | None,
    wander: float | None,
) -> tuple[list[Candidate], list[str]]:
    fitted: list[Candidate] = []
    failures: list[str] = []
    for name in names:
        try:
            fitted.append(_fit_one(CURVES[name], observed, belief, wander))
        except (FitError, np.linalg.LinAlgError) as failure:
            failures.append(f"{name}: {failure}")
    if not fitted:
        raise FitError("No curve could be fitted. " + " ".join(failures))
    return fitted, failures


def _names_to_try(observed: Observed, asked: str, prior: CurvePrior | None) -> Sequence[str]:
    names = [curve(asked).name] if asked != "auto" else list(CURVES)
    seen = int(np.sum(~observed.at_least))
    if prior is not None:
        return names
    # Without a prior a curve needs more intervals than it has numbers (noise included).
    enough = [n for n in names if seen >= len(CURVES[n].parameters) + (asked == "auto") * 2]
    if asked == "auto" and not enough and seen >= 2:
        enough = ["first_order"]
    if not enough or observed.total <= 0:
        raise FitError(
            f"Too little to fit: {seen} fully seen intervals with {observed.total:.3g} m3 of gas. "
            "Take more readings, or give the recipe's expectation as a prior."
        )
    return enough


def _fit_one(
    which: Curve, observed: Observed, belief: Expectation | None, wander: float | None
) -> Candidate:
    low, high = _bounds(which, observed)
    starts = data_starts(which, observed) if observed.total > 0 else []
    if belief is not None and belief.informed:
        shape = np.array([[1.5, 1.0]]) if which.name == "cone" else np.array([[0.5, 9.0]])
        starts.append(from_descriptors(which, belief.middle[None, :], shape=shape)[0])
    about = None if belief is None else belief.about(which)
    return fit_candidate(which, observed, starts, low=low, high=high, belief=about, wander=wander)


def _bounds(which: Curve, observed: Observed) -> tuple[Floats, Floats]:
    low = np.array([p.low for p in which.parameters])
    high = np.array([p.high for p in which.parameters])
    horizon = max(observed.last_day, 1.0)
    for i, parameter in enumerate(which.parameters):
        if parameter.name == "lag":
            # A lag beyond the data is a prior's business: three times leaves it room.
            high[i] = 3.0 * horizon + 30.0
            low[i] = max(low[i], -3.0 * horizon)
    return low, high
