"""No page waits for the engine: what is being worked out says so, and the log stays open."""

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from marshlight.answers import keeping
from marshlight.answers.analysis import analyse, ready, revision
from marshlight.answers.fleet_finding import keep_finding
from marshlight.notebook.models import Finding, Person, Run
from marshlight.notebook.recording import record_reading
from marshlight.server import ahead

pytestmark = pytest.mark.django_db


@pytest.fixture
def serving(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Serve as `serve` does, with a worker that only writes down what it was asked."""
    asked: list[object] = []
    settings.MARSHLIGHT_AHEAD = True
    monkeypatch.setattr(ahead, "_start", lambda: None)
    monkeypatch.setattr(ahead._waiting, "put", lambda job: asked.append(job[2]))
    monkeypatch.setattr("marshlight.server.pages.run._PATIENCE_S", 0.0)
    ahead._listed.clear()
    return asked


def test_the_overview_says_what_is_being_worked_out(
    here: Client, run: Run, serving: list[object]
) -> None:
    page = here.get("/").content.decode()
    assert "0 of 1 runs worked out" in page
    assert "being worked out" in page
    assert "Log for Drum 1" in page
    assert serving == [str(run.pk)]


def test_a_run_that_is_being_worked_out_can_be_logged_meanwhile(
    here: Client, run: Run, serving: list[object]
) -> None:
    page = here.get(f"/runs/{run.pk}/").content.decode()
    assert "Working out what its log says" in page
    assert f'href="/runs/{run.pk}/log/"' in page
    assert serving == [run.pk]


def test_what_was_worked_out_is_shown_at_once(
    here: Client, run: Run, serving: list[object]
) -> None:
    analyse(run)
    assert "What to do" in here.get(f"/runs/{run.pk}/").content.decode()
    assert "worked out" not in here.get("/").content.decode()
    assert serving == []


def test_a_saved_reading_is_worked_out_before_anybody_asks(
    here: Client, run: Run, serving: list[object]
) -> None:
    here.post(f"/runs/{run.pk}/log/reading/level/", {"value": "215"})
    assert serving == [run.pk]


def test_what_a_diagnosis_finds_reaches_the_list_of_many_runs(run: Run) -> None:
    keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    assert not Finding.objects.get(run=run).said["diagnosed"]
    ahead._diagnose(run.pk, "metric")
    assert Finding.objects.get(run=run).said["diagnosed"]


def test_an_analysis_is_never_older_than_the_newest_record(run: Run, keeper: Person) -> None:
    analyse(run)
    assert ready(run) is not None
    record_reading(run, "level", "230 mm", by=keeper)
    assert ready(run) is None
    assert analyse(run).latest["level"].value == pytest.approx(0.230)


def test_switching_units_costs_no_new_analysis(run: Run, keeper: Person) -> None:
    before = revision(run)
    run.site.units = "us"
    run.site.save(by=keeper, why="tried")
    assert revision(run) == before
    run.site.altitude_m = 900.0
    run.site.save(by=keeper, why="measured")
    assert revision(run) != before


def test_only_so_many_analyses_are_kept_in_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keeping, "MOST_KEPT", 3)
    for i in range(5):
        keeping.keep(f"thing-{i}", "state", i)
    assert keeping.kept("thing-4", "state") == 4
    assert keeping.kept("thing-0", "state") is None
    assert keeping.kept("thing-4", "another state") is None
