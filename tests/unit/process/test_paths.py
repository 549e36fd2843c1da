"""Paths keep what was counted, whatever the recipe had led one to expect."""

import numpy as np

from marshlight.estimate import Estimate
from marshlight.process.fit import fit_curve
from marshlight.process.forecast import forecast
from marshlight.process.prior import CurvePrior


def test_the_gas_counted_so_far_is_kept_against_a_recipe_that_expected_ten_times_as_much() -> None:
    day = np.arange(0.0, 13.0)
    counted = 0.025 * -np.expm1(-0.15 * np.maximum(day - 1.0, 0.0))
    u = np.full(day.size, 1.5e-4)
    prior = CurvePrior(Estimate(0.250, 0.05), Estimate(0.15, 0.05), Estimate(1.0, 1.0))
    fit = fit_curve(day, counted, u, prior=prior)
    seen = forecast(fit, [4.0, 8.0, 12.0, 20.0], rng=np.random.default_rng(7))
    for at, value in zip((4, 8, 12), seen.cumulative.median, strict=False):
        assert abs(value - counted[at]) < 0.05 * counted[-1]
    assert seen.cumulative.low95[2] > 0.9 * counted[-1]
