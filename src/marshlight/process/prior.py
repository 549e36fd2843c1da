"""What is expected before the gas speaks, in terms every curve shares.

Three numbers describe any batch curve: the ultimate gas, the lag (where the
steepest tangent meets the time axis) and the half-rate, ln 2 over the time
from the lag to half of the gas. For a first-order curve the half-rate is its
rate constant, so a recipe's first-order prior speaks to all six curves.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.process.curve_forms import two_pool_time
from marshlight.process.curves import Curve

Floats = NDArray[np.float64]

# Shape numbers that only some curves have, as (middle, spread) in the fitting
# coordinate. Weak on purpose: see source `shape_prior`.
CONE_SHAPE = (np.log(1.5), 0.5)
POOL_SHARE = (0.0, 1.5)
POOL_RATIO = (np.log(8.0), 0.8)

# With no recipe: tabulated first-order constants run from about 0.03 to 0.5 /d
# (source `vavilin_2008_memory`), taken as the 90 % range of a lognormal.
_TABLED_RATE = (np.log(0.12), 0.85)
# Minus the log of a share that may be anything from 0 to 1: mean 1, spread 1.
_LOG_TOTAL_OVER_SEEN = (1.0, 1.0)
# A batch starts within days (source `starts_within_days`).
_USUAL_LAG = (1.0, 5.0)


@dataclass(frozen=True)
class CurvePrior:
    """Expected ultimate gas [m3], first-order rate [1/d] and lag [d], each with its u.

    Raises
    ------
    InputError
        If the ultimate gas or the rate is not positive, or a u is not.
    """

    ultimate_m3: Estimate
    rate_per_d: Estimate
    lag_d: Estimate

    def __post_init__(self) -> None:
        for field, estimate in (("ultimate gas", self.ultimate_m3), ("rate", self.rate_per_d)):
            require(
                estimate.value > 0 and estimate.u > 0,
                field=field,
                value=estimate.value,
                allowed="above 0, with an uncertainty above 0",
                remedy="give the recipe's expectation and its spread",
            )
        require(
            self.lag_d.u > 0,
            field="lag",
            value=self.lag_d.u,
            allowed="an uncertainty above 0",
            remedy="give how many days the start may be early or late",
        )


@dataclass(frozen=True)
class Expectation:
    """Gaussian on (log ultimate, log half-rate, lag)."""

    middle: Floats
    spread: Floats
    informed: bool

    @classmethod
    def of(cls, prior: CurvePrior | None, *, seen_m3: float = 0.0) -> "Expectation":
        """From a recipe's prior, or the general expectation when there is none.

        Notes
        -----
        Without a recipe nothing sets the size of a run but the gas seen so far. A run may
        be looked at at any point of its course: the share seen is then as likely to be any
        number from 0 to 1, and the log of total over seen has mean 1 and spread 1.

        References
        ----------
        gott_1993, vavilin_2008_memory, starts_within_days
        """
        if prior is None:
            size = np.log(max(seen_m3, 1e-12)) + _LOG_TOTAL_OVER_SEEN[0]
            return cls(
                np.array([size, _TABLED_RATE[0], _USUAL_LAG[0]]),
                np.array([_LOG_TOTAL_OVER_SEEN[1], _TABLED_RATE[1], _USUAL_LAG[1]]),
                False,
            )
        logs = [_log_normal(prior.ultimate_m3), _log_normal(prior.rate_per_d)]
        return cls(
            np.array([*(m for m, _ in logs), prior.lag_d.value]),
            np.array([*(s for _, s in logs), prior.lag_d.u]),
            True,
        )

    def about(self, curve: Curve) -> "CurveBelief":
        """The same expectation, said of one curve's parameters."""
        return CurveBelief(self, curve)

    def draw(self, curve: Curve, count: int, rng: np.random.Generator) -> Floats:
        """Curves drawn from the expectation (n x k)."""
        z = self.middle + self.spread * rng.standard_normal((count, 3))
        lag = np.abs(z[:, 2]) if curve.name == "first_order_lag" else z[:, 2]
        shapes = rng.standard_normal((count, 2))
        return from_descriptors(
            curve, np.column_stack([z[:, 0], z[:, 1], lag]), shape=_shape_values(curve, shapes)
        )


@dataclass(frozen=True)
class CurveBelief:
    """An expectation as residuals of one curve's parameters."""

    expectation: Expectation
    curve: Curve

    def residuals(self, parameters: Floats) -> Floats:
        """Standardised distances of curves (k or n x k) from what is expected."""
        p = np.asarray(parameters, dtype=np.float64)
        common = (descriptors(self.curve, p) - self.expectation.middle) / self.expectation.spread
        distance = np.concatenate([common, _shape_distance(self.curve, p)], axis=-1)
        # A search may try absurd curves: far is far, and its square must stay finite.
        return np.asarray(np.clip(distance, -1e6, 1e6))

    def slopes(self, parameters: Floats) -> Floats:
        """Derivatives of the residuals of one curve (k).

        The day of half the gas, costly to find, moves as the curve does there: it is found
        once. Lag and shape are smooth and cheap: central differences.
        """
        p, which = np.asarray(parameters, dtype=np.float64), self.curve
        step = self._steps(p)
        up, down = p + np.diag(step), p - np.diag(step)
        by_step = 2.0 * step
        lag_moves = (which.tangent_lag(up) - which.tangent_lag(down)) / by_step
        shape_moves = (_shape_distance(which, up) - _shape_distance(which, down)).T / by_step
        half = which.time_to_fraction(0.5, p)
        toward = which.slopes(half, p)
        toward[0] -= 0.5
        half_moves = -toward / np.maximum(which.rate(half, p), 1e-300) if half > 0.0 else 0.0 * p
        wait = max(float(half - which.tangent_lag(p)), 1e-9)
        size = np.zeros_like(p)
        size[0] = 1.0 / p[0]
        common = np.stack([size, -(half_moves - lag_moves) / wait, lag_moves])
        return np.concatenate([common / self.expectation.spread[:, None], shape_moves])

    def _steps(self, p: Floats) -> Floats:
        """Steps in proportion, so that a tiny total is never stepped below zero."""
        step = 1e-6 * np.abs(p)
        for i, parameter in enumerate(self.curve.parameters):
            if parameter.scale == "linear":
                step[i] = max(step[i], 1e-6)
            elif parameter.scale == "share":
                step[i] = 1e-6 * min(p[i], 1.0 - p[i])
        return step


def descriptors(curve: Curve, parameters: Floats) -> Floats:
    """(log ultimate, log half-rate, lag) of curves (k or n x k), shape (..., 3)."""
    p = np.asarray(parameters, dtype=np.float64)
    lag = curve.tangent_lag(p)
    wait = np.maximum(curve.time_to_fraction(0.5, p) - lag, 1e-9)
    return np.stack([np.log(p[..., 0]), np.log(np.log(2.0) / wait), lag], axis=-1)


def from_descriptors(curve: Curve, common: Floats, *, shape: Floats) -> Floats:
    """Parameters (n x k) of a curve with given descriptors (n x 3) and shape numbers (n x 2).

    `shape` holds the cone's exponent in its first column, or the fast share
    and the ratio of the two rates. A curve without a lag of its own ignores it.
    """
    a, k, lag = np.exp(common[..., 0]), np.exp(common[..., 1]), common[..., 2]
    first, second = shape[..., 0], shape[..., 1]
    if curve.name == "first_order":
        return np.stack([a, k], axis=-1)
    if curve.name == "first_order_lag":
        return np.stack([a, k, np.maximum(lag, 0.0)], axis=-1)
    if curve.name == "gompertz":
        return np.stack([a, a * k * (1 - np.log(np.log(2))) / (np.e * np.log(2)), lag], axis=-1)
    if curve.name == "logistic":
        return np.stack([a, a * k / (2 * np.log(2)), lag], axis=-1)
    if curve.name == "cone":
        unit = np.stack([np.ones_like(first), np.ones_like(first), first], axis=-1)
        return np.stack([a, (1 - curve.tangent_lag(unit)) * k / np.log(2), first], axis=-1)
    one = np.ones_like(first)
    slow = two_pool_time(0.5, one, first, second, one) * k / np.log(2)
    return np.stack([a, first, second * slow, slow], axis=-1)


def _shape_values(curve: Curve, standard: Floats) -> Floats:
    if curve.name == "two_pool":
        share = 1 / (1 + np.exp(-(POOL_SHARE[0] + POOL_SHARE[1] * standard[:, 0])))
        ratio = 1 + np.exp(POOL_RATIO[0] + POOL_RATIO[1] * standard[:, 1])
        return np.column_stack([np.clip(share, 1e-3, 1 - 1e-3), ratio])
    exponent = np.exp(CONE_SHAPE[0] + CONE_SHAPE[1] * standard[:, 0])
    return np.column_stack([np.clip(exponent, 0.35, 12.0), np.ones(len(standard))])


def _shape_distance(curve: Curve, p: Floats) -> Floats:
    if curve.name == "cone":
        return np.asarray((np.log(p[..., 2:3]) - CONE_SHAPE[0]) / CONE_SHAPE[1])
    if curve.name == "two_pool":
        share = np.log(p[..., 1]) - np.log1p(-p[..., 1])
        ratio = np.log(np.maximum(p[..., 2] / p[..., 3] - 1, 1e-6))
        return np.stack(
            [(share - POOL_SHARE[0]) / POOL_SHARE[1], (ratio - POOL_RATIO[0]) / POOL_RATIO[1]],
            axis=-1,
        )
    return np.zeros((*p.shape[:-1], 0))


def _log_normal(estimate: Estimate) -> tuple[float, float]:
    """Middle and spread of the lognormal with this mean-ish value and u."""
    spread = float(np.sqrt(np.log1p((estimate.u / estimate.value) ** 2)))
    return float(np.log(estimate.value)), spread
