"""A reader at a US site gets degrees Fahrenheit, in cautions, warnings and answers too."""

import re

import pytest
from django.test import Client

from marshlight.notebook.models import Run, Site

pytestmark = pytest.mark.django_db

PAGES = ("heat", "flame", "gas-space", "gas-train", "leak", "cleaning", "hygiene", "safety-sheet")
# States that a figure's own definition names, hints on how to type, and both units side by side.
_DEFINED = re.compile(
    r"(15 °C / 15 °C|25 °C / 0 °C|dry at 0 °C|air it needs, 25 °C|gas at 38 °C|3 °C \(5 °F\)"
    r"|10 °C \(18 °F\)|38 °C \(100 °F\)|numbers in °C|hours, then °C|temperature \(°C\))"
)


@pytest.fixture
def run_us(run: Run) -> Run:
    run.site.units = "us"
    run.site.save(why="visitors")
    return run


def text_of(client: Client, page: str, typed: dict[str, str] | None = None) -> str:
    found = re.sub(r"<[^>]+>", " ", client.get(page, typed or {}).content.decode())
    return _DEFINED.sub("", found)


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("own", [True, False], ids=["a run's", "one's own"])
def test_no_celsius_is_left(here: Client, run_us: Run, page: str, own: bool) -> None:
    text = text_of(here, f"/runs/{run_us.pk}/{page}/" if own else f"/{page}/")
    assert "degC" not in text
    assert "°C" not in text


def test_cautions_speak_fahrenheit(here: Client, run_us: Run) -> None:
    text = text_of(here, "/cautions/")
    assert "the usual 95 to 104 °F" in text
    assert "158 °F for an hour" in text
    assert "°C" not in text


def test_warnings_about_a_heater_speak_fahrenheit(here: Client, run_us: Run) -> None:
    page = f"/runs/{run_us.pk}/heat/"
    refused = text_of(here, page, {"power": "200 W", "set_point": "150"})
    assert "A set point of 150.1 °F is refused: no digester is kept above 140 °F" in refused
    stuck = text_of(here, page, {"power": "16 W", "set_point": "98"})
    assert "°C" not in stuck


def test_a_bare_temperature_is_fahrenheit(here: Client, run_us: Run) -> None:
    text = text_of(here, f"/runs/{run_us.pk}/heat/", {"set_point": "95", "wanted": "95"})
    assert "settles at 95.0 °F" in text


def test_a_metric_reader_gets_celsius(here: Client, run: Run, site: Site) -> None:
    assert "the usual 35 to 40 °C" in text_of(here, "/cautions/")
