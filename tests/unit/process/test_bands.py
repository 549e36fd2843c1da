"""Bands of forecasts, and two of them mixed."""

import numpy as np
import pytest

from marshlight.process.bands import Band, band, mixed_band

LEVELS = ("low95", "low50", "median", "high50", "high95")


def _normal(middle: float, spread: float) -> Band:
    scores = (-1.959964, -0.6744898, 0.0, 0.6744898, 1.959964)
    low95, low50, median, high50, high95 = (np.array([middle + spread * z]) for z in scores)
    return Band(median, low50, high50, low95, high95)


def test_a_band_mixed_with_itself_stays_what_it_is() -> None:
    one = _normal(10.0, 2.0)
    mixed = mixed_band(one, one)
    for level in LEVELS:
        assert getattr(mixed, level)[0] == pytest.approx(getattr(one, level)[0], rel=2e-3)


def test_a_mixture_of_two_normals_has_the_quantiles_of_their_pooled_draws() -> None:
    rng = np.random.default_rng(1)
    first, second = rng.normal(10.0, 1.0, 200_000), rng.normal(14.0, 2.0, 200_000)
    exact = band(np.concatenate([first, second])[:, None])
    mixed = mixed_band(_normal(10.0, 1.0), _normal(14.0, 2.0))
    for level in LEVELS:
        assert getattr(mixed, level)[0] == pytest.approx(getattr(exact, level)[0], abs=0.06)


def test_where_two_forecasts_disagree_the_mixture_reaches_over_both() -> None:
    mixed = mixed_band(_normal(1.0, 0.1), _normal(5.0, 0.1))
    assert mixed.low95[0] < 1.1
    assert mixed.high95[0] > 4.9


def test_order_of_the_two_does_not_matter() -> None:
    one, two = _normal(3.0, 1.0), _normal(4.0, 0.2)
    for level in LEVELS:
        assert getattr(mixed_band(one, two), level) == pytest.approx(
            getattr(mixed_band(two, one), level), rel=1e-3
        )
