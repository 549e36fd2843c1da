"""The run card: amounts, a labelled drawing, the order of work, each caution at its step."""

import re

import pytest
from django.test import Client

from marshlight.notebook.models import Site
from marshlight.notebook.setting_up import set_up

pytestmark = pytest.mark.django_db

MIX = {"what-1": "digester effluent", "have-1": "12 kg", "what-2": "stale bread", "have-2": "2"}


def test_the_card_draws_a_known_vessel_with_its_dimensions(here: Client, site: Site) -> None:
    drum = {"name": "Drum 7", "shape": "cylinder", "diameter": "28 cm", "height": "41 cm"}
    set_up("vessel", drum)
    page = here.get("/mix/card/", MIX | {"vessel": "Drum 7"}).content.decode()
    assert 'class="vessel vessel-card"' in page
    assert "28.0 cm" in page
    assert "41.0 cm" in page


def test_a_vessel_of_unknown_shape_gets_no_dimensions(here: Client, site: Site) -> None:
    page = here.get("/mix/card/", MIX | {"volume": "25"}).content.decode()
    assert 'class="vessel vessel-card"' not in page
    assert "shape is not set up" in page
    assert "Run card: a vessel of 25.0 L" in page


def test_the_order_of_work_carries_each_caution_at_its_step(here: Client, site: Site) -> None:
    page = here.get("/mix/card/", MIX | {"volume": "25"}).content.decode()
    steps = re.findall(r"<li><p><strong>(.*?)</li>", page, re.DOTALL)
    assert len(steps) > 6
    sealing = next(step for step in steps if "Close the vessel" in step)
    assert "Never close a vessel that cannot breathe" in sealing
    flame = next(step for step in steps if "flame" in step.split("</strong>")[0])
    assert "The gas can explode" in flame


def test_a_reason_is_printed_once(here: Client, site: Site) -> None:
    page = here.get("/mix/card/", MIX | {"volume": "25"}).content.decode()
    assert page.count("Hydrogen sulphide dulls the sense of smell") == 1
    assert page.count("The gas can poison: stay upwind") > 1


def test_amounts_come_by_mass_litres_and_buckets(here: Client, site: Site) -> None:
    page = here.get("/mix/card/", MIX | {"volume": "25", "bucket": "5 L"}).content.decode()
    assert re.search(r"\d kg</strong>", page)
    assert "× 5.0 L" in page


def test_without_a_mix_the_card_leads_back_to_mixing(here: Client, site: Site) -> None:
    answer = here.get("/mix/card/", MIX | {"volume": "25", "slurry": "99"})
    assert answer.status_code == 302
    assert answer["Location"].startswith("/mix/?")
    assert "slurry=99" in answer["Location"]
