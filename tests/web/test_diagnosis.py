"""What may be wrong with a run: its page, and the part that the run's page asks for."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from marshlight.answers.diagnosis import diagnosis_of
from marshlight.notebook.models import Person, Run
from marshlight.notebook.recording import record_reading
from marshlight.server import ahead


def page(client: Client, run: Run, part: str = "") -> str:
    answer = client.get(f"/runs/{run.pk}/diagnosis/{part}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_gives_chances_grounds_a_test_and_what_is_not_known(
    here: Client, run: Run
) -> None:
    text = page(here, run)
    assert " %" in text
    assert "What the readings say" in text
    assert "Cheapest test" in text
    assert "was to be expected" in text
    # A percentage is never a word on safety.
    assert "No percentage here says that gas is safe" in text


def test_the_runs_page_asks_for_its_part(here: Client, run: Run) -> None:
    whole = here.get(f"/runs/{run.pk}/").content.decode()
    assert f'hx-get="/runs/{run.pk}/diagnosis/brief/"' in whole
    assert f'href="/runs/{run.pk}/diagnosis/"' in whole
    part = page(here, run, "brief/")
    assert "<html" not in part
    assert "hx-get" not in part


def test_a_sour_reading_changes_what_is_said(here: Client, run: Run, keeper: Person) -> None:
    before = diagnosis_of(run, now=timezone.now())
    for hours, value in ((30, "6.2"), (20, "5.9"), (2, "5.6")):
        at = timezone.now() - timedelta(hours=hours)
        record_reading(run, "ph", value, at=at, by=keeper)
    after = diagnosis_of(run, now=timezone.now())
    assert after.sentence != before.sentence
    # Unfed at pH 5.6 it stays sour, whatever else may be wrong with it.
    assert "sour" in after.sentence


def test_a_server_that_works_ahead_answers_at_once_and_marks_what_is_out_of_date(
    here: Client, run: Run, keeper: Person, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(ahead, "_list", lambda jobs, **_: asked.extend(jobs))
    settings.MARSHLIGHT_AHEAD = True
    assert "Holding the newest readings" in page(here, run)
    diagnosis_of(run, now=timezone.now())
    record_reading(run, "ph", "7.1", at=timezone.now() - timedelta(minutes=5), by=keeper)
    assert "Out of date: something was written since" in page(here, run, "brief/")
    assert ("diagnosis", run.pk, "metric") in asked


def test_a_run_that_has_ended_is_not_diagnosed(here: Client, run: Run) -> None:
    run.ended_at = timezone.now()
    run.save()
    assert "This run has ended." in page(here, run)


def test_an_unknown_run_is_not_found(here: Client, run: Run) -> None:
    assert here.get(f"/runs/{uuid.uuid4()}/diagnosis/").status_code == 404


def test_a_stranger_is_sent_to_log_in(away: Client, run: Run) -> None:
    for part in ("", "brief/"):
        assert "log-in" in away.get(f"/runs/{run.pk}/diagnosis/{part}")["Location"]
