"""Many digesters at the terminal: brought up to date, listed, and what failed said aloud."""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from contextlib import contextmanager
from typing import Any

import pytest

from marshlight.answers import analysis
from marshlight.answers.foreseen import Foreseen
from marshlight.cli.main import exit_code


@pytest.fixture
def night(bench: Callable[..., Any], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Any]:
    """Give a terminal whose nights are worked out in a thread, without the fit."""

    @contextmanager
    def place() -> Iterator[Executor]:
        with ThreadPoolExecutor(1) as pool:
            yield pool

    none = Foreseen(None, why_not="left out of this test")
    monkeypatch.setenv("MARSHLIGHT_AHEAD", "1")
    monkeypatch.setattr(analysis, "foresee", lambda *given, **more: none)
    monkeypatch.setattr(analysis, "engine_mark", lambda: "the engine")
    monkeypatch.setattr("marshlight.answers.nightly_place.place_to_work", place)
    return bench


def test_a_night_says_what_it_did_and_goes_on_where_it_was(night: Callable[..., Any]) -> None:
    first = night("nightly", "--no-by-model", "--json").data
    assert first["report"]["worked_out"] == 1
    assert first["sentence"].startswith("1 of 1 runs brought up to date")
    again = night("nightly", "--no-by-model").text
    assert "0 of 1 runs brought up to date" in again
    assert "1 were so already" in again


def test_what_may_be_wrong_is_worked_out_unless_it_is_left_out(night: Callable[..., Any]) -> None:
    without = night("nightly", "--no-diagnosis", "--json").data["report"]
    assert (without["worked_out"], without["alarms"]) == (1, 0)
    # Left out, it is still to do; left out again, it is not.
    assert night("nightly", "--no-diagnosis", "--json").data["report"]["already"] == 1
    assert night("nightly", "--json").data["report"]["worked_out"] == 1
    assert night("nightly", "--json").data["report"]["already"] == 1


def test_the_list_says_what_the_process_model_fears(night: Callable[..., Any]) -> None:
    night("nightly", "--no-by-model")
    from marshlight.notebook.models import Finding

    found = Finding.objects.get()
    found.said |= {"feared": "gas is being lost (90 %)"}
    found.save()
    assert "process model: gas is being lost (90 %)." in " ".join(night("fleet").text.split())


def test_the_list_names_the_run_its_state_and_its_age(night: Callable[..., Any]) -> None:
    assert "not worked out" in night("fleet").text
    night("nightly", "--no-by-model")
    listed = night("fleet", "goat", "--json").data
    assert [line["name"] for line in listed["lines"]] == ["Goat 1"]
    assert listed["lines"][0]["worked"] == "worked out just now"
    assert night("fleet", "--state", "souring", "--json").data["lines"] == []
    assert night("fleet", "--site", "hill barn", "--json").data["found"] == 1
    assert "Goat 1" in night("fleet").text


def test_a_keeper_or_site_that_there_is_not_is_refused(night: Callable[..., Any]) -> None:
    assert exit_code(night("fleet", "--keeper", "nobody").error) == 2
    assert exit_code(night("fleet", "--site", "nowhere").error) == 2


def test_a_run_that_fails_is_named_and_the_exit_code_says_so(
    night: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    from typer.testing import CliRunner

    from marshlight.cli.main import app

    def fails(*given: object, **more: object) -> None:
        raise ValueError("no such bore")

    monkeypatch.setattr(analysis, "foresee", fails)
    done = CliRunner().invoke(app, ["nightly", "--no-by-model"])
    assert done.exit_code == 1
    assert "1 failed" in done.output
    assert "Goat 1" in done.output
    assert "a defect of marshlight: ValueError('no such bore')" in " ".join(done.output.split())
