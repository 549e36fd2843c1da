"""Laws that every feedstock of the library keeps, and that ageing keeps for all of them."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marshlight.decide.safety import all_cautions
from marshlight.matter.feedstock import PROPERTIES, SPLIT, Feedstock
from marshlight.matter.library import find, library
from marshlight.matter.lot import age
from marshlight.matter.macromolecules import MACROMOLECULES, METHANE_POTENTIAL
from marshlight.matter.storage import STORAGE
from marshlight.sources import source

EVERY = list(library().values())
WITH_SPLIT = [stock for stock in EVERY if all(stock.get(name) for name in SPLIT)]

# The usual factor between protein and nitrogen is 6.25, 5.7 for wheat: protein nitrogen may
# exceed TKN by that much and some rounding, never by more.
PROTEIN_SLACK = 1.12
# Carbon of model compounds against TKN and the stated ratio: within a fifth.
CARBON_SLACK = 1.2


def digestible_methane(stock: Feedstock) -> float:
    return sum(METHANE_POTENTIAL[name] * stock.value(name) for name in SPLIT if name != "lignin")


def keyed(stock: Feedstock) -> str:
    return stock.key


@pytest.mark.parametrize("stock", EVERY, ids=keyed)
def test_every_value_lies_in_its_range_within_its_limits(stock: Feedstock) -> None:
    for name, held in stock.properties.items():
        assert held.low <= held.value <= held.high
        assert PROPERTIES[name].minimum <= held.low
        assert held.high <= PROPERTIES[name].maximum


@pytest.mark.parametrize("stock", EVERY, ids=keyed)
def test_every_value_names_a_source_that_exists(stock: Feedstock) -> None:
    for key in stock.sources:
        assert source(key).citation


@pytest.mark.parametrize("stock", EVERY, ids=keyed)
def test_every_feedstock_can_enter_a_mix(stock: Feedstock) -> None:
    for name in ("TS", "VS", "methane_potential", "TKN", "bulk_density"):
        assert stock.get(name) is not None


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_every_split_is_whole(stock: Feedstock) -> None:
    assert sum(stock.value(name) for name in SPLIT) == pytest.approx(1.0, abs=0.005)


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_no_potential_exceeds_what_the_split_without_lignin_can_give(stock: Feedstock) -> None:
    potential = stock.properties["methane_potential"]
    assert 0.0 < potential.value / digestible_methane(stock) <= 1.0
    assert potential.high <= digestible_methane(stock)


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_easily_degraded_matter_is_found_in_sugar_protein_and_fat(stock: Feedstock) -> None:
    parts = sum(stock.value(name) for name in ("carbohydrate", "protein", "lipid"))
    assert stock.value("easily_degraded") <= parts
    held_methane = stock.value("methane_potential")
    if stock.value("easily_degraded") > 0.0:
        going = sum(
            METHANE_POTENTIAL[name] * stock.value(name) / parts
            for name in ("carbohydrate", "protein", "lipid")
        )
        # What goes first cannot give more than the whole is rated at, rounding apart.
        assert stock.value("easily_degraded") * going <= 1.05 * held_methane


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_protein_holds_no_more_nitrogen_than_there_is(stock: Feedstock) -> None:
    protein = stock.value("protein") * stock.value("VS") / 6.25
    assert protein <= PROTEIN_SLACK * stock.value("TKN")


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_ammonia_is_part_of_the_nitrogen(stock: Feedstock) -> None:
    ammonia = stock.get("TAN")
    if ammonia is not None:
        assert ammonia.value <= stock.value("TS") * stock.value("TKN")


@pytest.mark.parametrize("stock", WITH_SPLIT, ids=keyed)
def test_carbon_to_nitrogen_agrees_with_the_carbon_of_the_split(stock: Feedstock) -> None:
    carbon = stock.value("VS") * sum(
        MACROMOLECULES[name].elements.mass_fraction("C") * stock.value(name) for name in SPLIT
    )
    ratio = stock.get("C_to_N")
    if ratio is None:
        assert stock.value("TKN") < 0.001, "only what has next to no nitrogen may lack the ratio"
        assert "nitrogen" in stock.notes
    else:
        assert 1 / CARBON_SLACK < ratio.value * stock.value("TKN") / carbon < CARBON_SLACK


@pytest.mark.parametrize("stock", EVERY, ids=keyed)
def test_every_name_and_alias_finds_its_own_feedstock(stock: Feedstock) -> None:
    for name in (stock.key, stock.name, *stock.aliases):
        assert find(name) is stock


@pytest.mark.parametrize("stock", EVERY, ids=keyed)
def test_what_may_carry_germs_or_blood_says_so(stock: Feedstock) -> None:
    if stock.group in ("manure", "inoculum", "sanitation", "slaughter"):
        assert "pathogens" in stock.hazards
    assert bool(stock.hazards) <= bool(stock.cautions)


def test_live_microbes_are_found_in_manures_sludges_and_inocula_only() -> None:
    live = {stock.group for stock in EVERY if stock.get("methanogenic_activity") is not None}
    assert live == {"manure", "inoculum", "sanitation"}


def test_dry_manure_is_rated_at_a_small_part_of_its_fresh_kind() -> None:
    for animal in ("cattle", "goat", "sheep", "pig", "horse"):
        fresh = find("dairy manure" if animal == "cattle" else f"{animal} dung")
        dry = find(f"dry {animal} manure") if animal != "cattle" else find("dried cattle manure")
        assert dry.value("methanogenic_activity") <= 0.05 * fresh.value("methanogenic_activity")


@settings(max_examples=60, deadline=None)
@given(
    stock=st.sampled_from(EVERY),
    storage=st.sampled_from([name for name in STORAGE if name != "cold"]),
    days=st.floats(0, 400),
    further=st.floats(0, 400),
    degrees=st.floats(-10, 45),
)
def test_ageing_never_brings_back_microbes_matter_or_gas(
    stock: Feedstock, storage: str, days: float, further: float, degrees: float
) -> None:
    now = age(stock, age_d=days, temperature_c=degrees, storage=storage)
    later = age(stock, age_d=days + further, temperature_c=degrees, storage=storage)
    assert later.organic_left.value <= now.organic_left.value <= 1.0
    assert later.methane_left.value <= now.methane_left.value <= 1.0
    if now.live_left is not None and later.live_left is not None:
        assert later.live_left.value <= now.live_left.value <= 1.0
    for kept in (now.organic_left, now.methane_left):
        assert 0.0 <= kept.low <= kept.value <= kept.high <= 1.0


@settings(max_examples=60, deadline=None)
@given(
    stock=st.sampled_from(WITH_SPLIT),
    days=st.floats(0, 1000),
    degrees=st.floats(-10, 45),
    water_lost=st.floats(0, 0.99),
)
def test_an_aged_feedstock_is_a_valid_one_that_keeps_the_laws(
    stock: Feedstock, days: float, degrees: float, water_lost: float
) -> None:
    old = age(
        stock, age_d=days, temperature_c=degrees, storage="open", water_lost=water_lost
    ).feedstock
    assert sum(old.value(name) for name in SPLIT) == pytest.approx(1.0, abs=1e-6)
    assert old.value("methane_potential") <= digestible_methane(old) * (1 + 1e-9)
    assert old.value("TS") <= 1.0


def test_goat_manure_with_straw_is_the_mix_of_two_rows_it_says_it_is() -> None:
    mix, pellets, straw = (
        find(name) for name in ("goat_manure_straw", "goat_manure", "wheat_straw")
    )
    solids = 2 / pellets.value("VS") + 1 / straw.value("VS")
    assert mix.value("VS") == pytest.approx(3 / solids, abs=0.005)
    per_solids = 2 / pellets.value("VS") * pellets.value("TKN") + 1 / straw.value(
        "VS"
    ) * straw.value("TKN")
    assert mix.value("TKN") == pytest.approx(per_solids / solids, abs=0.0005)
    for name in (*SPLIT, "methane_potential", "easily_degraded"):
        blended = (2 * pellets.value(name) + straw.value(name)) / 3
        assert mix.value(name) == pytest.approx(blended, abs=0.002), name


def test_every_hazard_word_has_a_caution_behind_it() -> None:
    known = {caution.hazard for caution in all_cautions().values()}
    for stock in EVERY:
        assert set(stock.hazards) <= known, stock.key
