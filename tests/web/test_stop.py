"""Stopping what a page waits for."""

import uuid
from collections.abc import Iterator
from concurrent.futures import Future

import pytest
from django.test import Client
from pytest_django import Settings

from marshlight.notebook.models import Run
from marshlight.server import ahead
from marshlight.server import soon as room
from marshlight.server.soon import Job

pytestmark = pytest.mark.django_db


@pytest.fixture
def waiting(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[Job]:
    """Serve as `serve` does, with one answer that takes for ever."""
    settings.MARSHLIGHT_AHEAD = True
    monkeypatch.setattr(ahead, "_start", lambda: None)
    job = Job(Future())
    monkeypatch.setattr("marshlight.server.pages.what_if.soon", lambda *_: job)
    room._jobs["what takes for ever"] = job
    yield job
    room._jobs.clear()
    ahead._listed.clear()
    ahead._left.clear()


def test_a_page_that_waits_can_be_stopped_and_leads_back_to_the_run(
    here: Client, run: Run, waiting: Job
) -> None:
    page = here.get(f"/runs/{run.pk}/what-if/").content.decode()
    assert f'action="/runs/{run.pk}/stop/"' in page
    assert f'name="job" value="{waiting.ident}"' in page
    answer = here.post(f"/runs/{run.pk}/stop/", {"job": waiting.ident})
    assert answer["Location"] == f"/runs/{run.pk}/"
    assert waiting.stopped
    assert waiting.future.cancelled()


def test_what_is_done_is_not_stopped(here: Client, run: Run, waiting: Job) -> None:
    waiting.future.set_result("so")
    here.post(f"/runs/{run.pk}/stop/", {"job": waiting.ident})
    assert not waiting.stopped


def test_a_part_of_the_runs_page_is_left(here: Client, run: Run, waiting: Job) -> None:
    page = here.get(f"/runs/{run.pk}/outlook/").content.decode()
    assert 'name="part" value="outlook"' in page
    assert "It waits its turn." in page
    here.post(f"/runs/{run.pk}/stop/", {"part": "outlook"})
    assert not ahead._is_wanted(("outlook", run.pk, "metric"))


def test_looking_at_the_address_stops_nothing(here: Client, run: Run, waiting: Job) -> None:
    assert here.get(f"/runs/{run.pk}/stop/").status_code == 405
    assert not waiting.stopped


def test_an_unknown_run_is_not_found(here: Client, run: Run) -> None:
    assert here.post(f"/runs/{uuid.uuid4()}/stop/", {"job": "x"}).status_code == 404


def test_a_stranger_is_sent_to_log_in(away: Client, run: Run) -> None:
    assert "log-in" in away.post(f"/runs/{run.pk}/stop/", {"part": "outlook"})["Location"]
