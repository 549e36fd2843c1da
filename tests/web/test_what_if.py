"""The what-if page of a run: works with a plain form, says what it cannot know."""

import pytest
from django.test import Client

from marshlight.notebook.models import Run

pytestmark = pytest.mark.django_db


def test_the_page_tells_the_days_ahead_before_anything_is_typed(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/what-if/").content.decode()
    assert "Left alone, by the process model" in page
    assert "Where it can be wrong" in page
    assert "never trust your nose" in page
    assert 'method="get"' in page


def test_a_dose_is_set_beside_doing_nothing(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/what-if/", {"dose": "30"}).content.decode()
    assert "With 30 g of sodium bicarbonate" in page
    assert "Doing nothing" in page
    assert "What it changes" in page
    assert 'value="30"' in page


def test_a_slip_stands_beside_its_field(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/what-if/", {"dose": "a pinch"}).content.decode()
    assert 'id="slip-dose"' in page
    assert "stands beside its field" in page
    assert "Doing nothing" not in page


def test_the_run_leads_there(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/").content.decode()
    assert f'href="/runs/{run.pk}/what-if/"' in page


def test_a_run_that_is_not_there_is_not_found(here: Client, run: Run) -> None:
    assert here.get("/runs/00000000-0000-0000-0000-000000000000/what-if/").status_code == 404
