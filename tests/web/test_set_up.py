"""Set-up pages: made from the same descriptions as the terminal, with history and reasons."""

import re

import pytest
from django.test import Client

from marshlight.notebook.models import Holder, Lot, Person, Run, Site, Vessel
from marshlight.notebook.setting_up import SETUPS, set_up

pytestmark = pytest.mark.django_db

DRUM = {"name": "Drum 7", "shape": "cylinder", "diameter": "28", "height": "16 in"}


def _login(away: Client, person: Person) -> Client:
    away.force_login(person.user, backend="django.contrib.auth.backends.ModelBackend")
    return away


@pytest.mark.parametrize("kind", sorted(SETUPS))
def test_every_description_becomes_a_form_with_all_its_fields(
    here: Client, site: Site, kind: str
) -> None:
    page = here.get(f"/set-up/{kind}/new/").content.decode()
    for field in SETUPS[kind].fields:
        assert f'name="{field.name}"' in page, field.name
        assert f'<label for="{field.name}"' in page, field.name
    assert here.get(f"/set-up/{kind}/").status_code == 200


def test_an_empty_notebook_shows_what_can_be_set_up(here: Client) -> None:
    page = here.get("/set-up/").content.decode()
    assert "Add a gas holder" in page
    assert "None yet." in page


def test_a_vessel_is_kept_in_base_units_whatever_unit_is_typed(
    here: Client, site: Site, keeper: Person
) -> None:
    answer = here.post("/set-up/vessel/new/", DRUM, follow=True)
    assert "Kept: Drum 7." in answer.content.decode()
    drum = Vessel.objects.get()
    assert drum.dimensions == {"diameter_m": pytest.approx(0.28), "height_m": pytest.approx(0.4064)}
    assert drum.history().get().by == keeper


def test_every_bad_field_is_said_beside_it_and_stays_typed(here: Client, site: Site) -> None:
    sent = {"name": "", "shape": "cylinder", "diameter": "wide", "height": "3 kg"}
    page = here.post("/set-up/vessel/new/", sent)
    text = page.content.decode()
    assert page.status_code == 422
    for field in ("name", "diameter", "height"):
        assert re.search(rf'id="slip-{field}">Allowed', text), field
    assert 'value="wide"' in text
    assert 'value="3 kg"' in text
    assert not Vessel.objects.exists()


def test_a_change_needs_a_reason_and_keeps_the_state_before(
    here: Client, site: Site, keeper: Person
) -> None:
    drum = set_up("vessel", DRUM, by=keeper)
    address = f"/set-up/vessel/{drum.pk}/"
    refused = here.post(address, {**DRUM, "diameter": "30 cm", "why": " "})
    assert refused.status_code == 422
    assert "Say why it changes" in refused.content.decode()
    assert 'value="30 cm"' in refused.content.decode()
    page = here.post(address, {**DRUM, "diameter": "30 cm", "why": "measured"}, follow=True)
    text = page.content.decode()
    assert "inner diameter: 28 cm became 30 cm" in text
    assert "measured" in text
    assert drum.history().count() == 2


def test_another_kind_of_holder_drops_the_dimensions_of_the_first(
    here: Client, site: Site, keeper: Person
) -> None:
    first = {"name": "H", "kind": "floating", "bore": "11", "travel": "40", "mass": "0.3"}
    holder = set_up("holder", {**first, "bore": "11 cm", "travel": "40 cm"}, by=keeper)
    sent = {"name": "H", "kind": "bag", "capacity": "20 L", "bore": "", "why": "swapped"}
    assert here.post(f"/set-up/holder/{holder.pk}/", sent).status_code == 302
    assert Holder.objects.get().dimensions == {"capacity_m3": pytest.approx(0.02)}


def test_fields_say_what_they_are_for_when_scripts_do_not_run(here: Client, site: Site) -> None:
    page = here.get("/set-up/holder/new/").content.decode()
    assert 'data-depends-on="kind" data-depends-values="floating displacement"' in page
    assert "Only for: floating cylinder, water or brine displacement." in page


def test_the_caution_stands_where_gas_mains_and_manure_are_set_up(here: Client, site: Site) -> None:
    assert "can explode" in here.get("/set-up/holder/new/").content.decode()
    assert "Mains electricity" in here.get("/set-up/heater/new/").content.decode()
    assert "carry disease" in here.get("/set-up/lot/new/").content.decode()


def test_a_lot_names_its_material_as_people_do(here: Client, site: Site) -> None:
    sent = {"name": "Monday", "feedstock": "stale bread", "amount": "2.5 kg", "TS": "61"}
    assert here.post("/set-up/lot/new/", sent).status_code == 302
    lot = Lot.objects.get()
    assert (lot.library_key, lot.amount_kg) == ("bread_stale", 2.5)
    assert lot.measured["TS"]["value"] == pytest.approx(0.61)
    wrong = here.post("/set-up/lot/new/", {**sent, "feedstock": "moon dust"})
    assert re.search(r'id="slip-feedstock">Allowed', wrong.content.decode())


def test_a_record_is_retired_with_a_reason_and_can_come_back(
    here: Client, site: Site, keeper: Person
) -> None:
    drum = set_up("vessel", DRUM, by=keeper)
    address = f"/set-up/vessel/{drum.pk}/"
    assert here.post(address, {"retire": "yes"}).status_code == 422
    here.post(address, {"retire": "yes", "why": "leaks"})
    assert not Vessel.objects.in_use().exists()
    assert "no longer used" in here.get("/set-up/vessel/").content.decode()
    here.post(address, {"use": "yes", "why": "mended"})
    assert Vessel.objects.in_use().exists()


def test_a_run_keeps_its_clock_time_through_a_change(here: Client, run: Run) -> None:
    address = f"/set-up/run/{run.pk}/"
    page = here.get(address).content.decode()
    begun = re.search(r'name="started_at" value="([^"]+)"', page)
    assert begun is not None
    assert "T" in begun.group(1)
    before = run.started_at
    sent = {"name": "Drum one", "started_at": begun.group(1), "why": "renamed"}
    assert here.post(address, sent).status_code == 302
    run.refresh_from_db()
    assert before is not None
    assert run.started_at == before.replace(second=0, microsecond=0)


def test_what_is_built_is_set_up_by_leads_and_lots_by_any_keeper(
    away: Client, site: Site, lead: Person
) -> None:
    from marshlight.server.accounts import add_account

    helper = add_account("helper", "wet-gloves-and-reeds", role="keeper")
    _login(away, helper)
    assert away.post("/set-up/vessel/new/", DRUM).status_code == 403
    sent = {"name": "Monday", "feedstock": "stale bread"}
    assert away.post("/set-up/lot/new/", sent).status_code == 302
    _login(away, lead)
    assert away.post("/set-up/vessel/new/", DRUM).status_code == 302


def test_an_unknown_kind_or_record_is_not_found(here: Client, run: Run) -> None:
    assert here.get("/set-up/spaceship/").status_code == 404
    assert here.get(f"/set-up/vessel/{run.pk}/").status_code == 404
