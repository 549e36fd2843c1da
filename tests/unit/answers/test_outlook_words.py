"""The outlook in words."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from marshlight.answers.outlook_words import (
    belief_lines,
    burn_words,
    day_lines,
    driver_words,
    holder_words,
    outlook_sentence,
    worth_words,
)
from marshlight.decide.watch.calibration import Prior
from marshlight.decide.watch.outlook import Outlook, Share, Worth
from marshlight.estimate import Range
from marshlight.process.bands import Band


def _flat(*levels: float) -> Band:
    low95, low50, middle, high50, high95 = (np.full(4, level) for level in levels)
    return Band(middle, low50, high50, low95, high95)


@pytest.fixture
def seen() -> Outlook:
    """Three days ahead, the same each day."""
    litres = _flat(1e-3, 2e-3, 3e-3, 4e-3, 5e-3)
    return Outlook(
        day=np.array([20.0, 21.0, 22.0, 23.0]),
        gas_m3=litres,
        daily_m3=litres,
        methane=_flat(0.4, 0.45, 0.5, 0.55, 0.6),
        ph=_flat(6.9, 7.0, 7.1, 7.2, 7.3),
        acids_kg_m3=_flat(0.1, 0.2, 0.3, 0.4, 0.5),
        alkalinity_kg_m3=_flat(2.0, 2.5, 3.0, 3.5, 4.0),
        burns=np.full(4, 0.95),
        sour=np.zeros(4),
        full_day=Range(21.0, 22.0, 23.0, 0.95),
        full_chance=1.0,
        cooking_h=_flat(0.1, 0.2, 0.3, 0.4, 0.5),
        gas_lives_m3=np.ones((30, 4)),
    )


def test_the_sentence_gives_a_range_how_sure_and_whether_it_burns(seen: Outlook) -> None:
    assert (
        outlook_sentence(seen, fed=False, system="metric")
        == "1.0 to 5.0 L of gas in the next 3 days (19 in 20); tomorrow's gas should burn."
    )


def test_a_fed_run_is_said_to_be_fed_on_and_a_risk_of_souring_is_told(seen: Outlook) -> None:
    sour = replace(seen, sour=np.array([0.0, 0.1, 0.2, 0.3]))
    words = outlook_sentence(sour, fed=True, system="metric")
    assert "if it is fed as before" in words
    assert "30 of 100" in words


def test_us_readers_get_their_own_units(seen: Outlook) -> None:
    words = outlook_sentence(seen, fed=False, system="us")
    assert " L " not in words
    unit, lines = day_lines(seen, "us")
    assert unit == "gal a day"
    assert lines[0].gas == "0.3 to 1.3"


def test_a_chance_of_burning_is_never_said_to_be_certain() -> None:
    said = [burn_words(chance) for chance in (0.0, 0.4, 0.7, 1.0)]
    assert said == ["will hardly burn", "may burn", "likely burns", "should burn"]


def test_each_day_has_gas_flame_ph_and_minutes(seen: Outlook) -> None:
    unit, (first, *rest) = day_lines(seen, "metric")
    assert (first.day, first.gas, unit) == ("21", "1.0 to 5.0", "L a day")
    assert (first.burns, first.ph, first.cooking) == ("should burn", "6.9 to 7.3", "6 to 30 min")
    assert len(rest) == 2


def test_all_days_stand_in_one_unit_to_the_place_of_the_largest(seen: Outlook) -> None:
    low = seen.daily_m3.low95.copy()
    low[1], low[2] = 0.000078, 0.00047
    faint = replace(seen, daily_m3=replace(seen.daily_m3, low95=low))
    _, lines = day_lines(faint, "metric")
    assert [line.gas for line in lines] == ["0.1 to 5.0", "0.5 to 5.0", "1.0 to 5.0"]


def test_the_holder_is_full_in_days_from_now(seen: Outlook) -> None:
    assert holder_words(seen) == "Holder: full in 1 to 3 days if no gas is used."
    soon = replace(seen, full_day=Range(20.25, 20.5, 21.0, 0.95))
    assert holder_words(soon) == "Holder: full in 6 to 24 hours if no gas is used."
    assert "(40 %)" in holder_words(replace(seen, full_chance=0.4))
    assert holder_words(replace(seen, full_day=None)) == ""
    now = replace(seen, full_day=Range(20.0, 20.0, 20.0, 0.95))
    assert holder_words(now) == "Holder: full now."


def test_small_shares_of_the_doubt_are_left_out_and_the_largest_comes_first() -> None:
    found = (Share("cells", 0.5), Share("leak", 0.01), Share("by the day", 0.49))
    words = driver_words(found)
    assert words.startswith("The doubt comes from: live microbes in the charge (50 %), ")
    assert words.endswith("chance, from day to day (49 %).")


def test_a_reading_worth_little_is_said_to_be_worth_little() -> None:
    assert "No single reading" in worth_words((Worth("ph", 0.02),))


def test_the_reading_worth_most_is_said_as_an_act_with_what_it_does() -> None:
    words = worth_words((Worth("acids", 0.53), Worth("gas", 0.31), Worth("ph", 0.09)))
    assert words == (
        "What would tell most tomorrow: titrate the volatile acids. The range of the gas after it"
        " halves by that, on average. With the holder alone it narrows by 30 %, with the pH it"
        " narrows by 10 %."
    )
    alone = worth_words((Worth("ph", 0.4), Worth("gas", 0.02)))
    assert alone.endswith("narrows by 40 % by that, on average.")


def test_a_belief_at_nought_has_no_minus_sign() -> None:
    prior = Prior(0.0, -0.1, 0.1, "offset", "pH", "pH shown above the truth", "our choice")
    lives = SimpleNamespace(priors={"ph_bias": prior}, of=lambda name: np.full(9, -0.01))
    assert belief_lines(lives)[0].now == "+0.0 (+0.0 to +0.0)"  # type: ignore[arg-type]
