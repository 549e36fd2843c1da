"""Newest gas against a forecast that has not seen it."""

import numpy as np

from marshlight.decide.watch import GasRecord, RunFacts, expected_without_latest
from marshlight.decide.watch.gas import newest_stretches
from marshlight.estimate import Estimate
from marshlight.process import CurvePrior, curve

PRIOR = CurvePrior(Estimate(0.3, 0.06), Estimate(0.12, 0.04), Estimate(2.0, 1.0))


def record(factor: float) -> GasRecord:
    days = np.arange(0.0, 13.0)
    step = np.diff(curve("gompertz").value(days, [0.3, 0.02, 2.0]), prepend=0.0)
    step[-2:] *= factor
    return GasRecord(days, np.cumsum(step), np.full(13, 5e-4), np.zeros(13, bool))


def facts(factor: float) -> RunFacts:
    gas = record(factor)
    expected = expected_without_latest(gas, PRIOR, rng=np.random.default_rng(1))
    return RunFacts(day=12.0, gas=gas, expected=expected)


def test_the_held_back_readings_do_not_move_the_expectation() -> None:
    calm, low = facts(1.0), facts(0.2)
    assert np.array_equal(calm.expected.daily.median, low.expected.daily.median)
    assert calm.expected.from_day == 10.0


def test_a_fall_shows_as_two_stretches_under_the_band() -> None:
    assert [s.below for s in newest_stretches(facts(0.2))] == [True, True]
    assert [s.below for s in newest_stretches(facts(1.0))] == [False, False]


def test_readings_within_the_hour_are_merged() -> None:
    days = np.array([0.0, 1.0, 2.0, 2.01, 2.02])
    gas = GasRecord(days, days * 0.01, np.full(5, 1e-4), np.zeros(5, bool))
    expected = expected_without_latest(gas, PRIOR, rng=np.random.default_rng(1))
    for stretch in newest_stretches(RunFacts(day=2.1, gas=gas, expected=expected)):
        assert stretch.end - stretch.start >= 0.5


def test_nothing_known_gives_no_expectation() -> None:
    empty = GasRecord(np.zeros(0), np.zeros(0), np.zeros(0), np.zeros(0, bool))
    assert expected_without_latest(empty, None, rng=np.random.default_rng(1)) is None
    assert newest_stretches(RunFacts(day=1.0)) == ()


def test_reading_error_counts_at_both_ends_and_error_that_stays_only_by_its_growth() -> None:
    day, none = np.arange(4.0), np.zeros(4, bool)
    alone = GasRecord(day, day, np.array([0.0, 3.0, 3.0, 3.0]), none)
    assert alone.u_between(1, 2) == np.hypot(3.0, 3.0)
    assert alone.u_between(0, 1) == 3.0
    growing = GasRecord(day, day, np.sqrt([0.0, 1.0, 5.0, 9.0]), none)
    assert growing.u_between(1, 3) == np.sqrt(8.0 + 1.0 + 1.0)
