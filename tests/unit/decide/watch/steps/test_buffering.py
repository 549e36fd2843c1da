"""The dose: both ways shown, sodium respected, nothing given where nothing is called for."""

import numpy as np
import pytest

from marshlight.decide.watch.buffer import FIRST_DOSE_KG_M3, SODIUM_LIMIT_KG_M3, SODIUM_SHARE
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps import (
    DosePlan,
    Liquor,
    dose_plan,
    dose_to_reach,
    liquor_now,
    ph_after,
    sodium_kg_m3,
    spoons,
)
from marshlight.decide.watch.steps.chemistry import liquor_as_read
from marshlight.errors import InputError

LIQUID_M3 = 0.0153
Made = tuple[Lives, RunLog]


def plan(made: Made, *, limit: float = 0.1, ph: float | None = None) -> DosePlan:
    lives, log = made
    return dose_plan(
        lives, log, liquor_now(lives, log, ph=ph), liquid_m3=LIQUID_M3, limit=limit, seed=2
    )


def test_a_sound_drum_gets_none(sound: Made) -> None:
    found = plan(sound)
    assert not found.is_needed
    assert found.by_model_kg == 0.0
    assert found.portions == 0
    assert found.dosed == found.unfed


def test_a_doubtful_drum_is_rescued_by_a_dose_within_sodium(doubtful: Made) -> None:
    found = plan(doubtful)
    assert found.unfed.share > 0.1
    assert found.by_model_kg is not None
    assert 0.0 < found.by_model_kg <= found.give_kg <= found.allowed_kg
    assert found.dosed.share <= 0.1
    assert found.give_kg / found.portions <= FIRST_DOSE_KG_M3 * LIQUID_M3 + 1e-12
    assert found.carbon_dioxide_m3 == pytest.approx(found.give_kg * 22.263e-3 / 0.0840066)


def test_a_lost_drum_is_told_so_and_never_gets_more_than_sodium_allows(lost: Made) -> None:
    lives, _ = lost
    found = plan(lost)
    assert found.by_model_kg is None
    assert found.sodium_binds
    assert found.give_kg <= found.allowed_kg
    held = sodium_kg_m3(lives) + found.give_kg * SODIUM_SHARE / LIQUID_M3
    assert held <= SODIUM_LIMIT_KG_M3 + 1e-9


def test_what_was_read_counts_before_what_the_lives_say(doubtful: Made) -> None:
    lives, log = doubtful
    assert liquor_now(lives, log, ph=6.1).ph == 6.1
    assert liquor_now(lives, log, acids_kg_m3=4.0).acids_kg_m3 == 4.0
    assert liquor_now(lives, log).temperature_c == 37.0


def test_acid_takes_more_than_the_ph_alone_would_say() -> None:
    bare = dose_to_reach(Liquor(5.5, 35.0, 40.0), 6.9)
    sour = dose_to_reach(Liquor(5.5, 35.0, 40.0, acids_kg_m3=6.0), 6.9)
    assert sour > bare
    assert dose_to_reach(Liquor(7.2, 35.0, 40.0), 6.9) == 0.0


def test_the_liquor_made_up_has_the_ph_that_was_read() -> None:
    for ph in (4.5, 5.5, 7.0, 8.2):
        liquor = Liquor(ph, 30.0, 45.0, acids_kg_m3=3.0, ammonia_kg_m3=1.5)
        assert ph_after(liquor, 0.0) == pytest.approx(ph, abs=0.01)


def test_an_impossible_ph_is_refused() -> None:
    with pytest.raises(InputError):
        liquor_as_read(Liquor(2.0, 35.0, 40.0))
    with pytest.raises(InputError):
        dose_to_reach(Liquor(6.0, 35.0, 100.0), 8.5)


def test_spoons_are_level_and_never_too_many_to_count() -> None:
    assert spoons(4.6e-3) == (1.0, "teaspoon")
    assert spoons(0.0138 * 4) == (4.0, "tablespoon")
    assert spoons(1.0) == (0.0, "")


def test_more_bicarbonate_never_lowers_the_ph() -> None:
    liquor = Liquor(5.8, 37.0, 45.0, acids_kg_m3=4.0, ammonia_kg_m3=0.8)
    rising = [ph_after(liquor, kg) for kg in np.linspace(0.0, 20.0, 9)]
    assert bool((np.diff(rising) > 0.0).all())
