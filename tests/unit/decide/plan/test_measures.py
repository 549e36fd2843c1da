"""Limited quantities from the contents of the lots, against sums done by hand."""

from math import exp

import numpy as np
import pytest

from marshlight.decide.plan import ChargeRequest, LotAtHand
from marshlight.decide.plan.measures import (
    ACID_DAYS,
    foreign_easy,
    live_organic_matter,
    lot_numbers,
    measures,
)
from marshlight.matter import Feedstock, Property


def stock(key: str, **numbers: float) -> Feedstock:
    split = {"carbohydrate": 0.8, "protein": 0.0, "lipid": 0.0, "fibre": 0.2, "lignin": 0.0}
    held = {"TS": 0.5, "VS": 1.0, "methane_potential": 0.4, "rate": 0.3, "TKN": 0.0, **split}
    return Feedstock(
        key, key, "own", {n: Property(x, x, x, "blended") for n, x in (held | numbers).items()}
    )


FOOD = stock("food", easily_degraded=0.8)
SEED = stock(
    "seed",
    TS=0.05,
    VS=0.6,
    methane_potential=0.05,
    easily_degraded=0.0,
    alkalinity=0.01,
    methanogenic_activity=0.05,
)


def request(*lots: Feedstock) -> ChargeRequest:
    return ChargeRequest(0.1, tuple(LotAtHand(lot, 100.0) for lot in lots), slurry_c=35.0)


def test_acid_on_each_day_is_made_less_eaten_over_the_buffer_of_that_day() -> None:
    """1 kg of food and 50 kg of seed: 0.5 x 0.8 x 1.1841 kg of acid's oxygen demand in all, seed
    eats 50 x 0.03 x 0.05 = 0.075 kg a day and more as it grows at 0.37 a day."""
    asked = request(FOOD, SEED)
    found = measures(asked, lot_numbers(asked), 1.0)["acid"]
    ratios = found.ratios(np.array([1.0, 50.0, 10.0]))
    for day, ratio in zip(ACID_DAYS, ratios, strict=True):
        made = 0.4 * 1.1841 * (1.0 - exp(-0.5 * day))
        eaten = 0.075 * (exp(0.37 * day) - 1.0) / 0.37
        assert ratio == pytest.approx((made - eaten) / 1.0657 / (50 * 0.01), rel=1e-3, abs=1e-3)


def test_cold_slows_acid_and_microbes_alike() -> None:
    asked = request(FOOD, SEED)
    numbers, amounts = lot_numbers(asked), np.array([1.0, 5.0, 10.0])
    warm = measures(asked, numbers, 1.0)["acid"].ratios(amounts)
    cold = measures(asked, numbers, 0.5)["acid"].ratios(amounts)
    # Half the speed: day 2 in the cold is day 1 in the warmth.
    assert cold[ACID_DAYS.index(2.0)] == pytest.approx(warm[ACID_DAYS.index(1.0)])


def test_inoculum_counts_by_its_life_and_no_more_than_all_of_it() -> None:
    asked = request(
        SEED,
        stock("weak", methanogenic_activity=0.01),
        stock("granules", methanogenic_activity=1.0),
        FOOD,
    )
    seed, weak, granules, food = lot_numbers(asked).contents
    assert live_organic_matter(seed) == pytest.approx(seed.vs)
    assert live_organic_matter(weak) == pytest.approx(0.2 * weak.vs)
    assert live_organic_matter(granules) == granules.vs
    assert live_organic_matter(food) == 0.0


def test_food_that_brings_its_own_microbes_is_not_set_against_the_inoculum() -> None:
    fresh = stock("fresh", easily_degraded=0.1, methanogenic_activity=0.003)
    fading = stock("fading", easily_degraded=0.1, methanogenic_activity=0.0005)
    dead = stock("dead", easily_degraded=0.1)
    found = [foreign_easy(c) for c in lot_numbers(request(fresh, fading, dead)).contents]
    assert found == pytest.approx([0.0, 0.5 * 0.05, 0.05])


def test_carbon_to_nitrogen_leaves_living_inoculum_out() -> None:
    bean = stock("bean", TKN=0.04, C_to_N=12.0)
    seed = stock("seed", TS=0.05, TKN=0.1, C_to_N=4.0, methanogenic_activity=0.05)
    asked = request(bean, seed)
    ratio = measures(asked, lot_numbers(asked), 1.0)["carbon_nitrogen"]
    assert ratio.worst(np.array([1.0, 30.0, 0.0])) == pytest.approx(12.0)


def test_a_lot_that_does_not_say_what_degrades_easily_counts_in_full() -> None:
    bare = Feedstock(
        "bare",
        "bare",
        "own",
        {n: Property(x, x, x, "blended") for n, x in (("TS", 0.2), ("VS", 0.9))},
    )
    asked = request(bare)
    numbers = lot_numbers(asked)
    assert foreign_easy(numbers.contents[0]) == pytest.approx(0.18)
    assert numbers.not_counted["expected gas"] == ("bare",)
