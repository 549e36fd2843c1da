"""What may be wrong with a run: its page, and the part that the run's page asks for."""

import uuid
from dataclasses import replace
from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from marshlight.answers.diagnosis import diagnosis_of
from marshlight.decide.watch.diagnosis import (
    CAUSES,
    Diagnosis,
    Explanation,
    SouringRisk,
    cheapest_check,
)
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


def explained(key: str, chance: float, rival: str) -> Explanation:
    cause = CAUSES[key]
    return Explanation(
        key=key,
        words=cause.words,
        probability=chance,
        standing="possible",
        severity="",
        evidence=(),
        check=cheapest_check(key, rival, air_possible=True),
        by_when=cause.by_when,
        caution=cause.caution,
    )


def test_a_leak_that_is_not_told_from_a_wrong_ruler_is_looked_for_on_every_page(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = Diagnosis(
        day=10.0,
        since=5.0,
        explanations=(explained("ruler", 0.55, "leak"), explained("leak", 0.44, "ruler")),
        alike=("ruler", "leak"),
        sentence="What is logged hardly tells these apart.",
        souring=SouringRisk(10.0, 0.01, 0.0, 0.01, None, fed=False),
        trouble=0.99,
        alarm=True,
    )
    monkeypatch.setattr("marshlight.answers.diagnosed.diagnose", lambda *_, **__: found)
    brief = page(here, run, "brief/")
    assert "soapy water" in brief
    assert "the way from vessel to holder stays open" in brief
    assert "Never look for a leak with a flame" in brief
    whole = here.get(f"/runs/{run.pk}/").content.decode()
    assert "soapy water" in whole
    # Both are named, with what they come to together.
    assert "a reading or an instrument is wrong, or gas is being lost" in whole
    assert "(99 %)" in whole
    assert "not told apart" in page(here, run)


def test_where_all_is_well_no_test_is_asked_for(
    here: Client, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    well = replace(explained("healthy", 0.98, "ruler"), standing="likely")
    found = Diagnosis(
        day=10.0,
        since=5.0,
        explanations=(well, explained("ruler", 0.02, "healthy")),
        alike=(),
        sentence="It looks like this: all is well (98 %).",
        souring=SouringRisk(10.0, 0.01, 0.0, 0.01, None, fed=False),
        trouble=0.02,
        alarm=False,
    )
    monkeypatch.setattr("marshlight.answers.diagnosed.diagnose", lambda *_, **__: found)
    text = page(here, run)
    assert "all is well" in text
    first = text.split('id="cause-2"')[0]
    assert "Cheapest test" not in first


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
