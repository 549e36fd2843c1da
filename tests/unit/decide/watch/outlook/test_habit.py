"""Feeding that goes on as before."""

from dataclasses import replace

import pytest

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.outlook import feast_of, habit_of
from marshlight.matter import find
from marshlight.process.model import DrawOff, Feed, Liquid, liquid_from_feedstock, water


def _bread(mass_kg: float) -> Liquid:
    return liquid_from_feedstock(find("stale bread"), mass_kg)


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


def test_one_or_two_feasts_are_no_habit(log: RunLog) -> None:
    usual = [Feed(day, _bread(0.1)) for day in (0.0, 2.0, 4.0)]
    feasts = [Feed(day, _bread(0.4)) for day in (5.0, 6.0)]
    for given in (feasts[:1], feasts):
        habit = habit_of(replace(log, today=6.5, events=(*usual, *given)))
        assert habit is not None
        assert habit.every_d == 2.0
        assert habit.liquid.volume_m3 == pytest.approx(_bread(0.1).volume_m3)
        assert habit.next_d == given[-1].day + 2.0


def test_large_meals_are_a_habit_from_the_third_on(log: RunLog) -> None:
    sizes = (0.1, 0.4, 0.1, 0.4, 0.1, 0.4, 0.1)
    fed = tuple(Feed(float(day), _bread(kg)) for day, kg in enumerate(sizes))
    habit = habit_of(replace(log, today=6.5, events=fed))
    assert habit is not None
    assert habit.liquid.volume_m3 == pytest.approx(_bread(sum(sizes) / 7).volume_m3)


def test_a_feast_and_two_usual_meals_are_no_habit(log: RunLog) -> None:
    fed = (Feed(1.0, _bread(0.1)), Feed(3.0, _bread(0.1)), Feed(5.0, _bread(0.4)))
    assert habit_of(replace(log, events=fed)) is None


def test_a_feast_is_the_newest_meal_out_of_the_habit_for_a_week(log: RunLog) -> None:
    usual = tuple(Feed(day, _bread(0.1)) for day in (0.0, 2.0, 4.0))
    feasted = (*usual, Feed(5.0, _bread(0.4)))
    assert feast_of(log) is None
    assert feast_of(replace(log, events=usual)) is None
    found = feast_of(replace(log, events=feasted))
    assert found is not None
    assert found.volume_m3 == pytest.approx(_bread(0.4).volume_m3)
    assert feast_of(replace(log, today=12.5, events=feasted)) is None


def test_without_a_habit_the_last_meal_is_what_may_come_again(log: RunLog) -> None:
    once = replace(log, events=(Feed(5.0, _bread(0.1)),))
    found = feast_of(once)
    assert found is not None
    assert found.volume_m3 == pytest.approx(_bread(0.1).volume_m3)
