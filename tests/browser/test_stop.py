"""Task: leave what takes too long, and see what has to come before any plan."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future

import pytest
from playwright.sync_api import Page, expect

from marshlight.decide.watch.suspicion import Suspicion
from marshlight.notebook.models import Run
from marshlight.server import soon as room
from marshlight.server.soon import Job

LEAK = Suspicion("leak", "gas is being lost", 0.8, "", test="Brush soapy water on the lid")


@pytest.fixture
def endless(monkeypatch: pytest.MonkeyPatch) -> Iterator[Job]:
    """Let what-if take for ever."""
    job = Job(Future(), done=2, of=6)
    room._jobs["what takes for ever"] = job
    monkeypatch.setattr("marshlight.server.pages.what_if.soon", lambda *_: job)
    yield job
    room._jobs.clear()


@pytest.mark.django_db(transaction=True)
def test_what_takes_too_long_is_stopped_with_one_tap(
    page: Page,
    drum: Run,
    endless: Job,
    checked: Callable[[Page], None],
    targets: Callable[[Page], list[str]],
) -> None:
    page.goto(f"/runs/{drum.pk}/what-if/")
    expect(page.get_by_role("status")).to_contain_text("2 of 6 parts done")
    assert targets(page) == []
    checked(page)
    page.get_by_role("button", name="Stop it").click()
    expect(page.get_by_role("heading", name=drum.name)).to_be_visible()
    expect(page.get_by_text("Stopped. Nothing of it is kept")).to_be_visible()
    assert endless.stopped


def test_a_leak_stands_before_the_best_next_step(
    page: Page, drum: Run, monkeypatch: pytest.MonkeyPatch, checked: Callable[[Page], None]
) -> None:
    for module in ("assessment", "simulate_opened"):
        monkeypatch.setattr(f"marshlight.answers.{module}.suspected", lambda *_: LEAK)
    page.goto(f"/runs/{drum.pk}/next-step/")
    first = page.get_by_text("First: brush soapy water on the lid")
    expect(first).to_be_visible()
    expect(first).to_contain_text("Do not feed it for more gas before that")
    expect(page.get_by_role("status")).to_contain_text("Once that is settled: ")
    checked(page)
    page.get_by_role("link", name="What to do, and why").click()
    expect(page.get_by_role("heading", name="What to do")).to_be_visible()
