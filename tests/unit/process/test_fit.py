"""Fitting gas curves: exactness, honesty about noise, gaps, priors, words."""

import numpy as np
import pytest
from scipy.optimize import curve_fit

from marshlight.errors import FitError, InputError
from marshlight.estimate import Estimate
from marshlight.process.candidate import aicc
from marshlight.process.curves import CURVES, curve
from marshlight.process.fit import fit_curve
from marshlight.process.prior import CurvePrior

TRUTH = {
    "first_order": [350, 0.1],
    "first_order_lag": [350, 0.1, 3.3],
    "two_pool": [350, 0.6, 0.3, 0.05],
    "gompertz": [350, 25, 2],
    "logistic": [350, 25, 2],
    "cone": [350, 0.12, 1.8],
}
BOX_X, BOX_Y = [1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224]


@pytest.mark.parametrize("name", CURVES)
def test_noise_free_readings_give_back_the_parameters(name: str) -> None:
    t = np.arange(0.0, 41.0)
    fit = fit_curve(t, curve(name).value(t, TRUTH[name]), None, curve=name, wander=0.0)
    assert fit.parameters == pytest.approx(TRUTH[name], rel=1e-6)


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("factor", [1e-6, 1e4])
def test_the_unit_of_the_gas_does_not_matter(name: str, factor: float) -> None:
    t = np.arange(1.0, 41.0)
    fit = fit_curve(t, factor * curve(name).value(t, TRUTH[name]), None, curve=name, wander=0.0)
    scaled = [v * factor if n in ("ultimate", "max_rate") else v
              for n, v in zip(fit.names, TRUTH[name], strict=True)]  # fmt: skip
    assert fit.parameters == pytest.approx(scaled, rel=1e-6)


@pytest.mark.parametrize("name", CURVES)
def test_the_curve_that_made_the_readings_is_chosen_when_they_tell(name: str) -> None:
    t = np.arange(1.0, 41.0)
    noisy = curve(name).value(t, TRUTH[name]) + np.random.default_rng(1).normal(0, 1.5, t.size)
    fit = fit_curve(t, noisy, 1.5)
    assert fit.curve == name
    assert CURVES[name].plain_name in fit.reason
    assert sum(r.weight for r in fit.candidates) == pytest.approx(1.0)


def test_plain_fit_agrees_with_the_reference_library() -> None:
    rng = np.random.default_rng(3)
    t = np.arange(1.0, 31.0)
    y = curve("cone").value(t, TRUTH["cone"]) + rng.normal(0, 4, t.size)
    ours = fit_curve(t, y, None, curve="cone", wander=0.0)
    theirs, covariance = curve_fit(lambda x, *p: curve("cone").value(x, p), t, y, p0=TRUTH["cone"])
    assert ours.parameters == pytest.approx(theirs, rel=1e-5)
    assert ours.covariance == pytest.approx(covariance, rel=1e-3)


def test_parameter_intervals_are_students_for_few_data() -> None:
    fit = fit_curve(BOX_X, BOX_Y, None, curve="first_order", wander=0.0)
    assert fit.interval("ultimate") == pytest.approx((179.51, 248.11), abs=0.01)
    assert fit.interval("rate") == pytest.approx((0.25693, 0.83754), abs=1e-5)


def test_prediction_interval_of_a_reading_is_wider_than_of_the_curve() -> None:
    fit = fit_curve(BOX_X, BOX_Y, None, curve="first_order", wander=0.0)
    seen = fit.predict([2.0, 30.0])
    assert np.all(seen.reading_half_width > seen.curve_half_width)
    # A new reading scatters by s = 17.088 (certified), times t of 4 degrees of freedom.
    spare = np.sqrt(seen.reading_half_width**2 - seen.curve_half_width**2) / 2.776445
    assert spare == pytest.approx([17.088072] * 2, rel=1e-5)


def test_aicc_is_the_textbook_formula() -> None:
    fit = fit_curve(BOX_X, BOX_Y, None, curve="first_order", wander=0.0)
    expected = 6 * np.log(1168.0088766 / 6) + 2 * 3 + 2 * 3 * 4 / (6 - 4)
    assert fit.aicc == pytest.approx(expected, abs=1e-6)
    assert aicc(1.0, 4, 3) == float("inf")


def test_negative_lag_and_far_asymptote_are_said_in_words() -> None:
    gompertz = fit_curve(BOX_X, BOX_Y, None, curve="gompertz", wander=0.0)
    assert gompertz.parameters[2] == pytest.approx(-3.2048, abs=5e-5)
    assert any("lag is -3.2 d" in w for w in gompertz.warnings)
    cone = fit_curve(BOX_X, BOX_Y, None, curve="cone", wander=0.0)
    assert any("2.0 times what has come so far" in w for w in cone.warnings)


def test_fifty_thousand_readings_say_the_same_as_their_plain_fit() -> None:
    rng = np.random.default_rng(7)
    t = np.sort(rng.uniform(0.01, 30.0, 50_000))
    y = curve("gompertz").value(t, TRUTH["gompertz"]) + rng.normal(0, 2.0, t.size)
    ours = fit_curve(t, y, 2.0, curve="gompertz", wander=0.0)
    theirs, covariance = curve_fit(
        lambda x, *p: curve("gompertz").value(x, p), t, y, p0=TRUTH["gompertz"], sigma=2.0 + 0 * t,
        absolute_sigma=True, jac=lambda x, *p: curve("gompertz").slopes(x, p),
    )  # fmt: skip
    sd = np.sqrt(np.diag(covariance))
    assert ours.observed.count <= 400
    assert np.all(np.abs(ours.parameters - theirs) < 0.15 * sd)
    assert np.sqrt(np.diag(ours.covariance)) == pytest.approx(sd, rel=0.05)


def test_many_readings_along_one_slow_wave_do_not_make_the_band_vanish() -> None:
    t = np.linspace(0.05, 30, 6000)
    wave = 6.0 * np.sin(2 * np.pi * t / 9.0)
    y = curve("first_order").value(t, [350, 0.1]) + wave
    honest = fit_curve(t, y, 0.5, curve="first_order")
    naive = fit_curve(t, y, 0.5, curve="first_order", wander=0.0)
    assert max(honest.wander, honest.drift) > 0.1
    assert honest.estimates["ultimate"].u > 3 * naive.estimates["ultimate"].u
    assert abs(honest.estimates["ultimate"].value - 350) < 2.5 * honest.estimates["ultimate"].u


def test_unseen_gas_counts_as_at_least_and_does_not_drag_the_fit_down() -> None:
    t = np.arange(0.0, 31.0)
    true = curve("gompertz").value(t, TRUTH["gompertz"])
    seen = true.copy()
    seen[10:] -= 30.0
    flags = np.zeros(t.size, bool)
    flags[10] = True
    fit = fit_curve(t, seen, 1.0, curve="gompertz", lower_bound=flags)
    ignorant = fit_curve(t, seen, 1.0, curve="gompertz")
    assert fit.estimates["ultimate"].value == pytest.approx(350, abs=3)
    assert abs(ignorant.estimates["ultimate"].value - 350) > 15


def test_a_lower_bound_still_pushes_upwards() -> None:
    prior = CurvePrior(Estimate(100, 40), Estimate(0.1, 0.03), Estimate(0, 1))
    flags = [True]
    fit = fit_curve([10.0], [120.0], 1.0, curve="first_order", prior=prior, lower_bound=flags)
    assert float(curve("first_order").value(10.0, fit.parameters)) > 110
    low = fit_curve([10.0], [10.0], 1.0, curve="first_order", prior=prior, lower_bound=flags)
    assert low.estimates["ultimate"].value == pytest.approx(100, rel=0.05)


def test_with_few_readings_the_prior_speaks_and_with_many_it_falls_silent() -> None:
    prior = CurvePrior(Estimate(500, 100), Estimate(0.05, 0.02), Estimate(0, 1))
    t = np.arange(1.0, 41.0)
    y = curve("first_order").value(t, [350, 0.1])
    few = fit_curve(t[:1], y[:1], 5.0, curve="first_order", prior=prior)
    many = fit_curve(t, y, 1.0, curve="first_order", prior=prior)
    assert few.estimates["ultimate"].value > 430
    assert many.estimates["ultimate"].value == pytest.approx(350, abs=5)


def test_readings_that_scatter_more_than_stated_widen_everything() -> None:
    rng = np.random.default_rng(5)
    t = np.arange(1.0, 31.0)
    y = curve("first_order").value(t, [350, 0.1]) + rng.normal(0, 20.0, t.size)
    fit = fit_curve(t, y, 2.0, curve="first_order", wander=0.0)
    assert 5 < fit.residual_scale < 15
    assert any("scatter" in w for w in fit.warnings)


def test_a_falling_total_is_pointed_out() -> None:
    t = np.arange(1.0, 21.0)
    y = curve("first_order").value(t, [350, 0.1])
    y[12:] -= 60
    assert any("falls" in w for w in fit_curve(t, y, 1.0, curve="first_order").warnings)


def test_too_little_is_refused_with_what_to_do() -> None:
    with pytest.raises(FitError, match="Take more readings"):
        fit_curve([1.0], [5.0], 1.0)
    with pytest.raises(FitError, match="Too little"):
        fit_curve([1.0, 2.0, 3.0, 4.0, 5.0], [0.0] * 5, 1.0)


@pytest.mark.parametrize(
    ("day", "volume", "u"),
    [
        ([1.0, 1.0, 2.0], [1.0, 2.0, 3.0], 0.1),
        ([1.0, 2.0, 3.0], [1.0, np.nan, 3.0], 0.1),
        ([1.0, 2.0, 3.0], [1.0, 2.0, 3.0], -0.1),
        ([1.0, 2.0], [1.0, 2.0, 3.0], 0.1),
    ],
)
def test_a_malformed_record_is_refused(day: list, volume: list, u: float) -> None:
    with pytest.raises(InputError):
        fit_curve(day, volume, u)
