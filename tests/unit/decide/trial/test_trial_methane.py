"""Methane by both published ways on bottles whose true methane is known."""

import numpy as np
import pytest

from marshlight.decide.trial import (
    BottleGas,
    MeasuredSolids,
    mass_loss_volume,
    methane_as_made,
    methane_by_content,
    mixture_density_kg_m3,
    vs_content,
)
from marshlight.errors import InputError

MADE = np.array([60.0, 90.0, 70.0, 40.0, 20.0, 5.0])
SHARE = 0.6


def _sealed() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Let a bottle of 80 mL gas space, flushed with nitrogen, off after each of six readings."""
    space, held, methane = 80.0, [80.0], [0.0]
    left = [0.0]
    inside = 0.0
    for i, made in enumerate(MADE):
        inside += SHARE * made
        before = space + made
        held.append(before)
        methane.append(inside / before)
        inside -= methane[-1] * made
        if i < MADE.size - 1:
            left.append(made)
    return np.cumsum(np.r_[0.0, left]), np.array(held), np.array(methane)


def test_a_sealed_bottles_methane_is_found_exactly_from_what_it_held() -> None:
    passed, held, share = _sealed()
    found = methane_by_content(BottleGas(passed, held, let_off=True), share)
    assert found[1:] == pytest.approx(SHARE * np.cumsum(MADE), rel=1e-12)


def test_both_ways_agree_over_the_whole_test_where_the_gas_keeps_its_make_up() -> None:
    passed, held, share = _sealed()
    by_content = methane_by_content(BottleGas(passed, held, let_off=True), share)[-1]
    as_made = methane_as_made(np.cumsum(MADE), np.full(MADE.size, SHARE))[-1]
    assert by_content == pytest.approx(as_made, rel=1e-12)


def test_gas_that_streams_out_all_day_comes_out_a_little_rich_with_daily_analyses() -> None:
    # A stirred gas space of 80 mL with biogas flowing through, analysed once a day.
    passed = np.r_[0.0, np.cumsum(np.full(40, 8.0))]
    share = SHARE * -np.expm1(-passed / 80.0)
    found = methane_by_content(BottleGas(passed, np.full(41, 80.0), let_off=False), share)
    # What left is taken to be as rich as at the day's end, so a little too much is found.
    assert 1.0 < found[-1] / (SHARE * passed[-1]) < 1.02


def test_nitrogen_in_the_gas_changes_what_a_gram_of_it_stands_for() -> None:
    rich = mass_loss_volume(1e-3, mixture_density_kg_m3(0.6, 0.4), 0.02)
    thin = mass_loss_volume(1e-3, mixture_density_kg_m3(0.3, 0.2), 0.02)
    # Half nitrogen: (1.2212 + 1.2504) / 2 and the vapour, by hand.
    assert 1e-3 / float(thin) == pytest.approx(0.5 * 1.2212 + 0.5 * 1.2504 + 0.02, abs=2e-4)
    assert thin < rich
    with pytest.raises(InputError, match="carbon dioxide"):
        mixture_density_kg_m3(0.8, 0.5)


def test_vs_of_paired_crucibles_is_their_product_with_its_standard_error() -> None:
    measured = MeasuredSolids((0.251, 0.262, 0.255), (0.90, 0.88, 0.91))
    product = np.array(measured.ts) * np.array(measured.vs)
    found = vs_content(measured)
    assert found.mean == pytest.approx(product.mean(), rel=1e-12)
    assert found.relative_u == pytest.approx(
        product.std(ddof=1) / np.sqrt(3) / product.mean(), rel=1e-12
    )
    assert (found.n, found.df) == (3, 2.0)


def test_vs_measured_once_claims_no_error_of_its_own_and_says_how_often() -> None:
    found = vs_content(MeasuredSolids((0.25,), (0.9,)))
    assert (found.relative_u, found.n, found.df) == (0.0, 1, float("inf"))
    unequal = vs_content(MeasuredSolids((0.25, 0.26, 0.27), (0.9,)))
    assert unequal.relative_u == pytest.approx(0.01 / np.sqrt(3) / 0.26)
    assert unequal.n == 1
    with pytest.raises(InputError, match="VS"):
        vs_content(MeasuredSolids((0.25,), (1.2,)))
