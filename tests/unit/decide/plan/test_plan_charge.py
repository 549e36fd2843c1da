"""The planner: limits kept, what binds said, gains solved again, clashes named."""

from collections.abc import Callable

import pytest

from marshlight.decide.plan import ChargePlan, ChargeRequest, LotAtHand, aims, plan_charge
from marshlight.errors import InfeasibleError, InputError
from marshlight.matter import aged, library
from marshlight.sources import source

Plan = Callable[..., ChargePlan]
Lots = tuple[LotAtHand, ...]


def lot(stock: str, kilograms: float, **more: object) -> LotAtHand:
    return LotAtHand(library()[stock], kilograms, **more)  # type: ignore[arg-type]


def kg(plan: ChargePlan, key: str) -> float:
    return next(amount.mass_kg for amount in plan.amounts if amount.key == key)


def test_an_ordinary_batch_keeps_every_limit(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary)
    assert found.feasible
    assert found.conflicts == ()
    assert {limit.state for limit in found.limits} <= {"kept", "binds"}
    assert found.blend.TS.value <= 0.10 + 1e-9
    assert found.slurry_m3.value <= 0.025 * 2 / 3 + 1e-5
    assert kg(found, "goat_manure") <= 5.0
    assert found.blend.mass_kg.value == pytest.approx(sum(a.mass_kg for a in found.amounts))


def test_the_blend_and_the_limits_tell_the_same_story(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary)
    limits = found.by_limit
    assert limits["solids"].value == pytest.approx(found.blend.TS.value)
    assert limits["fill"].value == pytest.approx(found.slurry_m3.value / 0.025)
    assert limits["gas_space"].value == pytest.approx(1 - limits["fill"].value)
    assert found.blend.ammonia_in_the_end is not None
    assert limits["ammonia"].value == pytest.approx(
        found.blend.ammonia_in_the_end.value * found.blend.mass_kg.value / found.slurry_m3.value
    )


def test_what_binds_is_what_relaxing_would_gain_from(plan: Plan, ordinary: Lots) -> None:
    found = plan(*ordinary)
    assert found.relaxations
    assert {limit.key for limit in found.binding} == {r.key for r in found.relaxations}
    for relaxation in found.relaxations:
        assert relaxation.gain > 0.0
        limit = found.by_limit[relaxation.key]
        assert limit.headroom == pytest.approx(0.0, abs=1e-6)


def test_the_price_of_a_limit_foretells_a_small_relaxation(plan: Plan, ordinary: Lots) -> None:
    """Price against a new solution with the limit moved by a hundredth."""
    before = plan(*ordinary)
    assert before.expected is not None
    price = next(r for r in before.relaxations if r.key == "solids")
    after = plan(*ordinary, limits={"solids": (None, 0.101)})
    assert after.expected is not None
    gain = after.expected.methane_m3.value - before.expected.methane_m3.value
    assert gain == pytest.approx(price.foretold / 10.0, rel=0.02)


def test_a_stated_gain_is_what_the_user_gets_by_relaxing(plan: Plan, ordinary: Lots) -> None:
    before = plan(*ordinary)
    assert before.expected is not None
    stated = next(r for r in before.relaxations if r.key == "fill")
    after = plan(*ordinary, limits={"fill": (None, stated.relaxed_to)})
    assert after.expected is not None
    share = after.expected.methane_m3.value / before.expected.methane_m3.value - 1.0
    assert share == pytest.approx(stated.gain_share, rel=1e-4)
    assert "72 %" in stated.sentence


@pytest.mark.parametrize("aim", list(aims()))
def test_every_aim_is_best_at_what_it_aims_for(plan: Plan, ordinary: Lots, aim: str) -> None:
    found = {key: plan(*ordinary, aim=key) for key in aims()}

    def waste(p: ChargePlan) -> float:
        return sum(a.mass_kg for a in p.amounts if a.role == "food")

    def methane(p: ChargePlan) -> float:
        return p.blend.methane_m3.value if p.blend.methane_m3 else 0.0

    def worst_acid(p: ChargePlan) -> float:
        return p.by_limit["acid"].value

    best = {
        "most_gas": methane(found["most_gas"]) >= methane(found["surest_start"]) - 1e-9,
        "most_waste": all(waste(found["most_waste"]) >= waste(p) - 1e-6 for p in found.values()),
        "surest_start": all(
            worst_acid(found["surest_start"]) <= worst_acid(p) + 1e-9 for p in found.values()
        ),
    }
    assert best[aim]


def test_the_vessel_is_never_filled_past_three_quarters(plan: Plan, ordinary: Lots) -> None:
    with pytest.raises(InputError, match="75%"):
        plan(*ordinary, limits={"fill": (None, 0.8)})
    with pytest.raises(InputError, match="gas space"):
        plan(*ordinary, limits={"gas_space": (0.1, None)})
    fullest = plan(*ordinary, limits={"fill": (None, 0.75)})
    assert fullest.by_limit["gas_space"].value >= 0.25 - 1e-9


def test_fixed_and_least_amounts_are_kept(plan: Plan) -> None:
    found = plan(
        lot("goat_manure", 5.0, least_kg=1.0),
        lot("digester_effluent", 10.0, fixed_kg=8.0),
        lot("bread_stale", 1.0, fixed_kg=0.2),
        water_fixed_kg=4.0,
    )
    assert found.feasible
    assert kg(found, "bread_stale") == pytest.approx(0.2)
    assert kg(found, "digester_effluent") == pytest.approx(8.0)
    assert kg(found, "goat_manure") >= 1.0 - 1e-9
    assert found.water_kg == pytest.approx(4.0)


def test_limits_that_clash_are_named_and_the_nearest_mix_is_shown(plan: Plan) -> None:
    found = plan(
        lot("goat_manure", 5.0),
        lot("digester_effluent", 5.0),
        lot("bread_stale", 5.0, fixed_kg=3.0),
    )
    assert not found.feasible
    assert "living inoculum 2.0 at the least" in found.conflicts
    assert "amount of stale bread exactly 3.00 kg" in found.conflicts
    assert found.sentence.startswith("No mix of what is at hand keeps every limit.")
    assert "cannot all be met" in found.conflict_sentence
    assert 0.0 < kg(found, "bread_stale") < 3.0
    assert found.by_limit["inoculum"].state == "missed"


def test_leaving_out_any_one_limit_of_a_clash_lets_the_rest_be_kept(plan: Plan) -> None:
    """The clash is a smallest one: less bread, more effluent or a lower limit each resolve it."""
    goat, bread = lot("goat_manure", 5.0), lot("bread_stale", 5.0, fixed_kg=3.0)
    few, many = lot("digester_effluent", 5.0), lot("digester_effluent", 300.0)
    wide = {"vessel_m3": 1.0}
    assert not plan(goat, few, bread, **wide).feasible
    assert plan(goat, many, bread, **wide).feasible
    assert plan(goat, few, lot("bread_stale", 5.0), **wide).feasible
    assert plan(goat, few, bread, **wide, limits={"inoculum": (0.0, None)}).feasible


def test_food_without_microbes_is_refused_in_words(plan: Plan) -> None:
    with pytest.raises(InfeasibleError, match="living inoculum") as caught:
        plan(lot("food_waste", 5.0))
    assert caught.value.conflicts


def test_old_dry_manure_is_no_seed_but_fresh_manure_is(plan: Plan) -> None:
    with pytest.raises(InfeasibleError, match="living inoculum"):
        plan(lot("goat_manure_dry", 5.0))
    fresh = plan(lot("cattle_dairy_fresh", 15.0))
    assert fresh.feasible
    assert fresh.expected is not None
    assert fresh.expected.flame_day.value < 30.0


def test_fresh_manure_alone_is_possible_but_its_acid_is_pointed_out(plan: Plan) -> None:
    found = plan(lot("cattle_dairy_fresh", 15.0))
    assert found.by_limit["acid"].state == "missed"
    assert "only wished for" in found.conflict_sentence
    assert found.expected is not None
    assert any("sour" in sentence for sentence in found.expected.sentences)


def test_poultry_manure_gives_up_the_wish_for_carbon_not_the_limit_on_ammonia(plan: Plan) -> None:
    found = plan(lot("poultry_layer_fresh", 10.0), lot("digester_effluent", 10.0))
    assert found.by_limit["carbon_nitrogen"].state == "missed"
    assert found.by_limit["ammonia"].headroom >= -1e-9
    assert kg(found, "poultry_layer_fresh") > 0.5


def test_nitrogen_under_the_ammonia_limit_makes_no_headline(plan: Plan) -> None:
    found = plan(lot("cattle_dairy_fresh", 10.0), lot("digester_effluent", 10.0))
    assert found.by_limit["carbon_nitrogen"].state == "missed"
    assert "which has its own limit" in found.by_limit["carbon_nitrogen"].sentence
    assert "missed" not in found.sentence


def test_ageing_a_manure_delays_the_flame(plan: Plan) -> None:
    fresh = library()["cattle_dairy_fresh"]
    old = aged(fresh, age_d=5.0, temperature_c=20.0, storage="open")
    by_age = [plan(LotAtHand(stock, 20.0)).expected for stock in (fresh, old)]
    assert by_age[0] is not None
    assert by_age[1] is not None
    assert by_age[1].flame_day.value > by_age[0].flame_day.value


def test_warmth_brings_the_flame_sooner_and_more_gas_a_day(ordinary: Lots) -> None:
    """By the process room's own temperature curve, not a stand-in."""
    cold, warm = (
        plan_charge(ChargeRequest(0.025, ordinary, slurry_c=t)).expected for t in (20.0, 37.0)
    )
    assert cold is not None
    assert warm is not None
    assert cold.flame_day.value > warm.flame_day.value
    assert cold.best_day_biogas_m3.value < 0.6 * warm.best_day_biogas_m3.value
    assert any("of the speed at 35" in sentence for sentence in cold.sentences)


@pytest.mark.parametrize("slurry_c", [5.0, 55.0])
def test_a_slurry_too_cold_or_too_hot_to_digest_is_refused(ordinary: Lots, slurry_c: float) -> None:
    with pytest.raises(InputError, match="near 38 degC"):
        plan_charge(ChargeRequest(0.025, ordinary, slurry_c=slurry_c))


def test_fat_is_held_back_by_its_limit(plan: Plan) -> None:
    found = plan(
        lot("used_cooking_oil", 3.0), lot("digester_effluent", 10.0), lot("goat_manure", 5.0)
    )
    assert found.by_limit["lipid"].binds
    assert found.by_limit["lipid"].value == pytest.approx(0.30)


def test_little_material_is_not_drowned_in_water(plan: Plan) -> None:
    found = plan(lot("goat_manure", 0.5), lot("digester_effluent", 1.0))
    assert found.blend.TS.value >= 0.03 - 1e-9
    assert found.by_limit["fill"].state == "missed"


def test_a_cap_on_the_best_day_is_kept(plan: Plan, ordinary: Lots) -> None:
    free = plan(*ordinary)
    capped = plan(*ordinary, limits={"peak_gas": (None, 0.010)})
    assert capped.by_limit["peak_gas"].value <= 0.010 + 1e-9
    assert capped.blend.vs_kg.value < free.blend.vs_kg.value


def test_of_equally_good_mixes_the_cheapest_is_taken(plan: Plan) -> None:
    """Two names for one manure: the one that costs nothing goes in first."""
    dear = lot("cattle_dairy_fresh", 20.0, key="bought", price_per_kg=1.0)
    free = lot("cattle_dairy_fresh", 6.0, key="own")
    found = plan(dear, free, lot("digester_effluent", 3.0))
    assert kg(found, "own") == pytest.approx(6.0, rel=1e-3)
    assert found.cost == pytest.approx(kg(found, "bought"))


def test_a_lot_that_says_too_little_is_named(plan: Plan, ordinary: Lots) -> None:
    from marshlight.matter import Feedstock, Property

    solids = {name: Property(x, x, x, "set_by_user") for name, x in (("TS", 0.2), ("VS", 0.9))}
    mystery = Feedstock("mystery", "mystery mash", "own", solids)
    found = plan(*ordinary, LotAtHand(mystery, 1.0, fixed_kg=0.1))
    assert any("mystery mash" in note and "expected gas" in note for note in found.notes)
    assert found.expected is None


def test_nothing_that_gives_gas_is_refused(plan: Plan) -> None:
    with pytest.raises(InputError, match="gives gas"):
        plan(lot("digester_effluent", 5.0), aim="most_waste")


def test_requests_that_contradict_themselves_are_refused(ordinary: Lots) -> None:
    with pytest.raises(InputError, match="slurry temperature"):
        ChargeRequest(0.025, ordinary, slurry_c=98.0)
    with pytest.raises(InputError, match="vessel volume"):
        ChargeRequest(0.0, ordinary, slurry_c=37.0)
    with pytest.raises(InputError, match="own key"):
        ChargeRequest(0.025, (ordinary[0], ordinary[0]), slurry_c=37.0)
    with pytest.raises(InputError, match="at hand"):
        lot("goat_manure", 1.0, fixed_kg=2.0)
    with pytest.raises(InputError, match="no more than at the most"):
        lot("goat_manure", 9.0, least_kg=3.0, most_kg=2.0)
    with pytest.raises(InputError, match="role"):
        lot("goat_manure", 9.0, role="guest")
    with pytest.raises(InputError, match="aim"):
        plan_charge(
            ChargeRequest(0.025, ordinary, slurry_c=37.0, aim="fame"),
            temperature_factor=lambda _: 1.0,
        )


def test_every_limit_shown_names_where_it_comes_from(plan: Plan, ordinary: Lots) -> None:
    for limit in plan(*ordinary).limits:
        for end, key in ((limit.low, limit.source_low), (limit.high, limit.source_high)):
            assert (end is None) == (key == "")
            if key:
                assert source(key).citation
        assert limit.sentence.endswith(".")


def test_a_plan_lists_the_sources_it_rests_on(plan: Plan, ordinary: Lots) -> None:
    keys = plan(*ordinary).sources
    assert "practice_fill" in keys
    assert all(source(key).citation for key in keys)


def test_the_same_request_gives_the_same_plan(plan: Plan, ordinary: Lots) -> None:
    first, second = plan(*ordinary), plan(*ordinary)
    assert [a.mass_kg for a in first.amounts] == [a.mass_kg for a in second.amounts]
