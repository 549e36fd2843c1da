"""A value keeps its doubt with it."""

import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate


def test_a_published_spread_is_read_as_two_standard_uncertainties_each_way() -> None:
    assert Estimate.from_range(0.10, 0.08, 0.16).u == pytest.approx(0.02)


def test_an_interval_widens_with_its_level() -> None:
    estimate = Estimate(10.0, 1.0)
    assert estimate.interval(0.95) == pytest.approx((8.040036, 11.959964))
    assert estimate.range(0.5).high - estimate.value == pytest.approx(0.6744898)


def test_scaling_keeps_the_relative_doubt() -> None:
    assert Estimate(4.0, 1.0).scaled(-2.0) == Estimate(-8.0, 2.0)
    assert Estimate(4.0, 1.0).relative_u == 0.25
    assert Estimate(0.0, 1.0).relative_u == float("inf")


def test_a_negative_uncertainty_or_a_disordered_range_is_refused() -> None:
    with pytest.raises(InputError, match="standard uncertainty"):
        Estimate(1.0, -0.1)
    with pytest.raises(InputError, match="Order"):
        Estimate.from_range(1.0, 2.0, 3.0)
