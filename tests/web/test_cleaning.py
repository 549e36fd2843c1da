"""Gas cleaning: a dangerous air dose is refused beside its field; hazards stand at their step."""

import pytest
from django.test import Client

from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.recording import record_reading

pytestmark = pytest.mark.django_db


def test_an_iron_bed_comes_with_its_fire_hazard(here: Client, site: Site) -> None:
    page = here.get("/cleaning/").content.decode()
    assert "Spent iron sponge heats up in air" in page
    assert "A little air instead" in page


def test_fifteen_percent_of_air_is_refused(here: Client, site: Site) -> None:
    page = here.get("/cleaning/", {"air": "15 %"}).content.decode()
    assert "Do not dose so much air" in page
    assert "A little air instead" not in page
    assert "A bed of iron" in page


def test_a_tube_reading_of_the_run_is_used(here: Client, run: Run, keeper: Person) -> None:
    assert "The process model says" in here.get(f"/runs/{run.pk}/cleaning/").content.decode()
    record_reading(run, "tube", "1500", detail={"gas": "hydrogen_sulfide"}, by=keeper)
    page = here.get(f"/runs/{run.pk}/cleaning/").content.decode()
    assert "Gas with 1500 ppm" in page
    assert "The process model says" not in page


def test_without_a_tube_the_upper_end_by_the_process_model_is_reckoned_with(
    here: Client, run: Run
) -> None:
    page = here.get(f"/runs/{run.pk}/cleaning/").content.decode()
    assert "The process model says" in page
    assert "read a tube" in page
    assert "2000 ppm is only an example" not in page
