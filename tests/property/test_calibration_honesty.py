"""The calibrated process model knows what it says it knows, on a few invented runs.

The benchmark `calibration` does the same on hundreds of runs and gives the figures. Here the truth
comes from the calibration's own beliefs, so ranks of the truth among the lives must be even and
bands must hold as often as they say; a few runs leave room, hence the wide gates. Lives twice too
sure would put the ranks' spread above 1.3 and the bands below 80 %.
"""

import numpy as np
import pytest
from benchmarks.calibration_study import Scored, study, tasks
from benchmarks.evenness import evenness

RUNS, SEED = 16, 4100


@pytest.fixture(scope="module")
def scored() -> list[Scored]:
    return study(tasks(RUNS, SEED, believed=True))


@pytest.mark.slow
def test_the_true_parameters_fall_evenly_among_the_lives(scored: list[Scored]) -> None:
    assert not [one.failed for one in scored if one.failed]
    ranks = [rank for one in scored for rank in one.ranks.values()]
    even = evenness(ranks)
    assert even.count >= 10 * RUNS
    assert even.chance_bins > 0.001
    assert abs(even.centre) < 0.06
    assert 0.85 < even.width < 1.15


@pytest.mark.slow
def test_bands_ahead_hold_gas_ph_and_methane_about_as_often_as_they_say(
    scored: list[Scored],
) -> None:
    held = [one for run in scored for one in run.held.values()]
    assert len(held) == 8 * RUNS
    assert 0.86 <= float(np.mean([one.in95 for one in held])) <= 1.0
    assert 0.33 <= float(np.mean([one.in50 for one in held])) <= 0.70
