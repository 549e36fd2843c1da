"""Bands hold later truth about as often as they say, on invented runs (see tests/honesty.py).

The benchmark of the same name reports the figure on many runs; this is the same
study, small. Days of one run stand or fall together, so a few runs leave several
points of doubt about a share near 95 %: hence the wider gate here.
"""

import numpy as np
import pytest

from honesty import Score, study

RUNS, SEED = 14, 7


@pytest.fixture(scope="module")
def scores() -> list[Score]:
    return [s for s in study(RUNS, SEED) if s.run.form != "two_waves"]


@pytest.mark.slow
def test_the_95_percent_band_holds_later_truth_and_the_50_percent_band_about_half(
    scores: list[Score],
) -> None:
    assert len(scores) > 30
    held95 = float(np.mean([s.held95 for s in scores]))
    held50 = float(np.mean([s.held50 for s in scores]))
    assert 0.86 <= held95 <= 1.0
    assert 0.30 <= held50 <= 0.75


@pytest.mark.slow
def test_the_recipe_narrows_the_band_without_making_it_dishonest(scores: list[Score]) -> None:
    with_recipe = [s for s in scores if s.informed]
    without = [s for s in scores if not s.informed]
    assert np.mean([s.width for s in with_recipe]) < np.mean([s.width for s in without])
    assert np.mean([s.held95 for s in with_recipe]) >= 0.86
