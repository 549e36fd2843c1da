"""The cumulative-gas curves: slopes, milestones, shapes."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.process.curves import CURVES, curve

TYPICAL = {
    "first_order": [350, 0.1],
    "first_order_lag": [350, 0.1, 3.3],
    "two_pool": [350, 0.6, 0.3, 0.05],
    "gompertz": [350, 25, 2],
    "logistic": [350, 25, 2],
    "cone": [350, 0.12, 1.8],
}
DAYS = np.array([0.7, 2.0, 5.0, 10.0, 21.5, 60.0])


@pytest.mark.parametrize("name", CURVES)
def test_slopes_in_the_parameters_agree_with_differences(name: str) -> None:
    p = np.array(TYPICAL[name], dtype=float)
    exact = curve(name).slopes(DAYS, p)
    for i in range(p.size):
        step = np.zeros_like(p)
        step[i] = 1e-6 * p[i]
        rough = (curve(name).value(DAYS, p + step) - curve(name).value(DAYS, p - step)) / (
            2 * step[i]
        )
        assert exact[:, i] == pytest.approx(rough, rel=2e-6, abs=1e-6)


@pytest.mark.parametrize("name", CURVES)
def test_the_rate_is_the_slope_of_the_gas(name: str) -> None:
    p = TYPICAL[name]
    rough = (curve(name).value(DAYS + 1e-5, p) - curve(name).value(DAYS - 1e-5, p)) / 2e-5
    assert curve(name).rate(DAYS, p) == pytest.approx(rough, rel=1e-6, abs=1e-7)


@pytest.mark.parametrize("name", CURVES)
@pytest.mark.parametrize("share", [0.2, 0.5, 0.8, 0.99])
def test_the_day_of_a_share_is_when_that_share_has_come(name: str, share: float) -> None:
    p = TYPICAL[name]
    day = curve(name).time_to_fraction(share, p)
    assert float(curve(name).value(day, p)) == pytest.approx(share * 350, rel=1e-9)


@pytest.mark.parametrize("name", CURVES)
def test_no_day_is_faster_than_the_peak(name: str) -> None:
    p = TYPICAL[name]
    day, rate = curve(name).peak(p)
    fine = np.linspace(0.0, 60.0, 60_001)
    assert float(curve(name).rate(fine, p).max()) <= float(rate) * (1 + 1e-9)
    assert float(curve(name).rate(day + 1e-9, p)) == pytest.approx(float(rate), rel=1e-6)


@pytest.mark.parametrize("name", CURVES)
def test_many_curves_at_once_equal_one_after_another(name: str) -> None:
    p = np.array(TYPICAL[name]) * np.array([[1.0], [1.1], [0.9]])
    together = curve(name).value(DAYS, p)
    assert together.shape == (3, DAYS.size)
    for row, single in zip(together, p, strict=True):
        assert row == pytest.approx(curve(name).value(DAYS, single), rel=1e-14)
    assert curve(name).slopes(DAYS, p).shape == (3, DAYS.size, p.shape[1])
    assert curve(name).time_to_fraction(0.8, p).shape == (3,)


def test_nothing_comes_before_the_start() -> None:
    for name, p in TYPICAL.items():
        assert float(curve(name).value(-1.0, p)) == 0.0
        assert float(curve(name).rate(-1.0, p)) == 0.0


def test_a_lag_of_zero_leaves_plain_first_order() -> None:
    assert curve("first_order_lag").value(DAYS, [350, 0.1, 0.0]) == pytest.approx(
        curve("first_order").value(DAYS, [350, 0.1])
    )


def test_two_equal_pools_are_one() -> None:
    assert curve("two_pool").value(DAYS, [350, 0.4, 0.1, 0.1]) == pytest.approx(
        curve("first_order").value(DAYS, [350, 0.1])
    )


def test_sigmoids_without_lag_start_at_their_known_share() -> None:
    assert float(curve("gompertz").value(0.0, [1.0, 0.1, 0.0])) == pytest.approx(0.065988, abs=5e-7)
    assert float(curve("logistic").value(0.0, [1.0, 0.1, 0.0])) == pytest.approx(0.11920, abs=5e-6)


def test_an_unknown_curve_is_refused_with_the_names_that_exist() -> None:
    with pytest.raises(InputError, match="gompertz"):
        curve("parabola")


def test_a_share_outside_zero_to_one_is_refused() -> None:
    with pytest.raises(InputError, match="fraction"):
        curve("cone").time_to_fraction(1.0, TYPICAL["cone"])
