"""The planner's sentences."""

from math import inf

import pytest

from marshlight.decide.plan.limits import Aim, Limit
from marshlight.decide.plan.words import (
    allowed,
    day_range,
    limit_sentence,
    listed,
    relaxation_sentence,
    shown,
)

SOLIDS = Limit("solids", "solids (TS)", "", "fraction", 0.03, 0.10)
GAS = Aim("most_gas", "most gas", "methane in the end")


@pytest.mark.parametrize(
    ("unit", "value", "text"),
    [
        ("fraction", 0.0934, "9.3 %"),
        ("concentration", 2.14, "2.1 g/L"),
        ("dimensionless", 15.6, "16"),
        ("mass", 0.3967, "397 g"),
        ("flow", 0.0133, "13.3 L/d"),
        ("dimensionless", inf, "more than enough"),
    ],
)
def test_a_value_is_shown_in_its_everyday_unit(unit: str, value: float, text: str) -> None:
    assert shown(Limit("x", "x", "", unit), value) == text


def test_a_limit_with_one_end_says_which() -> None:
    assert allowed(Limit("x", "x", "", "fraction", high=0.3)) == "30 % at the most"
    assert allowed(Limit("x", "x", "", "fraction", low=0.25)) == "25 % at the least"
    assert allowed(Limit("x", "x", "", "mass", 3.0, 3.0)) == "exactly 3.00 kg"


def test_a_missed_limit_says_on_which_side() -> None:
    assert limit_sentence(SOLIDS, 0.14, "missed").endswith("this lies above it.")
    assert limit_sentence(SOLIDS, 0.01, "missed").endswith("this lies below it.")


def test_relaxing_says_from_what_to_what_and_what_it_gives() -> None:
    said = relaxation_sentence(SOLIDS, 0.10, 0.11, share=0.104, aim=GAS)
    assert said == (
        "Letting solids (TS) go to 11 % instead of 10 % would give 10 % more methane in the end."
    )
    amount = Limit("amount:goat", "amount of goat manure", "", "mass", high=5.0)
    said = relaxation_sentence(amount, 5.0, 5.5, share=0.05, aim=GAS)
    assert said.startswith("500 g more of goat manure would give 5.0 % more")


def test_days_without_end_say_so() -> None:
    assert day_range(0.2, 0.4) == "day 1"
    assert day_range(3.0, inf) == "day 3 or much later"
    assert day_range(inf, inf) == "not within half a year"
    assert listed(["a"]) == "a"
