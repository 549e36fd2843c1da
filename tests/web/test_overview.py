"""The overview: what needs me now?"""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.overview import overview
from marshlight.notebook.models import Person, Run
from marshlight.notebook.recording import record_event, record_reading

pytestmark = pytest.mark.django_db


def test_an_empty_notebook_says_what_to_do(here: Client) -> None:
    page = here.get("/").content.decode()
    assert "No runs yet" in page
    assert "Set up a site" in page


def test_each_run_shows_its_drawing_day_gas_and_a_log_button(here: Client, run: Run) -> None:
    page = here.get("/").content.decode()
    assert "Drum 1 in section" in page
    assert "day 8" in page
    assert "a day" in page
    assert 'aria-label="Log for Drum 1"' in page


def test_the_gas_of_the_last_day_is_in_dry_litres_beside_what_was_expected(run: Run) -> None:
    line = overview(timezone.now()).runs[0]
    # 70 mm of a 150 mm bore is 1.24 L as it stands; dry and at 0 degC a little less.
    assert line.gas.endswith("L a day")
    assert 1.0 < float(line.gas.split()[0]) < 1.24
    assert line.expected.startswith("expected ")


def test_a_run_that_was_ended_is_listed_apart(here: Client, run: Run, keeper: Person) -> None:
    record_event(run, "end", note="spent", by=keeper)
    found = overview(timezone.now())
    assert not found.runs
    assert [r.name for r in found.ended] == ["Drum 1"]
    assert "Ended runs" in here.get("/").content.decode()


def test_a_planned_run_without_any_record_opens(here: Client, run: Run, keeper: Person) -> None:
    planned = Run(name="Drum 9", site=run.site, vessel=run.vessel)
    planned.save(by=keeper)
    page = here.get("/").content.decode()
    assert "planned" in page
    assert here.get(f"/runs/{planned.pk}/").status_code == 200


def test_a_new_reading_shows_at_once(run: Run, keeper: Person) -> None:
    before = overview(timezone.now()).runs[0].gas
    record_reading(run, "level", "240 mm", at=timezone.now(), by=keeper)
    after = overview(timezone.now()).runs[0].gas
    assert before != after


def test_a_correction_shows_at_once(run: Run, keeper: Person) -> None:
    from marshlight.notebook.models import Reading
    from marshlight.notebook.recording import correct

    before = overview(timezone.now()).runs[0].gas
    newest = Reading.objects.filter(run=run, kind="level").order_by("-at").first()
    assert newest is not None
    correct(newest, value="230 mm", reason="misread", by=keeper)
    assert overview(timezone.now()).runs[0].gas != before


def test_a_changed_holder_shows_at_once(run: Run, keeper: Person) -> None:
    before = overview(timezone.now()).runs[0].gas
    assert run.holder is not None
    run.holder.dimensions = {**run.holder.dimensions, "bore_m": 0.20}
    run.holder.save(by=keeper, why="measured again")
    assert overview(timezone.now()).runs[0].gas != before


def test_how_long_ago_it_was_read_follows_the_clock(run: Run) -> None:
    later = overview(timezone.now() + timedelta(days=3)).runs[0]
    assert later.day == 11
    assert later.gas_words == "last read 4 days ago"
