"""Hygiene: no time below 50 degC, and a fall of germs that doesn't look like certainty."""

import pytest
from django.test import Client

from marshlight.notebook.models import Run, Site

pytestmark = pytest.mark.django_db


def test_warm_digestion_is_not_called_hygienic(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/hygiene/").content.decode()
    assert "no rule calls slurry hygienic, however long it stays" in page
    assert "Below 50 °C no time makes slurry hygienic" in page
    assert "US rule for sludge at" not in page


def test_a_hot_hold_is_measured_against_the_rules(here: Client, site: Site) -> None:
    page = here.get("/hygiene/", {"temperature": "70", "hold": "1 h"}).content.decode()
    assert "reaches the figures of a rule" in page
    assert "your authority says" in page
    short = here.get("/hygiene/", {"temperature": "70", "hold": "5 min"}).content.decode()
    assert "Not by any rule below" in short


def test_a_large_fall_is_not_shown_as_a_large_number(here: Client, site: Site) -> None:
    asked = {"temperature": "35", "days": "300", "way": "batch"}
    page = here.get("/hygiene/", asked).content.decode()
    assert "on paper, survivors not counted" in page
    assert "125" not in page


def test_food_crops_and_by_products_name_their_rules(here: Client, site: Site) -> None:
    page = here.get("/hygiene/").content.decode()
    assert "120 days" in page
    assert "night soil" in page.lower()
