"""Light or dark on a device, metric or US at a site."""

import pytest
from django.test import Client

from marshlight.notebook.models import Site

pytestmark = pytest.mark.django_db


def test_the_look_is_remembered_on_the_device(here: Client) -> None:
    assert "data-look" not in here.get("/").content.decode()
    here.post("/look/", {"look": "dark", "next": "/sources/"})
    assert 'data-look="dark"' in here.get("/").content.decode()


def test_any_other_look_lets_the_device_decide(here: Client) -> None:
    here.post("/look/", {"look": "dark"})
    here.post("/look/", {"look": "neon"})
    assert "data-look" not in here.get("/").content.decode()


def test_a_preference_never_leads_to_another_host(here: Client) -> None:
    answer = here.post("/look/", {"look": "dark", "next": "https://example.org/"})
    assert answer["Location"] == "/"


def test_units_are_switched_per_site_and_only_to_known_ones(here: Client, site: Site) -> None:
    here.post(f"/units/{site.pk}/", {"units": "us"})
    site.refresh_from_db()
    assert site.units == "us"
    here.post(f"/units/{site.pk}/", {"units": "furlongs"})
    site.refresh_from_db()
    assert site.units == "us"


def test_preferences_are_not_changed_by_a_link(here: Client, site: Site) -> None:
    assert here.get("/look/").status_code == 405
    assert here.get(f"/units/{site.pk}/").status_code == 405


def test_a_form_from_another_page_is_refused(loopback: None, site: Site) -> None:
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post(f"/units/{site.pk}/", {"units": "us"})
    assert answer.status_code == 403
    assert "Nothing was saved" in answer.content.decode()
