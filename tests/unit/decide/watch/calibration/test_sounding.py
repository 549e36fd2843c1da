"""Bells found by sounding the ground as far out as they reach."""

from typing import Any, cast

import numpy as np
import pytest

from marshlight.decide.watch.calibration.climbing import Peak
from marshlight.decide.watch.calibration.posterior import Posterior, Runs, Scored
from marshlight.decide.watch.calibration.sounding import _axes, sounded

COURSE, SEEN = [0, 2], [1, 3]
# What four readings say of four parameters: two of the course make up for each other almost fully.
TURN = np.array(
    [[9.0, 0.3, 9.0, 0.0], [0.4, 1.0, -0.2, 0.5], [0.0, 2.0, 0.6, -1.0], [0.1, 0.0, -0.1, 0.7]]
)
MIDDLE = np.array([0.6, -0.4, 0.2, 0.3])
RIGHT = TURN.T @ TURN + np.eye(4)


class Slope:
    """Readings that follow the parameters in a straight line; some lives cannot be run."""

    course, seen = COURSE, SEEN

    def __init__(self, wall: float = np.inf) -> None:
        self.wall, self.runs = wall, 0

    def run(self, scores: Any) -> Runs:
        self.runs += len(scores)
        fine = scores[:, 0] < self.wall
        none = np.zeros((len(scores), 0))
        return Runs({"course": scores[:, COURSE]}, none, none, fine, ~fine)

    def score(self, scores: Any, shown: Any, fine: Any) -> Scored:
        # Only what was run may say where the course is.
        assert shown["course"] == pytest.approx(scores[:, COURSE])
        rows = (scores - MIDDLE) @ TURN.T
        log = -0.5 * np.sum(rows**2, axis=1)
        whole = np.where(fine, log - 0.5 * np.sum(scores**2, axis=1), -1e12)
        return Scored(whole, log, rows, np.zeros(len(rows)), np.zeros(len(rows)))


def thin() -> Peak:
    """Give a bell that is seven times too thin along the ridge, beside the peak."""
    ridge = np.array([1.0, 0.0, -1.0, 0.0]) / np.sqrt(2.0)
    return Peak(MIDDLE + 0.4, -50.0, RIGHT + 50.0 * np.outer(ridge, ridge))


def test_a_bell_too_thin_along_a_ridge_is_mended_and_moved_to_its_peak() -> None:
    slope = Slope()
    (found,) = sounded(cast(Posterior, slope), [thin()])
    assert found.curvature == pytest.approx(RIGHT, rel=1e-6, abs=1e-6)
    assert found.scores == pytest.approx(np.linalg.solve(RIGHT, TURN.T @ TURN @ MIDDLE), abs=1e-6)


def test_sounding_runs_the_model_only_where_the_course_changes() -> None:
    slope = Slope()
    sounded(cast(Posterior, slope), [thin()])
    assert slope.runs == 2 * (1 + 2 * len(COURSE) + 3)


def test_where_no_life_can_be_run_the_bell_stays_as_it_was() -> None:
    start = thin()
    (found,) = sounded(cast(Posterior, Slope(wall=start.scores[0])), [start])
    assert np.isfinite(found.curvature).all()
    assert np.linalg.eigvalsh(found.curvature).min() > 0.0


def test_of_peaks_only_those_that_count_are_sounded() -> None:
    low = Peak(MIDDLE + 5.0, -500.0, RIGHT)
    slope = Slope()
    assert len(sounded(cast(Posterior, slope), [thin(), low])) == 1


def test_axes_make_up_the_spread_and_the_last_leave_the_course_alone() -> None:
    spread = np.linalg.inv(RIGHT)
    axes = _axes(cast(Posterior, Slope()), spread)
    assert axes @ axes.T == pytest.approx(spread)
    assert axes[COURSE, len(COURSE) :] == pytest.approx(0.0)
