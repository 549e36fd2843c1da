"""The run card: everything one needs beside the vessel, each caution at its hazard."""

from collections.abc import Callable

import pytest

from marshlight.decide.plan import (
    ChargePlan,
    ChargeRequest,
    LotAtHand,
    run_card,
    run_card_text,
)
from marshlight.decide.plan.steps import HOTTEST_WATER_C, mixing_water_c
from marshlight.matter import Part, blend, library

Plan = Callable[..., ChargePlan]
Lots = tuple[LotAtHand, ...]


def test_the_card_has_its_sections_in_order(plan: Plan, ordinary: Lots) -> None:
    card = run_card(plan(*ordinary), title="Drum 3")
    assert [section.kind for section in card.sections] == [
        "amounts",
        "limits",
        "work",
        "expectation",
        "cautions",
    ]
    assert card.title == "Drum 3"


def test_amounts_are_given_by_mass_by_volume_and_by_buckets(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary, bucket_m3=0.012)
    for amount in found.amounts:
        if amount.bulk_m3 is not None and amount.buckets is not None:
            assert amount.buckets == pytest.approx(amount.bulk_m3 / 0.012)
    text = run_card_text(run_card(found))
    assert "buckets of 12 L" in text
    assert "kg" in text


def test_the_card_prints_in_us_units(plan: Plan, ordinary: Lots) -> None:
    text = run_card_text(run_card(plan(*ordinary), system="us"))
    assert " lb" in text
    assert " gal" in text


def test_no_line_is_wider_than_asked(plan: Plan, ordinary: Lots) -> None:
    text = run_card_text(run_card(plan(*ordinary)), width=60)
    assert max(len(line) for line in text.splitlines()) <= 60


def test_each_caution_stands_at_the_step_where_its_hazard_arises(
    plan: Plan, ordinary: Lots
) -> None:
    food = LotAtHand(library()["food_waste"], 3.0, least_kg=0.2)
    found = plan(*ordinary[:2], food)
    steps = {step.key: step for step in found.steps}
    order = list(steps)
    assert order.index("mix") < order.index("inoculum") < order.index("seal") < order.index("vent")
    keys = {name: {c.key for c in step.cautions} for name, step in steps.items()}
    assert {"explosive_gas", "first_gas"} <= keys["vent"]
    assert "sealed_pressure" in keys["seal"]
    assert "mains_heater" in keys["warm"]
    assert "pathogens" in keys["mix"]
    assert "pale_flame" in keys["flame"]
    assert "souring" in keys["mix"]  # food waste names it
    text = run_card_text(run_card(found))
    assert text.index("Let the gas of the first days out") < text.index("never try a flame at")


def test_only_materials_that_bring_a_hazard_show_its_caution(plan: Plan) -> None:
    plain = plan(
        LotAtHand(library()["goat_manure"], 5.0), LotAtHand(library()["digester_effluent"], 10.0)
    )
    night = plan(
        LotAtHand(library()["night_soil"], 5.0, fixed_kg=0.5),
        LotAtHand(library()["digester_effluent"], 10.0),
    )
    assert "human_pathogens" not in {c.key for c in plain.cautions}
    assert "human_pathogens" in {c.key for c in night.cautions}


def test_a_material_s_own_caution_stands_beside_its_amount(plan: Plan, ordinary: Lots) -> None:
    amounts = run_card(plan(*ordinary)).sections[0].lines
    own = f"    ! {library()['goat_manure'].cautions[0]}"
    goat = next(i for i, line in enumerate(amounts) if line.startswith("goat manure"))
    assert own in amounts[goat : goat + 3]
    assert amounts.count(own) == 1  # both manures say it; once is enough


def test_an_impossible_charge_says_so_on_its_card(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary[:2], LotAtHand(library()["bread_stale"], 5.0, fixed_kg=4.0))
    text = run_card_text(run_card(found))
    assert "Change something before filling" in text.replace("\n", " ")


def test_water_warms_the_slurry_by_the_heat_it_brings() -> None:
    """9 kg of water and 1 kg of wet straw at 15 degC: worked by hand from the two heats."""
    straw = library()["wheat_straw"]
    mixed = blend([Part(straw, 1.0)], 9.0)
    request = ChargeRequest(0.025, (LotAtHand(straw, 1.0),), slurry_c=38.0, materials_c=15.0)
    solids = straw.value("TS")
    lacking = (solids * 1.85 + (1 - solids) * 4.18) * 23.0
    assert mixing_water_c(request, mixed) == pytest.approx(38.0 + lacking / (9.0 * 4.18))


def test_water_is_never_hotter_than_a_hand_bears(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary, slurry_c=38.0, materials_c=2.0)
    assert found.water_c == HOTTEST_WATER_C
    assert any("no hotter" in step.text for step in found.steps)


def test_a_plan_without_gas_figures_prints_that_they_are_not_known(plan: Plan) -> None:
    from dataclasses import replace

    found = plan(
        LotAtHand(library()["digester_effluent"], 10.0), LotAtHand(library()["goat_manure"], 5.0)
    )
    text = run_card_text(run_card(replace(found, expected=None)))
    assert "Not known" in text


def test_a_plan_asked_for_in_us_units_says_nothing_in_metric(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary, system="us", holder_m3=0.004, slurry_c=25.0)
    assert found.expected is not None
    said = [limit.sentence for limit in found.limits] + [r.sentence for r in found.relaxations]
    said += [step.text for step in found.steps if step.key != "ph"] + [*found.expected.sentences]
    for sentence in said:
        for unit in (" kg", " g ", "°C", " L ", " L.", " mL", " cm"):
            assert unit not in sentence
    assert any("°F" in sentence for sentence in said)
