"""The packaged feedstocks, and finding or describing one."""

import pytest

from marshlight.errors import InputError
from marshlight.matter.library import find, from_mapping, library

SCENARIO = (
    "goat manure with straw bedding",
    "whole whey",
    "stale bread",
    "apple pomace",
    "kitchen peelings",
    "spent yeast",
)


def test_at_least_fifty_two_materials_are_packaged() -> None:
    assert len(library()) >= 52


@pytest.mark.parametrize("name", SCENARIO)
def test_the_demo_feedstocks_are_found_by_their_names_and_complete(name: str) -> None:
    stock = find(name)
    assert set(stock.missing) <= {"alkalinity", "methanogenic_activity"}


def test_a_name_is_found_whatever_its_case_spelling_or_number() -> None:
    assert find("  STALE breads ").key == "bread_stale"
    assert find("Cow Dung").key == "cattle_dairy_fresh"
    assert find("bread_stale").key == "bread_stale"


def test_part_of_a_name_is_enough_when_only_one_fits() -> None:
    assert find("pomace apple").key == "apple_pomace"


def test_an_ambiguous_name_lists_every_match() -> None:
    with pytest.raises(InputError, match=r"banana peel.*banana stem"):
        find("banana")


def test_an_unknown_name_lists_near_ones() -> None:
    with pytest.raises(InputError, match="wheat straw"):
        find("wheat strew")


@pytest.mark.parametrize("text", ["", "   ", "???"])
def test_an_empty_name_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="feedstock"):
        find(text)


def test_own_feedstocks_are_found_on_a_shelf_of_their_own() -> None:
    own = from_mapping({"name": "acorn mash", "aliases": ["oak mash"], "TS": 0.4})
    assert find("oak mash", among={own.key: own}) is own


def test_a_user_feedstock_may_leave_properties_out_and_is_told_what_that_costs() -> None:
    mash = from_mapping({"name": "acorn mash", "TS": 0.4, "VS": 0.97})
    assert mash.group == "own"
    assert "expected gas" in mash.missing["methane_potential"]
    assert "TS" not in mash.missing


def test_a_bare_number_gets_a_stated_assumption_about_its_range() -> None:
    held = from_mapping({"name": "acorn mash", "TS": 0.9}).properties["TS"]
    assert (held.low, held.high) == (pytest.approx(0.675), 1.0)
    assert "range not stated" in held.note
    assert held.source == "stated_by_user"


def test_a_stated_range_is_kept_without_remark() -> None:
    row = {"name": "acorn mash", "TS": {"value": 0.4, "low": 0.3, "high": 0.5}}
    held = from_mapping(row, source="lab_result").properties["TS"]
    assert (held.low, held.high, held.note, held.source) == (0.3, 0.5, "", "lab_result")


def test_every_bad_field_is_named_at_once() -> None:
    row = {"nam": "x", "TS": 1.4, "VS": "much", "protein": 0.9, "lipid": 0.5, "P": True}
    with pytest.raises(InputError) as caught:
        from_mapping(row)
    for field in ("name", "nam", "TS", "VS", "protein", "P"):
        assert field in caught.value.field


def test_a_misspelt_field_is_answered_with_the_likely_one() -> None:
    with pytest.raises(InputError, match="Did you mean lignin"):
        from_mapping({"name": "acorn mash", "lignine": 0.2})


def test_an_infinite_or_disordered_number_is_refused_by_field() -> None:
    with pytest.raises(InputError, match="TKN"):
        from_mapping({"name": "acorn mash", "TKN": float("nan")})
    with pytest.raises(InputError, match="TS"):
        from_mapping({"name": "acorn mash", "TS": {"value": 0.4, "low": 0.5, "high": 0.6}})


def test_a_value_outside_its_limits_is_refused_with_the_unit() -> None:
    with pytest.raises(InputError, match="kg/kg fresh"):
        from_mapping({"name": "acorn mash", "TS": 40.0})
