"""What is worked out behind the pages can be left: it ends at its next part, or never begins."""

import threading
from collections.abc import Iterator

import pytest

from marshlight.answers.stopping import Stopped, still_wanted
from marshlight.server import ahead

JOB = ("outlook", "a run", "metric")


@pytest.fixture(autouse=True)
def serving(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """List jobs as a server does, and work none out by itself."""
    monkeypatch.setattr(ahead, "works_ahead", lambda: True)
    monkeypatch.setattr(ahead, "_start", lambda: None)
    monkeypatch.setattr(ahead._waiting, "put", lambda job: None)
    yield
    ahead._listed.clear()
    ahead._left.clear()


def test_what_is_under_way_ends_at_its_next_part(monkeypatch: pytest.MonkeyPatch) -> None:
    started, go_on, ended = (threading.Event() for _ in range(3))

    def look(run_id: object, system: str) -> None:
        started.set()
        go_on.wait(10.0)
        try:
            still_wanted()
        except Stopped:
            ended.set()
            raise

    monkeypatch.setitem(ahead._OTHERS, "outlook", look)
    ahead.outlook_soon("a run", "metric")
    worker = threading.Thread(target=ahead._do, args=(JOB, 1))
    worker.start()
    assert started.wait(10.0)
    assert ahead.waited(JOB).endswith("s so far.")
    ahead.leave(JOB)
    go_on.set()
    worker.join(10.0)
    assert ended.is_set()
    # Nothing of it is left behind: asked for again, it is worked out.
    assert ahead._is_wanted(JOB)


def test_what_waits_its_turn_is_never_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[str] = []
    monkeypatch.setitem(ahead._OTHERS, "outlook", lambda *_: begun.append("outlook"))
    ahead.outlook_soon("a run", "metric")
    assert ahead.waited(JOB) == "It waits its turn."
    ahead.leave(JOB)
    ahead._do(JOB, 1)
    assert begun == []


def test_what_is_asked_for_again_is_wanted_again(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[str] = []
    monkeypatch.setitem(ahead._OTHERS, "outlook", lambda *_: begun.append("outlook"))
    ahead.outlook_soon("a run", "metric")
    ahead.leave(JOB)
    ahead.outlook_soon("a run", "metric")
    ahead._do(JOB, 1)
    assert begun == ["outlook"]


def test_what_nobody_listed_cannot_be_left() -> None:
    ahead.leave(JOB)
    assert ahead._is_wanted(JOB)
