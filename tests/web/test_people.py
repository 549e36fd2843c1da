"""People and accounts: who may do what, and nobody locked out."""

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from marshlight.notebook.models import Person
from marshlight.server.accounts import add_account

pytestmark = pytest.mark.django_db

NEW = {"name": "Ada", "role": "keeper"}


def _login(away: Client, person: Person) -> Client:
    away.force_login(person.user, backend="django.contrib.auth.backends.ModelBackend")
    return away


def test_a_person_without_a_password_signs_but_cannot_log_in(here: Client) -> None:
    here.post("/people/", NEW)
    ada = Person.objects.get(name="Ada")
    assert (ada.role, ada.user) == ("keeper", None)
    assert "keeper: records and corrects" in here.get("/people/").content.decode()


def test_a_person_with_a_password_can_log_in(
    here: Client, beyond_loopback: None, lead: Person, password: str
) -> None:
    _login(here, lead)
    here.post("/people/", {**NEW, "password": password})
    ada = Person.objects.get(name="Ada")
    assert ada.user is not None
    assert ada.user.check_password(password)


@pytest.mark.parametrize(
    ("change", "field", "why"),
    [
        ({"name": ""}, "name", "Choose another name"),
        ({"name": "keeper"}, "name", "Choose another name"),
        ({"password": "short"}, "password", "10 characters"),
        ({"role": "owner"}, "role", "lead, keeper, reader"),
    ],
)
def test_what_cannot_be_used_is_said_beside_its_field(
    here: Client, change: dict[str, str], field: str, why: str
) -> None:
    page = here.post("/people/", NEW | change)
    assert page.status_code == 422
    text = page.content.decode()
    assert why in text[text.index(f'id="slip-{field}"') :][:200]
    assert Person.objects.count() == 1


def test_a_password_never_comes_back_in_a_page(here: Client) -> None:
    page = here.post("/people/", {**NEW, "name": "", "password": "wet-gloves-and-reeds"})
    assert "wet-gloves-and-reeds" not in page.content.decode()


def test_a_role_changes_with_a_reason_and_the_history_says_so(here: Client) -> None:
    here.post("/people/", NEW)
    ada = Person.objects.get(name="Ada")
    address = f"/people/{ada.pk}/"
    assert here.post(address, {"role": "reader", "why": ""}).status_code == 422
    assert here.post(address, {"role": "reader", "why": "moved away"}).status_code == 302
    page = here.get(address).content.decode()
    assert "role: keeper became reader" in page
    assert "moved away" in page


def test_who_left_can_no_longer_log_in(away: Client, lead: Person, reader: Person) -> None:
    _login(away, lead)
    away.post(f"/people/{reader.pk}/", {"role": "reader", "leave": "yes", "why": "term is over"})
    reader.refresh_from_db()
    assert reader.retired
    assert not get_user_model().objects.get(pk=reader.user_id).is_active
    away.post(f"/people/{reader.pk}/", {"role": "reader", "return": "yes", "why": "back"})
    assert get_user_model().objects.get(pk=reader.user_id).is_active


def test_the_last_lead_cannot_give_up_the_keys(away: Client, lead: Person) -> None:
    _login(away, lead)
    page = away.post(f"/people/{lead.pk}/", {"role": "keeper", "why": "tired"})
    assert page.status_code == 422
    assert "Make somebody else a lead first" in page.content.decode()
    lead.refresh_from_db()
    assert lead.role == "lead"


def test_an_account_is_given_later_and_a_password_replaced(here: Client, keeper: Person) -> None:
    address = f"/people/{keeper.pk}/"
    sent = {"set-password": "yes", "password": "a-long-new-password"}
    assert here.post(address, {**sent, "password": "1234567890"}).status_code == 422
    here.post(address, sent)
    keeper.refresh_from_db()
    assert keeper.user is not None
    assert keeper.user.check_password("a-long-new-password")
    here.post(address, {**sent, "password": "another-long-password"})
    keeper.user.refresh_from_db()
    assert keeper.user.check_password("another-long-password")


def test_only_a_lead_manages_people(away: Client, lead: Person, reader: Person) -> None:
    helper = add_account("helper", "wet-gloves-and-reeds", role="keeper")
    for somebody in (helper, reader):
        _login(away, somebody)
        assert away.get("/people/").status_code == 200
        assert away.get(f"/people/{lead.pk}/").status_code == 403
        assert away.post("/people/", NEW).status_code == 403
        sent = {"set-password": "yes", "password": "a-long-new-password"}
        assert away.post(f"/people/{lead.pk}/", sent).status_code == 403
    assert not Person.objects.filter(name="Ada").exists()
