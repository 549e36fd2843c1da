"""Long answers in the background: a page waits a moment, never for the whole of it."""

import threading
from collections.abc import Iterator

import pytest

from marshlight.answers.stopping import Stopped, still_wanted
from marshlight.server import soon as room
from marshlight.server.soon import Job, soon, stop

pytestmark = pytest.mark.django_db


@pytest.fixture
def ahead(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Work ahead as a server does, with little patience."""
    monkeypatch.setattr(room, "works_ahead", lambda: True)
    monkeypatch.setattr(room, "PATIENCE_S", 0.05)
    yield
    room._jobs.clear()


def test_a_command_or_test_simply_waits() -> None:
    assert soon("a question", lambda tell: 42) == 42


def test_a_quick_answer_is_there_at_once_and_kept(ahead: None) -> None:
    asked = []
    for _ in range(2):
        assert soon("quick", lambda tell: asked.append(1) or "so") == "so"
    assert len(asked) == 1


def test_a_slow_answer_tells_its_progress_and_comes_later(ahead: None) -> None:
    started, go_on = threading.Event(), threading.Event()

    def work(tell: room.Progress) -> str:
        tell(2, 6)
        started.set()
        go_on.wait(10.0)
        return "at last"

    job = soon("slow", work)
    assert isinstance(job, Job)
    assert started.wait(10.0)
    assert job.words.startswith("2 of 6 parts done, ")
    go_on.set()
    assert job.future.result(timeout=10.0) == "at last"
    assert soon("slow", work) == "at last"


def test_a_failure_is_told_and_not_kept(ahead: None) -> None:
    answers = iter([ValueError("no"), "yes"])

    def work(tell: room.Progress) -> object:
        found = next(answers)
        if isinstance(found, Exception):
            raise found
        return found

    with pytest.raises(ValueError, match="no"):
        soon("at first wrong", work)
    assert soon("at first wrong", work) == "yes"


def test_what_is_stopped_ends_at_its_next_part_and_begins_anew_when_asked_for(ahead: None) -> None:
    started, go_on, ended = threading.Event(), threading.Event(), threading.Event()
    parts: list[int] = []

    def work(tell: room.Progress) -> str:
        for part in range(50):
            try:
                still_wanted()
            except Stopped:
                ended.set()
                raise
            parts.append(part)
            started.set()
            go_on.wait(10.0)
        return "done"

    job = soon("long", work)
    assert isinstance(job, Job)
    assert started.wait(10.0)
    assert stop(job.ident)
    go_on.set()
    assert ended.wait(10.0)
    assert parts == [0]
    assert not stop(job.ident)
    assert "long" not in room._jobs
    assert soon("long", lambda tell: "anew") == "anew"


def test_what_waits_its_turn_is_never_begun_once_it_is_stopped(ahead: None) -> None:
    started, go_on = threading.Event(), threading.Event()

    def first(tell: room.Progress) -> str:
        started.set()
        go_on.wait(10.0)
        return "first"

    begun: list[int] = []
    running = soon("first", first)
    assert started.wait(10.0)
    waiting = soon("second", lambda tell: begun.append(1))
    assert isinstance(running, Job)
    assert isinstance(waiting, Job)
    assert stop(waiting.ident)
    go_on.set()
    assert running.future.result(timeout=10.0) == "first"
    assert soon("third", lambda tell: "third") == "third"
    assert begun == []


def test_only_so_many_answers_are_kept(ahead: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(room, "MOST_KEPT", 3)
    for i in range(6):
        soon(f"question {i}", lambda tell: "so")
    assert list(room._jobs) == ["question 3", "question 4", "question 5"]
