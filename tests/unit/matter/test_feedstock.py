"""A feedstock's properties: values, gaps, and lab results put in place of library values."""

import pickle
from dataclasses import FrozenInstanceError

import pytest

from marshlight.errors import InputError
from marshlight.matter.feedstock import PROPERTIES, SPLIT, Feedstock, Property
from marshlight.matter.library import find, from_mapping


def lab(value: float, half: float = 0.0) -> Property:
    return Property(value, value - half, value + half, "lab_result")


def test_a_range_is_read_as_two_standard_uncertainties_to_each_side() -> None:
    estimate = Property(0.20, 0.16, 0.24, "lab_result").estimate
    assert (estimate.value, estimate.u) == (0.20, pytest.approx(0.02))


@pytest.mark.parametrize("numbers", [(0.2, 0.3, 0.4), (float("nan"), 0.1, 0.2), (0.5, 0.1, 0.4)])
def test_a_property_out_of_order_or_not_a_number_is_refused(
    numbers: tuple[float, float, float],
) -> None:
    with pytest.raises(InputError, match="low <= value <= high"):
        Property(*numbers, "lab_result")


def test_properties_cannot_be_changed_behind_the_feedstock() -> None:
    stock = find("stale bread")
    with pytest.raises(TypeError):
        stock.properties["TS"] = lab(0.5)  # type: ignore[index]
    with pytest.raises(FrozenInstanceError):
        stock.name = "toast"  # type: ignore[misc]


def test_properties_come_in_one_order_whatever_the_order_given() -> None:
    stock = from_mapping({"name": "mash", "P": 0.01, "VS": 0.9, "TS": 0.4})
    assert list(stock.properties) == ["TS", "VS", "P"]


def test_a_missing_value_says_what_it_is_needed_for() -> None:
    stock = from_mapping({"name": "mash", "TS": 0.4})
    assert stock.get("VS") is None
    with pytest.raises(InputError, match=r"mash: VS.*expected gas"):
        stock.value("VS")


def test_an_unknown_property_is_refused_not_taken_for_missing() -> None:
    with pytest.raises(InputError, match="wetness"):
        find("stale bread").get("wetness")


def test_a_feedstock_survives_the_trip_to_a_worker() -> None:
    stock = find("goat manure with straw").with_measured({"TS": lab(0.31)})
    back = pickle.loads(pickle.dumps(stock))
    assert back == stock
    assert back.properties["TS"].replaces == stock.properties["TS"].replaces


def test_a_lab_result_takes_over_and_keeps_the_library_value_behind_it() -> None:
    before = find("stale bread")
    after = before.with_measured({"TS": lab(0.71, 0.01)})
    assert after.value("TS") == 0.71
    assert after.properties["TS"].replaces == before.properties["TS"]
    assert after.properties["VS"] == before.properties["VS"]
    assert {"lab_result", before.properties["TS"].source} <= set(after.sources)
    assert before.value("TS") != 0.71


def test_a_second_lab_result_still_leads_back_to_the_library() -> None:
    first = find("stale bread").with_measured({"TS": lab(0.71)})
    second = first.with_measured({"TS": lab(0.73)})
    trail = second.properties["TS"].replaces
    assert trail is not None
    assert trail.value == 0.71
    assert trail.replaces == find("stale bread").properties["TS"]


def test_measuring_part_of_the_split_scales_the_rest_so_it_stays_whole() -> None:
    before = find("apple pomace")
    after = before.with_measured({"lignin": lab(0.10), "protein": lab(0.06)})
    assert sum(after.value(name) for name in SPLIT) == pytest.approx(1.0)
    assert after.value("lignin") == 0.10
    assert after.value("fibre") / after.value("carbohydrate") == pytest.approx(
        before.value("fibre") / before.value("carbohydrate")
    )
    assert "stays whole" in after.properties["fibre"].note


def test_measured_parts_of_the_split_above_one_are_refused() -> None:
    with pytest.raises(InputError, match="a sum of 1 at the most"):
        find("apple pomace").with_measured({"lignin": lab(0.6), "fibre": lab(0.6)})


def test_carbon_to_nitrogen_follows_measured_nitrogen_at_the_same_carbon() -> None:
    before = find("cow manure")
    after = before.with_measured({"TKN": lab(2 * before.value("TKN"))})
    assert after.value("C_to_N") == pytest.approx(before.value("C_to_N") / 2)
    assert "follows" in after.properties["C_to_N"].note


def test_a_measured_carbon_to_nitrogen_ratio_is_left_alone() -> None:
    after = find("cow manure").with_measured({"TKN": lab(0.02), "C_to_N": lab(24.0)})
    assert after.value("C_to_N") == 24.0


def test_a_lab_result_outside_the_limits_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"stale bread: TS.*Check the unit"):
        find("stale bread").with_measured({"TS": lab(71.0)})


def test_a_lab_result_for_no_such_property_is_refused() -> None:
    with pytest.raises(InputError, match="TSS"):
        find("stale bread").with_measured({"TSS": lab(0.7)})


def test_a_split_that_is_not_whole_is_refused() -> None:
    row = dict.fromkeys(SPLIT, 0.1)
    with pytest.raises(InputError, match="sum of 1"):
        from_mapping({"name": "mash", **row})


def test_a_feedstock_made_by_hand_meets_the_same_checks() -> None:
    with pytest.raises(InputError, match="TS"):
        Feedstock("mash", "mash", "own", {"TS": lab(1.5)})


def test_every_property_says_its_meaning_unit_limits_and_use() -> None:
    for name, kind in PROPERTIES.items():
        assert kind.meaning, name
        assert kind.unit, name
        assert kind.needed_for, name
        assert kind.minimum < kind.maximum, name
