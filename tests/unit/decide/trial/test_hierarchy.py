"""Bottles as draws from one material: against a reference library and against brute force."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm
from scipy.optimize import minimize

from marshlight.decide.trial import assess_trial, bottle_kinetics, group_kinetics, pool_bottles
from marshlight.decide.trial.facts import TrialFacts
from marshlight.errors import FitError, InputError
from trials import Made, made_trial


def test_straight_lines_pooled_agree_with_a_mixed_model_of_statsmodels() -> None:
    rng = np.random.default_rng(1)
    spread = np.array([[0.3, 0.1], [0.1, 0.2]])
    rows, values, designs = [], [], []
    for i in range(12):
        t = np.linspace(0.0, 1.0, 8 + i % 3)
        design = np.c_[np.ones_like(t), t]
        y = design @ rng.multivariate_normal([1.0, 2.0], spread) + rng.normal(0.0, 0.2, t.size)
        values.append(np.linalg.lstsq(design, y, rcond=None)[0])
        designs.append(design)
        rows += [(i, a, b) for a, b in zip(t, y, strict=True)]
    data = pd.DataFrame(rows, columns=["bottle", "t", "y"])
    theirs = sm.MixedLM.from_formula("y ~ t", data, groups="bottle", re_formula="~t").fit()
    # Given their residual variance, what is left to estimate is the same in both.
    covariances = np.array([theirs.scale * np.linalg.inv(x.T @ x) for x in designs])
    ours = pool_bottles(np.array(values), covariances)
    assert ours.mean == pytest.approx(theirs.fe_params.to_numpy(), rel=1e-5)
    assert ours.between == pytest.approx(theirs.cov_re.to_numpy(), rel=2e-3)
    assert np.sqrt(np.diag(ours.covariance)) == pytest.approx(theirs.bse_fe.to_numpy(), rel=1e-3)
    first = theirs.random_effects[0].to_numpy() + theirs.fe_params.to_numpy()
    assert ours.each[0] == pytest.approx(first, rel=1e-4)


def test_curves_pooled_agree_with_integrating_every_bottle_by_brute_force() -> None:
    # First-order bottles, ln(rate) drawn from N(ln 0.3, 0.25), known noise and total.
    rng = np.random.default_rng(5)
    day, sd = np.arange(1.0, 13.0), 0.02
    rates = 0.3 * np.exp(rng.normal(0.0, 0.25, 6))
    seen = [-np.expm1(-k * day) + rng.normal(0.0, sd, day.size) for k in rates]
    grid = np.linspace(np.log(0.05), np.log(2.0), 1500)
    curves = -np.expm1(-np.exp(grid)[:, None] * day)
    fits = np.array([-0.5 * np.sum(((y - curves) / sd) ** 2, axis=1) for y in seen])

    def deviance(p: np.ndarray) -> float:
        middle, between = p[0], np.exp(p[1])
        prior = -0.5 * ((grid - middle) / between) ** 2 - np.log(between)
        whole = fits + prior
        top = whole.max(axis=1, keepdims=True)
        return -2.0 * float(np.sum(top[:, 0] + np.log(np.sum(np.exp(whole - top), axis=1))))

    brute = minimize(deviance, [np.log(0.3), np.log(0.2)], method="Nelder-Mead").x
    best = grid[np.argmax(fits, axis=1)]
    step = grid[1] - grid[0]
    curvature = [
        -(f[i + 1] - 2.0 * f[i] + f[i - 1]) / step**2
        for f, i in zip(fits, np.argmax(fits, axis=1), strict=True)
    ]
    found = pool_bottles(best[:, None], (1.0 / np.array(curvature))[:, None, None])
    assert found.mean[0] == pytest.approx(brute[0], abs=0.1 * np.sqrt(found.covariance[0, 0]))
    # Brute force maximises the whole likelihood, ours the restricted one: 6 bottles against 5.
    assert np.sqrt(found.between[0, 0] * 5 / 6) == pytest.approx(np.exp(brute[1]), rel=0.03)


def test_bottles_that_agree_leave_no_spread_and_one_mean() -> None:
    found = pool_bottles([[1.0], [1.01], [0.99]], np.full((3, 1, 1), 0.04))
    assert found.between[0, 0] < 1e-4
    assert found.each[:, 0] == pytest.approx(1.0, abs=1e-3)
    assert found.covariance[0, 0] == pytest.approx(0.04 / 3, rel=1e-2)


def test_a_bottle_that_says_little_is_drawn_toward_its_fellows() -> None:
    doubts = np.array([1e-4, 1e-4, 1e-4, 4.0])[:, None, None]
    found = pool_bottles([[1.0], [1.2], [1.4], [3.0]], doubts)
    assert abs(found.each[3, 0] - found.mean[0]) < 0.1
    assert abs(found.each[0, 0] - 1.0) < 0.01


def test_one_bottle_or_a_covariance_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match="bottles"):
        pool_bottles([[1.0]], np.ones((1, 1, 1)))
    with pytest.raises(FitError, match="covariance"):
        pool_bottles([[1.0], [2.0]], np.zeros((2, 1, 1)))


def test_a_slow_start_is_told_from_a_fast_one_and_days_follow_from_the_curve() -> None:
    day = np.arange(1.0, 31.0)
    rng = np.random.default_rng(2)
    each = []
    for i, (total, speed, lag) in enumerate(((0.41, 0.030, 4.0), (0.40, 0.031, 4.4))):
        curve = total * np.exp(-np.exp(speed * np.e / total * (lag - day) + 1.0))
        noisy = np.cumsum(np.diff(curve, prepend=0.0) * (1.0 + rng.normal(0.0, 0.01, day.size)))
        each.append(bottle_kinetics(f"whey {i}", "whey", day, noisy))
    assert {k.curve for k in each} == {"gompertz"}
    pooled = group_kinetics(each)
    assert pooled is not None
    assert pooled.curve == "gompertz"
    assert pooled.lag_d.low < 4.2 < pooled.lag_d.high
    assert pooled.half_d.value < pooled.four_fifths_d.value
    assert pooled.peak_per_d.value == pytest.approx(0.0305, rel=0.05)
    # Inflection of the curve: lag + A / (e R).
    assert pooled.peak_d.value == pytest.approx(4.2 + 0.405 / (np.e * 0.0305), abs=0.5)


def test_materials_of_different_speed_have_intervals_apart() -> None:
    kinds = (
        Made("cellulose", "control", 0.365, 0.3),
        Made("slow", "sample", 0.35, 0.12),
        Made("fast", "sample", 0.35, 0.5),
    )
    facts = TrialFacts(tuple(made_trial(np.random.default_rng(4), kinds=kinds)))
    found = {g.group: g for g in assess_trial(facts).group_kinetics}
    assert found["fast"].half_d.high < found["slow"].half_d.low
    assert set(found["slow"].drawn) == {"slow 1", "slow 2", "slow 3"}
