"""What the doubt comes from, and what a reading would be worth."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.outlook import (
    drivers,
    explained_share,
    look_ahead,
    worth_of_readings,
)
from marshlight.errors import InputError

DAYS = 6.0 + np.arange(15.0)


def test_a_straight_line_with_noise_explains_its_share_of_the_variance() -> None:
    rng = np.random.default_rng(5)
    x, noise = rng.uniform(-1.0, 1.0, 20_000), rng.standard_normal(20_000)
    # Variances 1/3 and 1/9 by construction: three quarters are the line's.
    assert explained_share(x + noise / 3.0, x) == pytest.approx(0.75, abs=0.01)


def test_what_has_nothing_to_do_with_the_target_explains_next_to_nothing() -> None:
    rng = np.random.default_rng(6)
    shares = [
        explained_share(rng.standard_normal(200), rng.standard_normal(200)) for _ in range(50)
    ]
    assert np.mean(shares) < 0.02


def test_what_does_not_vary_explains_nothing() -> None:
    rising = np.arange(40.0)
    assert explained_share(rising, np.ones(40)) == 0.0
    assert explained_share(np.ones(40), rising) == 0.0


def test_too_few_lives_are_refused() -> None:
    with pytest.raises(InputError):
        explained_share(np.arange(5.0), np.arange(5.0))


def test_shares_of_the_doubt_are_sorted_and_leave_the_rest_to_the_day(
    lives: Lives, log: RunLog
) -> None:
    seen = look_ahead(lives, log, days=DAYS, rng=np.random.default_rng(1))
    found = drivers(lives, seen)
    assert found[-1].name == "by the day"
    named = [s.share for s in found[:-1]]
    assert named == sorted(named, reverse=True)
    assert {s.name for s in found[:-1]} <= set(lives.names)
    # Before any reading, how fast it breaks down and how lively it is matter most.
    assert {s.name for s in found[:4]} & {"cells", "rate", "food", "vigour"}


def test_no_reading_is_worth_less_than_nothing_or_more_than_all(lives: Lives, log: RunLog) -> None:
    seen = look_ahead(lives, log, days=DAYS, rng=np.random.default_rng(1))
    found = worth_of_readings(lives, log, seen, rng=np.random.default_rng(2))
    assert [w.narrower for w in found] == sorted((w.narrower for w in found), reverse=True)
    assert all(0.0 <= w.narrower < 1.0 for w in found)
    assert {w.reading for w in found} == {
        "gas",
        "ph",
        "methane",
        "acids",
        "alkalinity",
        "temperature",
    }


def test_tomorrows_gas_says_more_of_the_gas_after_it_than_the_temperature_does(
    lives: Lives, log: RunLog
) -> None:
    seen = look_ahead(lives, log, days=DAYS, rng=np.random.default_rng(1))
    found = worth_of_readings(lives, log, seen, rng=np.random.default_rng(2))
    worth = {w.reading: w.narrower for w in found}
    assert worth["gas"] > worth["temperature"]


def test_a_coarse_strip_is_worth_no_more_than_a_meter(lives: Lives, log: RunLog) -> None:
    seen = look_ahead(lives, log, days=DAYS, rng=np.random.default_rng(1))

    def of_ph(step: float | None) -> float:
        found = worth_of_readings(lives, log, seen, rng=np.random.default_rng(2), strip_step=step)
        return next(w.narrower for w in found if w.reading == "ph")

    assert of_ph(2.0) < of_ph(None)
