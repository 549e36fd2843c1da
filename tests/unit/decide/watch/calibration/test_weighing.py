"""Weights, their tails, and the bells that lives are drawn from."""

import numpy as np
import pytest
from scipy.stats import multivariate_t, norm

from marshlight.decide.watch.calibration.weighing import (
    FREEDOM,
    Mixture,
    Part,
    evenly_spread,
    log_belief,
    pick,
    weigh,
)

CENTRE = np.array([1.0, -0.5, 0.3])
SPREAD = np.array([[0.5, 0.2, 0.0], [0.2, 0.4, -0.1], [0.0, -0.1, 0.3]])
BELLS = Mixture((Part(CENTRE, SPREAD, 0.7), Part(-CENTRE, 0.5 * SPREAD, 0.2)), 0.1)


def test_a_bell_is_a_students_t() -> None:
    at = np.random.default_rng(1).standard_normal((20, 3))
    found = Mixture((Part(CENTRE, SPREAD, 1.0),), 0.0).log_density(at)
    assert found == pytest.approx(multivariate_t(CENTRE, SPREAD, df=FREEDOM).logpdf(at))


def test_draws_follow_their_own_density() -> None:
    drawn = BELLS.draw(np.random.default_rng(1), 4000, fixed=[0, 2], variants=2)
    assert drawn.shape == (8000, 3)
    # Importance weights to the belief then average to one.
    weights = weigh(log_belief(drawn) - BELLS.log_density(drawn))
    assert weights.log_mean == pytest.approx(0.0, abs=0.05)
    assert weights.pareto_k < 0.7
    mean = weights.share @ drawn
    assert mean == pytest.approx(np.zeros(3), abs=0.08)


def test_variants_of_a_draw_share_what_is_fixed() -> None:
    drawn = BELLS.draw(np.random.default_rng(1), 50, fixed=[0, 2], variants=4).reshape(50, 4, 3)
    assert np.ptp(drawn[:, :, [0, 2]], axis=1) == pytest.approx(0.0)
    assert (np.ptp(drawn[:, :, 1], axis=1) > 0.0).all()


@pytest.mark.parametrize("shape", [0.2, 0.5, 0.9])
def test_the_tail_of_weights_is_told(shape: float) -> None:
    draws = np.random.default_rng(1).random(20_000)
    heavy = (1.0 - draws) ** -shape
    assert weigh(np.log(heavy)).pareto_k == pytest.approx(shape, abs=0.12)


def test_smoothing_keeps_the_mean_and_tames_the_largest() -> None:
    rng = np.random.default_rng(4)
    log_weights = 0.8 * rng.standard_normal(4000)
    found = weigh(log_weights)
    assert found.share.sum() == pytest.approx(1.0)
    assert found.log_mean == pytest.approx(0.32, abs=0.08)
    assert found.effective(1) == pytest.approx(4000 / np.exp(0.64), rel=0.15)


def test_even_points_are_normal_and_more_even_than_chance() -> None:
    even = evenly_spread(np.random.default_rng(1), 256, 7)
    assert even.mean(axis=0) == pytest.approx(np.zeros(7), abs=0.03)
    assert even.std(axis=0) == pytest.approx(np.ones(7), abs=0.05)
    held = np.sort(norm.cdf(even), axis=0)
    assert np.abs(held - (np.arange(256) + 0.5)[:, None] / 256).max() < 0.05


def test_picking_takes_each_about_as_often_as_it_weighs() -> None:
    share = np.array([0.5, 0.0, 0.3, 0.2])
    taken = np.bincount(pick(np.random.default_rng(1), share, 100), minlength=4)
    assert taken == pytest.approx(100 * share, abs=1)
