"""Batches that soured, or did not, in print: does the planner foresee which?

Lue, Hao, Zhu, Shao & He 2012 (Bioresource Technology 105: 169-173), abstract read: vegetable waste,
35 degC. Mixed through, it was hard to start even at an inoculum to substrate ratio of 1.105 by
volatile solids; at 0.053 in all it gave 445 mL CH4/g VS only when waste and inoculum were kept
apart, and as little as 34 the more they were mixed.
Common practice, no source: much bread or whey at once sours a small digester.
"""

import pytest

from marshlight.decide.plan import ChargePlan, ChargeRequest, LotAtHand, plan_charge
from marshlight.matter import library


def forced(seed_kg: float, food: str, food_kg: float) -> ChargePlan:
    """Plan what someone insists on, every limit that could stop it set wide open."""
    shelf = library()
    lots = (
        LotAtHand(shelf["digester_effluent"], seed_kg, fixed_kg=seed_kg),
        LotAtHand(shelf[food], food_kg, fixed_kg=food_kg),
    )
    wide = {"inoculum": (0.0, None), "solids": (0.0, 1.0), "carbon_nitrogen": (0.0, 1e6)}
    request = ChargeRequest(1.0, lots, slurry_c=35.0, limits=wide)
    return plan_charge(request, temperature_factor=lambda _: 1.0)


def vegetables(ratio: float) -> ChargePlan:
    """Mix 10 kg of vegetable waste with inoculum at a ratio by volatile solids."""
    seed, food = library()["digester_effluent"], library()["vegetable_waste"]
    per_kg = food.value("TS") * food.value("VS") / (seed.value("TS") * seed.value("VS"))
    return forced(seed_kg=ratio * per_kg * 10.0, food="vegetable_waste", food_kg=10.0)


def test_vegetable_waste_at_a_ratio_of_0_053_is_foreseen_to_sour() -> None:
    found = vegetables(0.053)
    assert found.by_limit["acid"].value > 0.8
    assert found.expected is not None
    assert any("may sour" in sentence for sentence in found.expected.sentences)


def test_vegetable_waste_at_a_ratio_of_1_105_is_not_called_sound() -> None:
    assert vegetables(1.105).by_limit["acid"].value > 0.4


def test_more_inoculum_always_means_less_acid() -> None:
    acid = [
        vegetables(ratio).by_limit["acid"].value for ratio in (0.053, 0.2, 0.5, 1.105, 2.0, 4.0)
    ]
    assert acid == sorted(acid, reverse=True)


@pytest.mark.parametrize("food", ["bread_stale", "whey_sweet", "food_waste"])
def test_much_easily_degraded_food_is_foreseen_to_sour_and_a_little_is_not(food: str) -> None:
    solids = library()[food].value("TS")
    much, little = (forced(100.0, food, kg / solids).by_limit["acid"].value for kg in (10.0, 0.3))
    assert much > 0.8
    assert little < 0.4
