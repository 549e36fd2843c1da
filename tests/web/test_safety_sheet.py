"""The safety sheet: a run's own numbers, stop conditions, who to ask, and what is refused."""

import pytest
from django.test import Client

from marshlight.notebook.models import Run, Site

pytestmark = pytest.mark.django_db


def test_the_sheet_speaks_of_this_run(here: Client, run: Run) -> None:
    page = here.get(f"/runs/{run.pk}/safety-sheet/").content.decode()
    for words in ("Safety sheet: Drum 1", "Bread", "keeper", "Stop when", "Who to ask"):
        assert words.lower() in page.lower()
    assert "Mains electricity and slurry kill" in page
    assert "hydrogen sulphide in the gas" in page


@pytest.mark.parametrize(
    ("act", "said"),
    [
        ("enter the tank", "Nobody enters"),
        ("vent indoors", "never let out in a room"),
        ("dose 15 % air", "More than 10 % air is not dosed"),
        ("pasteurise at 40 degC", "Below 50 °C no time makes slurry hygienic"),
        ("seal the drum without relief", "never closed without a relief"),
        ("whistle", "This does not make it safe"),
    ],
)
def test_an_act_gets_its_refusal(here: Client, run: Run, act: str, said: str) -> None:
    page = here.get(f"/runs/{run.pk}/safety-sheet/", {"act": act}).content.decode()
    assert said in page.split('id="figures"')[0]


def test_what_was_typed_is_escaped(here: Client, site: Site) -> None:
    page = here.get("/safety-sheet/", {"act": "<script>alert(1)</script>"}).content.decode()
    assert "<script>alert(1)" not in page


def test_every_refusal_is_listed(here: Client, site: Site) -> None:
    page = here.get("/safety-sheet/").content.decode()
    assert page.count("<strong>Instead:</strong>") == 16
