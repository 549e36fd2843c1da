"""The flame page: a run's own gas or typed figures, slips by their fields, sources by link."""

import re

import pytest
from django.test import Client

from marshlight.notebook.models import Run, Site

pytestmark = pytest.mark.django_db


def test_a_run_s_page_uses_its_own_gas(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/flame/").content.decode()
    assert "The last flame test: holds a flame" in page
    assert "can hardly be seen in daylight" in page
    assert "Other figures" in page


def test_the_page_stands_without_a_run(here: Client, site: Site) -> None:
    page = here.get("/flame/").content.decode()
    assert "it should light and hold" in page
    assert "The two port rules do not agree" in page


def test_poor_gas_gets_no_burner_and_is_still_called_explosive(here: Client, site: Site) -> None:
    page = here.get("/flame/", {"methane": "25 %"}).content.decode()
    assert "With air it can still burn or explode" in page
    assert "none is sized for it" in page


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("methane", "150 %"),
        ("held", "4 kg"),
        ("pressure", "5 bar"),
        ("jet", "1 m"),
        ("fuel", "oil"),
    ],
)
def test_a_slip_stands_beside_its_field_and_keeps_what_was_typed(
    here: Client, site: Site, field: str, typed: str
) -> None:
    page = here.get("/flame/", {field: typed}).content.decode()
    beside = re.search(rf'id="slip-{field}"[^>]*>([^<]*)<', page)
    assert beside
    assert beside.group(1).startswith("Allowed")
    if field != "fuel":
        assert f'value="{typed}"' in page


def test_every_figure_with_a_source_links_to_a_page_that_exists(here: Client, site: Site) -> None:
    page = here.get("/flame/", {"jet": "0.8 mm"}).content.decode()
    links = set(re.findall(r'href="(/sources/[^"]+)"', page))
    assert len(links) > 8
    assert all(here.get(link).status_code == 200 for link in links)


def test_a_stranger_must_log_in(away: Client, run: Run) -> None:
    assert away.get(f"/runs/{run.pk}/flame/").status_code == 302
    assert away.get("/flame/").status_code == 302


def test_an_unknown_run_is_not_found(here: Client, site: Site) -> None:
    nobody = "00000000-0000-0000-0000-000000000000"
    assert here.get(f"/runs/{nobody}/flame/").status_code == 404


def test_us_units_are_shown_where_a_site_wants_them(here: Client, run: Run) -> None:
    run.site.units = "us"
    run.site.save(why="test")
    assert "°F" in here.get(f"/runs/{run.pk}/flame/").content.decode()


def test_the_new_burner_is_drawn_unless_the_gas_holds_no_flame(here: Client, site: Site) -> None:
    page = here.get("/flame/", {"methane": "60 %", "port": "4 mm"}).content.decode()
    assert "The new burner in section" in page
    assert "burn above ports of 4.00 mm" in page
    assert "in section" not in here.get("/flame/", {"methane": "20 %"}).content.decode()
