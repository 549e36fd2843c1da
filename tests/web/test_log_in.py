"""The door: nobody on the network gets in without an account; loopback needs none."""

import pytest
from django.test import Client

from marshlight.errors import InputError
from marshlight.notebook.models import Person, Site
from marshlight.server.accounts import add_account

pytestmark = pytest.mark.django_db


def test_a_stranger_on_the_network_is_asked_who_they_are(away: Client) -> None:
    answer = away.get("/")
    assert answer.status_code == 302
    assert answer["Location"] == "/log-in/?next=/"


def test_every_page_but_the_log_in_is_closed_to_strangers(away: Client) -> None:
    for address in ("/", "/sources/", "/feedstocks/", "/no-such-page/"):
        assert away.get(address).status_code == 302, address
    assert away.get("/log-in/").status_code == 200


def test_the_right_password_opens_the_notebook(away: Client, lead: Person, password: str) -> None:
    answer = away.post("/log-in/", {"username": "lead", "password": password, "next": "/"})
    assert answer.status_code == 302
    assert away.get("/").status_code == 200


def test_a_wrong_password_keeps_the_typed_name_and_says_so(away: Client, lead: Person) -> None:
    page = away.post("/log-in/", {"username": "lead", "password": "guess"})
    assert page.status_code == 200
    assert 'value="lead"' in page.content.decode()
    assert "do not belong together" in page.content.decode()


def test_the_door_stays_shut_after_five_wrong_passwords(
    away: Client, lead: Person, password: str
) -> None:
    for _ in range(5):
        away.post("/log-in/", {"username": "lead", "password": "guess"})
    answer = away.post("/log-in/", {"username": "lead", "password": password})
    assert answer.status_code == 429
    assert "15 minutes" in answer.content.decode()


def test_a_log_in_never_leads_to_another_host(away: Client, lead: Person, password: str) -> None:
    answer = away.post(
        "/log-in/", {"username": "lead", "password": password, "next": "https://example.org/"}
    )
    assert answer["Location"] == "/"


def test_a_reader_looks_but_does_not_write(away: Client, reader: Person, site: Site) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.get("/").status_code == 200
    answer = away.post(f"/units/{site.pk}/", {"units": "us"})
    assert answer.status_code == 403
    assert "not write" in answer.content.decode()
    site.refresh_from_db()
    assert site.units == "metric"


def test_loopback_needs_no_log_in(here: Client) -> None:
    assert here.get("/").status_code == 200


@pytest.mark.parametrize(
    "sign", [{"REMOTE_ADDR": "192.168.1.20"}, {"HTTP_X_FORWARDED_FOR": "192.168.1.20"}]
)
def test_loopback_mode_turns_away_what_comes_from_elsewhere(
    here: Client, sign: dict[str, str]
) -> None:
    answer = here.get("/", **sign)
    assert answer.status_code == 403
    assert "log-in" in answer.content.decode()


def test_a_page_under_a_foreign_host_name_is_refused(here: Client) -> None:
    assert here.get("/", HTTP_HOST="evil.example").status_code == 400


@pytest.mark.parametrize(
    ("name", "password", "role"),
    [
        ("lead", "wet-gloves-and-reeds", "lead"),
        ("new", "short", "keeper"),
        ("new", "wet-gloves-and-reeds", "owner"),
    ],
)
def test_an_account_needs_a_free_name_a_long_password_and_a_role(
    lead: Person, name: str, password: str, role: str
) -> None:
    with pytest.raises(InputError):
        add_account(name, password, role=role)


def test_every_page_carries_a_strict_content_policy(here: Client) -> None:
    policy = here.get("/")["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
