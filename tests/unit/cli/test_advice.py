"""Advice at the terminal: listed with its key, answered by it."""

from collections.abc import Callable
from typing import Any

from marshlight.cli.main import exit_code


def _keys(said: Any) -> list[str]:
    return [line["key"] for line in said.data["advice"]]


def test_advice_is_listed_with_the_key_it_is_answered_by(bench: Callable[..., Any]) -> None:
    bench("log", "goat", "slurry_temperature", "36")
    assert _keys(bench("advice", "goat", "--json")) == ["read_gas"]
    assert "answered by: read_gas" in bench("advice", "goat").text
    assert "answered by: read_gas" in bench("run", "goat").text


def test_advice_is_put_off_done_and_taken_back(bench: Callable[..., Any]) -> None:
    bench("log", "goat", "slurry_temperature", "36")
    said = bench("advice", "goat", "read_gas", "tomorrow").text
    assert said.startswith("Put off: Read the gas. Back on ")
    assert "is gone, put off" in said
    assert "Out of sight: Read gas next" in said
    assert "Taken back" in bench("advice", "goat", "read_gas", "take_back").text
    done = bench("advice", "goat", "read_gas", "--json").data
    assert done["kept"].startswith("Done: Read the gas.")
    assert [line["key"] for line in done["out_of_sight"]] == ["read_gas"]


def test_an_answer_that_is_none_is_refused(bench: Callable[..., Any]) -> None:
    error = bench("advice", "goat", "read_gas", "never").error
    assert exit_code(error) == 2
    assert "three_days" in str(error)
    assert exit_code(bench("advice", "goat", "dance").error) == 2


def test_an_answer_can_be_written_like_any_other_event(bench: Callable[..., Any]) -> None:
    bench("did", "goat", "advice_put_off", "advice=read_gas", "until=three_days")
    assert _keys(bench("advice", "goat", "--json")) == []
