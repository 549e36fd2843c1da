"""The score that the published series are judged by, worked out by hand."""

import numpy as np
import pytest
from benchmarks.scoring import Bands, pooled, score


def _bands(count: int) -> Bands:
    return Bands(*(np.full(count, value) for value in (8.0, 6.0, 10.0, 4.0, 12.0)))


def test_a_truth_inside_both_bands_pays_for_distance_and_width_only() -> None:
    # Bracher et al. 2021, eq. 1: (0.5*2 + 0.25*4 + 0.025*8) / 2.5
    found = score([10.0], _bands(1))
    assert found.interval_score == pytest.approx(0.88)
    assert (found.hit50, found.hit95) == (1.0, 1.0)


def test_a_truth_outside_a_band_pays_a_fine_in_proportion() -> None:
    # 0.5*6 + 0.25*(4 + 4*4) + 0.025*(8 + 40*2), over 2.5
    found = score([14.0], _bands(1))
    assert found.interval_score == pytest.approx(4.08)
    assert (found.hit50, found.hit95) == (0.0, 0.0)


def test_a_line_without_a_band_is_scored_by_its_distance_alone() -> None:
    line = Bands(*(np.array([5.0]) for _ in range(5)))
    assert score([7.0], line).interval_score == pytest.approx(2.0)


def test_pooling_counts_each_later_reading_once() -> None:
    found = pooled({"one": score([8.0], _bands(1)), "three": score([10.0] * 3, _bands(3))})
    assert found.count == 4
    assert found.mae == pytest.approx((0.0 + 3 * 2.0) / 4)
