"""The next-step page of a run: every part is told, a slip stands beside its field."""

import pytest
from django.test import Client

from marshlight.notebook.models import Run

pytestmark = pytest.mark.django_db


def test_the_page_tells_feed_refill_buffer_and_warmth(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/next-step/").content.decode()
    for heading in ("Feed: ", "Draw off and refill</h2>", "Buffer</h2>", "Heat or insulate</h2>"):
        assert f">{heading}" in page, heading
    assert "stop once it stands" in page or "No dose is called for" in page
    # Cautions stand where the hazard arises.
    assert "Mains electricity and slurry kill" in page
    assert "always the chemical into the water" in page
    assert "p to 3.5 g/L of sodium" in page
    assert "What it rests on" in page


def test_a_slip_stands_beside_its_field(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/next-step/", {"risk": "all of it"}).content.decode()
    assert 'id="slip-risk"' in page
    assert "Draw off and refill" not in page


def test_the_run_and_what_if_lead_there(here: Client, run: Run) -> None:
    link = f'href="/runs/{run.pk}/next-step/"'
    assert link in here.get(f"/runs/{run.pk}/").content.decode()
    assert link in here.get(f"/runs/{run.pk}/what-if/").content.decode()


def test_a_run_that_is_not_there_is_not_found(here: Client, run: Run) -> None:
    assert here.get("/runs/00000000-0000-0000-0000-000000000000/next-step/").status_code == 404
