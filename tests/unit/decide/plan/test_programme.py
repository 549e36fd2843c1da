"""The linear programme on mixes small enough to solve by hand."""

import numpy as np
import pytest

from marshlight.decide.plan.clash import clash, nearest
from marshlight.decide.plan.measures import Measure
from marshlight.decide.plan.programme import Bound, Programme

# Two lots and water. Dry matter 0.2 and 0.6 of the mass; a litre a kilogram; vessel 10 L.
MASS = np.array([[1.0, 1.0, 1.0, 0.0]])
ONE = np.array([[0.0, 0.0, 0.0, 1.0]])
MEASURES = {
    "fill": Measure(MASS * 0.001, ONE * 0.010),
    "solids": Measure(np.array([[0.2, 0.6, 0.0, 0.0]]), MASS),
    "second": Measure(np.array([[0.0, 1.0, 0.0, 0.0]]), ONE),
    "food": Measure(np.array([[0.2, 0.6, 0.0, 0.0]]), ONE),
}


def programme(*bounds: Bound, gain: tuple[float, float] = (1.0, 2.0)) -> Programme:
    return Programme(MEASURES, bounds, np.array([*gain, 0.0]), np.zeros(3), 10.0)


FULL = Bound("fill", "high", 1.0)
THIN = Bound("solids", "high", 0.10)


def test_the_best_mix_is_the_one_found_by_hand() -> None:
    """10 kg at 10 % solids hold 1 kg of dry matter: 5 of the first lot gain 5, 1.67 of the
    second gain 3.33, so the first it is, with 5 kg of water."""
    found = programme(FULL, THIN).solve()
    assert found is not None
    np.testing.assert_allclose(found.amounts, [5.0, 0.0, 5.0], atol=1e-5)
    assert found.value == pytest.approx(5.0)


def test_prices_are_what_a_little_more_of_a_limit_is_worth() -> None:
    """A percent more solids is 0.1 kg of dry matter, half a kilogram of the first lot; a tenth
    more vessel at the same thinness is a tenth more of everything."""
    whole = programme(FULL, THIN)
    found = whole.solve()
    assert found is not None
    assert whole.predicted_gain(found, THIN.name, 0.11) == pytest.approx(0.5)
    assert whole.predicted_gain(found, FULL.name, 1.1) == pytest.approx(0.5)
    moved = whole.with_bound(THIN.name, 0.11).solve()
    assert moved is not None
    assert moved.value == pytest.approx(5.5)


def test_a_bound_with_room_has_no_price() -> None:
    found = programme(FULL, THIN, Bound("second", "high", 3.0)).solve()
    assert found is not None
    assert found.prices["second", "high"].max() == 0.0


def test_equally_good_mixes_are_settled_by_price_then_by_fill() -> None:
    even = Programme(
        MEASURES, (FULL, THIN), np.array([1.0, 3.0, 0.0]), np.array([1.0, 0.0, 0.0]), 10.0
    )
    found = even.solve()
    assert found is not None
    # Both lots gain 5 per kg of dry matter; the first has a price.
    np.testing.assert_allclose(found.amounts, [0.0, 5.0 / 3.0, 25.0 / 3.0], atol=1e-4)


def test_a_clash_is_a_smallest_set_in_the_order_asked() -> None:
    """At least 5 kg of the second lot is 3 kg of dry matter, too thick for a full vessel."""
    much = Bound("second", "low", 5.0)
    spare = Bound("food", "low", 0.1)
    torn = programme(FULL, THIN, much, spare)
    assert torn.solve() is None
    found = clash(torn, [b.name for b in torn.bounds])
    assert {b.name for b in found} == {FULL.name, THIN.name, much.name}
    for bound in found:
        assert torn.without({bound.name}).possible()


def test_of_two_clashes_the_one_without_what_is_tried_first_is_named() -> None:
    much, more = Bound("second", "low", 5.0), Bound("food", "low", 4.0)
    torn = programme(FULL, THIN, much, more)
    first = clash(torn, [much.name, more.name, FULL.name, THIN.name])
    second = clash(torn, [more.name, much.name, FULL.name, THIN.name])
    assert more.name in {b.name for b in first}
    assert much.name in {b.name for b in second}


def test_the_nearest_mix_stretches_only_as_far_as_it_must() -> None:
    """5/k kg of the second lot, solids 0.1 k, full 1 k: 3/k <= 0.1 k x 10 k at k^3 = 3."""
    much = Bound("second", "low", 5.0)
    torn = programme(FULL, THIN, much)
    found = nearest(torn, {b.name for b in torn.bounds})
    assert found is not None
    stretched = {b.name: b.value for b in found.bounds}
    assert stretched[THIN.name] / 0.10 == pytest.approx(3.0 ** (1 / 3), rel=0.02)
    assert found.solve() is not None


def test_what_is_fixed_is_never_stretched() -> None:
    much = Bound("second", "low", 5.0)
    hard = [Bound(b.key, b.side, b.value, fixed=True) for b in (FULL, THIN)]
    found = nearest(programme(*hard, much), {much.name, FULL.name, THIN.name})
    assert found is not None
    assert {b.name: b.value for b in found.bounds}[THIN.name] == 0.10
    assert nearest(programme(*hard, Bound("food", "low", 50.0, fixed=True)), set()) is None


def test_a_ratio_of_nothing_to_nothing_is_nothing() -> None:
    empty = np.zeros(3)
    assert MEASURES["solids"].worst(empty) == 0.0
    assert MEASURES["fill"].worst(empty) == 0.0
