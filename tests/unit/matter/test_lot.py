"""A lot ages: microbes die, easily degraded matter goes, water dries off."""

import pytest

from marshlight.errors import InputError
from marshlight.matter.feedstock import SPLIT
from marshlight.matter.library import find, from_mapping
from marshlight.matter.lot import Lot, age, aged
from marshlight.matter.storage import STORAGE

# What the trade says, in its own terms (common practice, no source): manure a day or two old
# carries live microbes, old dry manure hardly.
MOSTLY, HARDLY = 0.5, 0.05


@pytest.mark.parametrize("storage", ["open", "dry", "covered"])
def test_manure_two_days_old_still_carries_most_of_its_live_microbes(storage: str) -> None:
    live = age(find("cow manure"), age_d=2, temperature_c=15, storage=storage).live_left
    assert live is not None
    assert live.value > MOSTLY


def test_old_dry_manure_hardly_carries_any() -> None:
    old = age(find("cow manure"), age_d=30, temperature_c=15, storage="dry", water_lost=0.9)
    assert old.live_left is not None
    assert old.live_left.value < HARDLY
    assert old.feedstock.value("methanogenic_activity") < HARDLY * find("cow manure").value(
        "methanogenic_activity"
    )


def test_the_range_of_dried_microbes_stays_wide_because_some_come_back_when_wetted() -> None:
    old = age(find("cow manure"), age_d=30, temperature_c=15, storage="dry")
    assert old.live_left is not None
    assert old.live_left.high > 10 * old.live_left.value


def test_a_cold_store_keeps_microbes_longer_than_a_warm_one() -> None:
    cold = age(find("cow manure"), age_d=60, temperature_c=4, storage="cold").live_left
    warm = age(find("cow manure"), age_d=60, temperature_c=30, storage="covered").live_left
    assert cold is not None
    assert warm is not None
    assert cold.value > warm.value


def test_starved_microbes_die_at_the_remembered_two_per_cent_a_day_at_35_degrees() -> None:
    live = age(find("digestate"), age_d=1, temperature_c=35, storage="covered").live_left
    assert live is not None
    assert live.value == pytest.approx(0.980199, abs=1e-6)


def test_the_airless_rate_reproduces_the_loss_it_was_taken_from() -> None:
    # Hilgert et al. 2022 (abstract): 50.3 % in 90 d at 20 degC, 69.3 % at 25 degC.
    airless = STORAGE["covered"].easy
    assert 1 - airless.left(90, 20).value == pytest.approx(0.503, abs=0.005)
    assert 1 - airless.left(90, 25).value == pytest.approx(0.693, abs=0.005)


def test_an_open_heap_loses_half_of_what_rots_easily_within_some_weeks() -> None:
    half = STORAGE["open"].easy.left(17.3, 20).value
    assert half == pytest.approx(0.5, abs=0.01)


def test_nothing_changes_on_the_first_day_or_in_frost() -> None:
    fresh = find("goat manure with straw")
    for days, degrees in ((0, 20), (100, -5), (100, 0)):
        same = aged(fresh, age_d=days, temperature_c=degrees, storage="open")
        assert same.properties == fresh.properties


def test_matter_too_dry_to_rot_keeps_its_gas() -> None:
    straw = age(find("wheat straw"), age_d=300, temperature_c=20, storage="open")
    assert straw.methane_left.value == 1.0
    assert "too dry to rot" in straw.sentence


def test_ash_phosphorus_and_potassium_are_kept_kilogram_for_kilogram() -> None:
    fresh = find("kitchen peelings")
    old = aged(fresh, age_d=20, temperature_c=20, storage="open", water_lost=0.3)
    ash = fresh.value("TS") * (1 - fresh.value("VS"))
    mass = ash / (old.value("TS") * (1 - old.value("VS")))
    for name in ("P", "K"):
        before = fresh.value("TS") * fresh.value(name)
        assert mass * old.value("TS") * old.value(name) == pytest.approx(before)
    lost_solids = fresh.value("TS") - mass * old.value("TS")
    lost_water = 0.3 * (1 - fresh.value("TS"))
    assert mass == pytest.approx(1 - lost_solids - lost_water)


def test_nitrogen_is_kept_where_nothing_dries() -> None:
    fresh = find("pig slurry")
    old = aged(fresh, age_d=60, temperature_c=20, storage="covered")
    ash = fresh.value("TS") * (1 - fresh.value("VS"))
    mass = ash / (old.value("TS") * (1 - old.value("VS")))
    assert mass * old.value("TS") * old.value("TKN") == pytest.approx(
        fresh.value("TS") * fresh.value("TKN")
    )
    assert mass * old.value("TAN") > fresh.value("TAN")


def test_drying_takes_ammonia_along_and_raises_carbon_to_nitrogen() -> None:
    fresh = find("cow manure")
    wet = aged(fresh, age_d=20, temperature_c=20, storage="open")
    dried = aged(fresh, age_d=20, temperature_c=20, storage="open", water_lost=0.8)
    assert dried.value("TS") > wet.value("TS")
    assert dried.value("C_to_N") > wet.value("C_to_N")
    assert dried.properties["TAN"].low == 0.0


def test_the_methane_left_is_that_of_the_potential_and_the_matter_left() -> None:
    for name in ("whole whey", "stale bread", "goat manure with straw", "apple pomace"):
        fresh = find(name)
        heap = age(fresh, age_d=14, temperature_c=20, storage="open")
        whole = heap.organic_left.value * heap.feedstock.value("methane_potential")
        assert whole == pytest.approx(
            heap.methane_left.value * fresh.value("methane_potential"), rel=1e-9
        )


def test_all_easily_degraded_matter_gone_leaves_no_negative_gas() -> None:
    whey = age(find("whole whey"), age_d=3650, temperature_c=40, storage="open")
    assert whey.feedstock.value("methane_potential") >= 0.0
    assert whey.feedstock.value("easily_degraded") == pytest.approx(0.0, abs=1e-9)
    assert sum(whey.feedstock.value(name) for name in SPLIT) == pytest.approx(1.0)


def test_the_trail_leads_back_from_the_aged_value_to_the_fresh_one() -> None:
    fresh = find("cow manure")
    held = aged(fresh, age_d=14, temperature_c=20, storage="open").properties["TS"]
    assert held.replaces == fresh.properties["TS"]
    assert held.source == "storage_practice"
    assert "open heap" in held.note


def test_the_sentence_says_days_place_microbes_and_gas_and_stays_with_the_lot() -> None:
    heap = age(find("cow manure"), age_d=30, temperature_c=15, storage="open")
    assert heap.sentence.startswith("After 30 d in an open heap at 15 °C, 1 % of its live")
    assert heap.sentence in heap.feedstock.notes


def test_what_never_had_live_microbes_is_said_to_have_none() -> None:
    bread = age(find("stale bread"), age_d=3, temperature_c=20, storage="covered")
    assert bread.live_left is None
    assert "no live methane microbes" in bread.sentence


def test_a_closed_wet_store_brings_a_caution_about_its_gas() -> None:
    closed = aged(find("kitchen peelings"), age_d=5, temperature_c=20, storage="covered")
    assert any("leave a vent" in caution for caution in closed.cautions)
    assert "explosive_gas" in closed.hazards


def test_a_feedstock_known_only_by_its_solids_can_age_too() -> None:
    mash = from_mapping({"name": "acorn mash", "TS": 0.4, "VS": 0.97, "easily_degraded": 0.3})
    old = age(mash, age_d=30, temperature_c=20, storage="open")
    assert old.feedstock.value("VS") < 0.97
    assert old.organic_left.value < 1.0


def test_a_lot_tells_the_same_story() -> None:
    lot = Lot(find("cow manure"), age_d=30, storage="open", temperature_c=15)
    assert lot.ageing == age(find("cow manure"), age_d=30, temperature_c=15, storage="open")


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("storage", {"storage": "cellar"}),
        ("age", {"age_d": -1.0}),
        ("age", {"age_d": float("nan")}),
        ("storage temperature", {"temperature_c": 80.0}),
        ("storage temperature", {"storage": "cold", "temperature_c": 15.0}),
        ("water lost", {"water_lost": 1.0}),
        ("water lost", {"storage": "covered", "water_lost": 0.2}),
    ],
)
def test_what_cannot_be_is_refused_by_field(field: str, change: dict[str, float | str]) -> None:
    given = {"age_d": 5.0, "temperature_c": 15.0, "storage": "open", **change}
    with pytest.raises(InputError) as caught:
        age(find("cow manure"), **given)  # type: ignore[arg-type]
    assert caught.value.field == field
