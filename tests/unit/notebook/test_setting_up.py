"""Set-up records are made from what a person typed, or every bad field is named at once."""

import pytest

from marshlight.errors import InputError, InputErrors
from marshlight.notebook.bridge import vessel_of
from marshlight.notebook.models import Site, Vessel
from marshlight.notebook.setting_up import SETUPS, change, found, set_up, shown
from marshlight.notebook.setting_up.showing import typed

pytestmark = pytest.mark.django_db


@pytest.fixture
def site() -> Site:
    return set_up("site", {"name": "Hill barn", "altitude": "2100 ft", "room": "59 F"})


def test_a_site_takes_any_unit_and_keeps_base_units(site: Site) -> None:
    assert site.altitude_m == pytest.approx(640.08)
    assert site.room_temperature_c == pytest.approx(15.0)
    assert site.time_zone == "UTC"
    assert site.history().count() == 1


def test_a_drum_by_volume_and_a_tank_by_measurements_know_what_they_hold(site: Site) -> None:
    drum = set_up("vessel", {"name": "Drum 1", "volume": "25 L", "tall": "45 cm"})
    tank = set_up(
        "vessel", {"name": "Tank", "shape": "cylinder", "diameter": "60", "height": "90 cm"}
    )
    assert drum.site == site
    assert drum.dimensions == {"height_m": 0.45}
    assert tank.volume_m3 == pytest.approx(0.254469, rel=1e-5)


def test_a_holder_asks_only_for_what_its_kind_needs(site: Site) -> None:
    holder = set_up(
        "holder",
        {
            "name": "Cylinder 1",
            "kind": "floating",
            "bore": "110 mm",
            "travel": "420",
            "mass": "300 g",
        },
    )
    assert holder.dimensions["bore_m"] == pytest.approx(0.11)
    assert holder.dimensions["liquid"] == "fresh_water"
    with pytest.raises(InputError, match="volume when taut"):
        set_up("holder", {"name": "Bag", "kind": "bag"})


def test_every_bad_field_is_named_at_once(site: Site) -> None:
    with pytest.raises(InputErrors) as refused:
        set_up("vessel", {"name": "", "volume": "7 degC", "colour": "blue"})
    assert {p.field for p in refused.value.problems} == {
        "name",
        "whole inner volume, brim-full",
        "colour",
    }


def test_a_lot_finds_its_material_and_keeps_lab_values(site: Site) -> None:
    lot = set_up(
        "lot",
        {"name": "Bread, Monday", "feedstock": "stale bread", "amount": "11 lb", "TS": "64 %",
         "gathered_on": "2026-05-01"},
    )  # fmt: skip
    assert lot.library_key == "bread_stale"
    assert lot.amount_kg == pytest.approx(4.98951607)
    assert lot.measured["TS"]["value"] == pytest.approx(0.64)
    assert shown(lot)["material"] == "stale bread"


def test_an_own_material_may_stand_on_a_library_one(site: Site) -> None:
    own = set_up("feedstock", {"name": "Our bread", "based_on": "stale bread", "TS": "0.66"})
    assert own.key == "our_bread"
    assert own.based_on == "bread_stale"
    lot = set_up("lot", {"name": "Our bread 1", "feedstock": "Our bread"})
    assert lot.feedstock == own


def test_a_change_needs_a_reason_and_keeps_the_old_state(site: Site) -> None:
    with pytest.raises(InputError, match="why"):
        change(site, {"room": "12"})
    change(site, {"room": "12"}, why="measured over a week")
    assert [v.state["room_temperature_c"] for v in site.history()] == [pytest.approx(15.0), 12.0]
    assert site.altitude_m == pytest.approx(640.08)


def test_a_run_cannot_end_before_it_starts(site: Site) -> None:
    set_up("vessel", {"name": "Drum 1", "volume": "25 L"})
    with pytest.raises(InputError, match="after the start"):
        set_up(
            "run",
            {"name": "R", "vessel": "drum 1", "started_at": "2026-05-02 08:00",
             "ended_at": "2026-05-01 08:00"},
        )  # fmt: skip


def test_an_unknown_name_is_answered_with_near_ones(site: Site) -> None:
    set_up("vessel", {"name": "Drum 1", "volume": "25 L"})
    with pytest.raises(InputError, match="Drum 1"):
        found("vessel", "Drun 1")
    with pytest.raises(InputError, match="set up a gas holder first"):
        found("holder", "any")


def test_two_sites_must_be_told_apart(site: Site) -> None:
    set_up("site", {"name": "Valley"})
    with pytest.raises(InputError, match="which site"):
        set_up("vessel", {"name": "Drum", "volume": "25 L"})
    assert set_up("vessel", {"name": "Drum", "volume": "25 L", "site": "valley"}).site != site


def test_what_is_shown_can_be_typed_again(site: Site) -> None:
    drum = set_up("vessel", {"name": "Drum 1", "volume": "25 L", "tall": "45 cm"})
    again = set_up("vessel", typed(drum))
    assert (again.volume_m3, again.dimensions) == (drum.volume_m3, drum.dimensions)


def test_every_field_of_every_kind_has_somewhere_to_go() -> None:
    for kind in SETUPS.values():
        columns = {f.name for f in kind.model._meta.get_fields()}
        for field in kind.fields:
            place = field.place.partition(".")[0]
            assert place in columns or (field.form == "feedstock"), (kind.key, field.name)


def test_a_vessel_may_be_given_by_its_fill_table(site: Site) -> None:
    typed = {"name": "Cone", "shape": "table", "table": "0 0; 10 cm 4 L; 25 12; 40 cm 30 L"}
    cone = set_up("vessel", typed)
    assert isinstance(cone, Vessel)
    assert cone.volume_m3 == pytest.approx(0.030)
    assert float(vessel_of(cone).level_at(0.008)) == pytest.approx(0.175)
    assert shown(cone)["fill table"].startswith("0 m 0 L") or "10.0 cm" in shown(cone)["fill table"]
    changed = change(cone, {"table": "0 0; 40 cm 31 L"}, why="measured again")
    assert changed.dimensions["table"] == [[0.0, 0.0], [0.4, 0.031]]


@pytest.mark.parametrize("table", ["", "ten", "0 0; 10 cm 4 kg", "0 0; 10 4; 5 8"])
def test_a_fill_table_that_cannot_be_is_refused(site: Site, table: str) -> None:
    with pytest.raises(InputError):
        set_up("vessel", {"name": "Cone", "shape": "table", "table": table})
