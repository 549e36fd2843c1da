"""The coming days as the lives see them."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas
from marshlight.decide.watch.outlook import Outlook, look_ahead
from marshlight.errors import InputError
from marshlight.process.model import Dose, Feed, Liquid

DAYS = 6.0 + np.arange(15.0)


def _look(lives: Lives, log: RunLog, **changed: object) -> Outlook:
    given: dict[str, object] = {"days": DAYS, "rng": np.random.default_rng(3)}
    return look_ahead(lives, log, **{**given, **changed})  # type: ignore[arg-type]


def test_bands_hold_the_middle_and_start_from_nothing_today(lives: Lives, log: RunLog) -> None:
    seen = _look(lives, log)
    for found in (seen.gas_m3, seen.daily_m3, seen.methane, seen.ph, seen.acids_kg_m3):
        assert np.all(found.low95 <= found.low50)
        assert np.all(found.low50 <= found.median)
        assert np.all(found.median <= found.high50)
        assert np.all(found.high50 <= found.high95)
    assert seen.gas_m3.high95[0] == 0.0
    assert np.all(np.diff(seen.gas_m3.median) > 0.0)
    assert seen.ahead_d == 14.0


def test_daily_gas_of_each_life_adds_up_to_its_total(lives: Lives, log: RunLog) -> None:
    seen = _look(lives, log)
    assert seen.gas_lives_m3.shape == (len(lives), DAYS.size)
    assert np.all(np.diff(seen.gas_lives_m3, axis=1) >= 0.0)


def test_a_leak_is_missing_from_what_the_holder_will_show(lives: Lives, log: RunLog) -> None:
    made = dry_gas(ahead(lives, log, days=DAYS))[:, -1]
    leaks = np.array(lives.names) == "leak"
    tight, leaking = (
        _look(replace(lives, draws=np.where(leaks, lost, lives.draws)), log).gas_lives_m3[:, -1]
        for lost in (0.0, 0.3)
    )
    assert np.mean(leaking / made) < 0.75 * np.mean(tight / made)


def test_the_chance_of_a_flame_rises_with_methane_and_stays_a_chance(
    lives: Lives, log: RunLog
) -> None:
    seen = _look(lives, log)
    assert np.all((seen.burns > 0.0) & (seen.burns < 1.0))
    richer = np.argsort(seen.methane.median)
    assert seen.burns[richer[-1]] > seen.burns[richer[0]]


def test_a_holder_with_no_room_is_full_today_and_a_huge_one_never(
    lives: Lives, log: RunLog
) -> None:
    none = _look(lives, log, room_m3=0.0)
    assert none.full_chance == 1.0
    assert none.full_day is not None
    assert none.full_day.high == pytest.approx(6.0)
    vast = _look(lives, log, room_m3=1e3)
    assert vast.full_day is None
    assert vast.full_chance == 0.0
    assert _look(lives, log).full_day is None


def test_more_room_is_never_full_sooner(lives: Lives, log: RunLog) -> None:
    small, large = (_look(lives, log, room_m3=room) for room in (0.001, 0.004))
    assert small.full_day is not None
    assert large.full_day is not None
    assert small.full_day.value <= large.full_day.value
    assert small.full_chance >= large.full_chance


def test_hours_of_cooking_are_the_gas_of_a_day_over_what_the_burner_takes(
    lives: Lives, log: RunLog
) -> None:
    seen = _look(lives, log, burner_m3_per_h=0.3)
    assert seen.cooking_h is not None
    np.testing.assert_allclose(seen.cooking_h.median, seen.daily_m3.median / 0.3)
    assert _look(lives, log).cooking_h is None


def test_much_starch_sours_and_buffer_in_time_makes_it_less_likely(
    lives: Lives, log: RunLog
) -> None:
    starch = Feed(6.0, Liquid(0.0, {"carbohydrate": 1.2, "protein": 0.1}))
    alone = _look(lives, log).sour.mean()
    fed = _look(lives, log, events=(starch,)).sour.mean()
    dosed = _look(lives, log, events=(starch, Dose(6.0, "sodium bicarbonate", 0.12))).sour.mean()
    assert fed > alone
    assert dosed < fed


@pytest.mark.parametrize(
    ("field", "changed"),
    [
        ("days", {"days": [7.0, 8.0]}),
        ("days", {"days": [6.0]}),
        ("days", {"days": [6.0, 8.0, 7.0]}),
        ("room in the holder", {"room_m3": -1.0}),
        ("burner", {"burner_m3_per_h": 0.0}),
    ],
)
def test_what_cannot_be_is_refused_by_name(
    lives: Lives, log: RunLog, field: str, changed: dict[str, object]
) -> None:
    with pytest.raises(InputError) as refused:
        _look(lives, log, **changed)
    assert refused.value.field == field
