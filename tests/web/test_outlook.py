"""What lies ahead of a run: its page, and the part that the run's page asks for."""

import uuid
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from marshlight.answers.outlook import outlook_of
from marshlight.notebook.models import Person, Run
from marshlight.notebook.recording import record_event, record_reading
from marshlight.server import ahead


def page(client: Client, run: Run, part: str = "") -> str:
    answer = client.get(f"/runs/{run.pk}/outlook/{part}")
    assert answer.status_code == 200
    return answer.content.decode()


def test_the_page_says_gas_flame_ph_and_what_the_readings_say(here: Client, run: Run) -> None:
    text = page(here, run)
    assert "of gas in the next 14 days" in text
    assert "The first week, day by day" in text
    assert "What the readings say of it" in text
    assert "live microbes in the charge" in text
    # A chance of burning is never a word on what is inside the vessel.
    assert "never of gas in the vessel" in text
    assert "Worked out just now" in text


def test_the_runs_page_asks_for_its_part_and_the_part_links_to_the_whole(
    here: Client, run: Run
) -> None:
    whole = here.get(f"/runs/{run.pk}/").content.decode()
    assert f'hx-get="/runs/{run.pk}/outlook/brief/"' in whole
    # Without scripts there is a link to the page itself.
    assert f'href="/runs/{run.pk}/outlook/"' in whole
    part = page(here, run, "brief/")
    assert "of gas in the next 14 days" in part
    assert "<html" not in part


def test_a_server_that_works_ahead_answers_at_once_and_marks_what_is_out_of_date(
    here: Client, run: Run, keeper: Person, settings: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    monkeypatch.setattr(ahead, "_list", lambda jobs, **_: asked.extend(jobs))
    settings.MARSHLIGHT_AHEAD = True
    waiting = page(here, run)
    assert "Fitting the process model" in waiting
    assert "hx-get" in waiting
    outlook_of(run, now=timezone.now())
    record_reading(run, "ph", "7.1", at=timezone.now() - timedelta(minutes=5), by=keeper)
    stale = page(here, run, "brief/")
    assert "Out of date: something was written since" in stale
    assert "of gas in the next 14 days" in stale
    assert ("outlook", run.pk, "metric") in asked
    outlook_of(run, now=timezone.now())
    fresh = page(here, run, "brief/")
    assert "Out of date" not in fresh
    assert "hx-get" not in fresh


def test_a_run_that_has_ended_is_said_to_have_ended(here: Client, run: Run) -> None:
    run.ended_at = timezone.now()
    run.save()
    assert "This run has ended." in page(here, run)


def test_an_unknown_run_is_not_found(here: Client, run: Run) -> None:
    assert here.get(f"/runs/{uuid.uuid4()}/outlook/").status_code == 404


def test_a_stranger_is_sent_to_log_in(away: Client, run: Run) -> None:
    for part in ("", "brief/"):
        answer = away.get(f"/runs/{run.pk}/outlook/{part}")
        assert answer.status_code == 302
        assert "log-in" in answer["Location"]


def test_us_readers_get_their_own_units(here: Client, run: Run) -> None:
    run.site.units = "us"
    run.site.save()
    text = page(here, run)
    assert "fl oz" in text or "ft³" in text or "gal" in text


def test_a_run_that_nobody_read_yet_has_all_its_pages(
    here: Client, run: Run, keeper: Person
) -> None:
    started = timezone.now() - timedelta(days=3)
    fresh = Run(name="nobody looked", site=run.site, vessel=run.vessel, started_at=started)
    fresh.save(by=keeper)
    parts = [
        {"feedstock": "digester_effluent", "mass": "10 kg"},
        {"feedstock": "goat_manure", "mass": "1 kg"},
    ]
    record_event(fresh, "charge", at=started, detail={"parts": parts, "water": "4 L"}, by=keeper)
    for part in ("", "outlook/", "outlook/brief/", "diagnosis/", "next-step/", "what-if/"):
        answer = here.get(f"/runs/{fresh.pk}/{part}")
        assert answer.status_code == 200, part
    assert "The first week, day by day" in here.get(f"/runs/{fresh.pk}/outlook/").content.decode()
