"""No page of trials waits for the engine: what is worked out says so, and the rack stays open."""

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from marshlight.answers.trial_result import trial_ready, trial_result
from marshlight.notebook.models import Person, Site, Trial, TrialBottle
from marshlight.server import ahead
from trial_world import make_trial

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("loopback")]


@pytest.fixture
def crusts(site: Site, keeper: Person) -> Trial:
    return make_trial(site, keeper, days=4)


@pytest.fixture
def serving(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Serve as `serve` does, with a worker that only writes down what it was asked."""
    asked: list[object] = []
    settings.MARSHLIGHT_AHEAD = True
    monkeypatch.setattr(ahead, "_start", lambda: None)
    monkeypatch.setattr(ahead._waiting, "put", lambda job: asked.append(job[2]))
    monkeypatch.setattr("marshlight.server.pages.trial_wait._PATIENCE_S", 0.0)
    ahead._listed.clear()
    return asked


def test_a_trial_that_is_being_worked_out_says_so_and_its_rack_can_be_read(
    client: Client, crusts: Trial, serving: list[object]
) -> None:
    page = client.get(reverse("trial", args=[crusts.pk])).content.decode()
    assert "Working out what the bottles say" in page
    assert reverse("trial-rack", args=[crusts.pk]) in page
    assert serving == [("trial", crusts.pk)]
    assert "Working out" in client.get(reverse("trial-library")).content.decode()
    assert client.get(reverse("feedstocks")).status_code == 200


def test_what_was_worked_out_is_shown_at_once(
    client: Client, crusts: Trial, serving: list[object]
) -> None:
    trial_result(crusts)
    page = client.get(reverse("trial", args=[crusts.pk])).content.decode()
    assert "There is one material only" in page
    assert serving == []


def test_a_round_is_worked_out_before_anybody_asks(
    client: Client, crusts: Trial, serving: list[object]
) -> None:
    trial_result(crusts)
    bottle = TrialBottle.objects.get(name="bread 1")
    url = reverse("trial-rack", args=[crusts.pk])
    client.post(url, {str(bottle.pk): "2100 mL", "at": "", "sure": "yes"})
    assert not trial_ready(crusts)
    assert serving == [("trial", crusts.pk)]


def test_a_reading_logged_for_one_bottle_has_its_trial_worked_out_too(
    client: Client, crusts: Trial, serving: list[object]
) -> None:
    run = TrialBottle.objects.get(name="bread 1").run
    client.post(f"/runs/{run.pk}/log/reading/counter/", {"value": "2100", "unit": "mL"})
    assert ("trial", crusts.pk) in serving


def test_the_worker_works_a_trial_out(crusts: Trial) -> None:
    assert not trial_ready(crusts)
    ahead._assess(crusts.pk)
    assert trial_ready(crusts)
