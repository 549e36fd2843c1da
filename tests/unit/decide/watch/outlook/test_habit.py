"""Feeding that goes on as before."""

from dataclasses import replace

import pytest

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.outlook import habit_of
from marshlight.process.model import DrawOff, Feed, water


def _fed(log: RunLog, days: tuple[float, ...], today: float, volume_m3: float = 2e-4) -> RunLog:
    return replace(log, today=today, events=tuple(Feed(day, water(volume_m3)) for day in days))


def test_the_middle_pause_and_the_mean_feed_make_the_habit(log: RunLog) -> None:
    fed = replace(
        _fed(log, (1.0, 3.0, 5.0, 9.0), 10.0),
        events=tuple(Feed(d, water(v)) for d, v in ((1.0, 1e-4), (3.0, 3e-4), (5.0, 2e-4))),
    )
    habit = habit_of(fed)
    assert habit is not None
    assert habit.every_d == 2.0
    assert habit.liquid.volume_m3 == pytest.approx(2e-4)
    assert habit.next_d == 10.0


def test_two_feeds_or_none_are_no_habit(log: RunLog) -> None:
    assert habit_of(log) is None
    assert habit_of(_fed(log, (1.0, 3.0), 4.0)) is None


def test_feeds_of_one_visit_count_as_one(log: RunLog) -> None:
    habit = habit_of(_fed(log, (1.0, 1.05, 3.0, 3.05, 5.0, 5.05), 6.0))
    assert habit is not None
    assert habit.every_d == pytest.approx(2.0)
    assert habit.liquid.volume_m3 == pytest.approx(4e-4)


def test_a_habit_ends_when_feeds_stay_out(log: RunLog) -> None:
    assert habit_of(_fed(log, (1.0, 3.0, 5.0), 10.0)) is not None
    assert habit_of(_fed(log, (1.0, 3.0, 5.0), 11.5)) is None


def test_a_full_vessel_is_drawn_off_before_it_is_fed(log: RunLog) -> None:
    habit = habit_of(_fed(log, (1.0, 3.0, 5.0), 6.0, volume_m3=1e-3))
    assert habit is not None
    events = habit.events(14.0, level_m3=0.0235, vessel_m3=0.025)
    drawn = sum(e.volume_m3 for e in events if isinstance(e, DrawOff))
    fed = sum(e.liquid.volume_m3 for e in events if isinstance(e, Feed))
    assert fed == pytest.approx(4e-3)
    assert 0.0235 + fed - drawn <= 0.95 * 0.025 + 1e-12
