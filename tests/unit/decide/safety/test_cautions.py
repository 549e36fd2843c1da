"""Cautions: complete, sourced, at every place where something can hurt."""

import pytest

from marshlight.decide.safety import all_cautions, cautions_at, cautions_for
from marshlight.errors import InputError
from marshlight.matter import library

PERSONS_AT_RISK = {
    "explosive_gas",
    "hydrogen_sulfide",
    "asphyxiation",
    "pressure",
    "mains_heater",
    "pathogens",
    "human_pathogens",
    "animal_by_products",
    "hot_liquid",
    "alkali",
    "lifting",
    "pale_flame",
    "glass_pressure",
}


def test_every_hazard_to_people_has_a_caution_that_says_who_to_ask() -> None:
    held = {caution.hazard for caution in all_cautions().values() if caution.ask}
    assert held >= PERSONS_AT_RISK


@pytest.mark.parametrize("key", list(all_cautions()))
def test_a_caution_gives_its_reason_its_place_and_its_source(key: str) -> None:
    caution = all_cautions()[key]
    assert caution.text.endswith(".")
    assert caution.why.endswith(".")
    assert len(caution.text) <= 160
    assert caution.where
    assert all(place.split(":")[0] in {"plan", "log", "page"} for place in caution.where)
    assert caution.record.citation


def test_every_hazard_a_material_of_the_library_names_has_a_caution() -> None:
    for stock in library().values():
        assert cautions_for(stock.hazards) or not stock.hazards


def test_an_unknown_hazard_does_not_pass_unseen() -> None:
    with pytest.raises(InputError, match="hazard"):
        cautions_for(["dragons"])


@pytest.mark.parametrize(
    ("place", "key"),
    [
        ("log:flame", "first_gas"),
        ("log:flame", "pale_flame"),
        ("log:seal_opened", "explosive_gas"),
        ("log:seal_opened", "confined_space"),
        ("log:dosed", "alkali"),
        ("log:drew_off", "pathogens"),
        ("log:pressure", "glass_pressure"),
        ("page:heat", "mains_heater"),
        ("page:trial", "glass_pressure"),
        ("page:gas_space", "explosive_gas"),
        ("plan:vent", "first_gas"),
        ("plan:seal", "sealed_pressure"),
        ("plan:place", "lifting"),
    ],
)
def test_the_hazard_s_own_place_shows_its_caution(place: str, key: str) -> None:
    assert key in {caution.key for caution in cautions_at(place)}


def test_the_gravest_comes_first_and_none_comes_twice() -> None:
    found = cautions_for(["pathogens", "explosive_gas", "pathogens"])
    assert [caution.key for caution in found] == ["explosive_gas", "first_gas", "pathogens"]


def test_a_place_narrows_what_is_shown() -> None:
    assert cautions_for(["pathogens"], where="plan:mix")
    assert cautions_for(["pathogens"], where="page:flame") == ()
    assert cautions_at("page:nowhere") == ()


def test_no_caution_calls_anything_safe() -> None:
    for caution in all_cautions().values():
        words = f"{caution.text} {caution.why}".lower()
        assert " is safe" not in words
        assert "safely" not in words
