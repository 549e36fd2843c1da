"""Flame, gas space, hygiene, cleaning and the safety sheet from the terminal."""

from collections.abc import Callable
from typing import Any

import pytest

from marshlight.errors import InputError

COMMANDS = ("flame", "gas-space", "hygiene", "clean-gas", "safety-sheet")


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_answers_with_and_without_a_run(
    bench: Callable[..., Any], command: str
) -> None:
    free, own = bench(command, "--json").data, bench(command, "Goat 1", "--json").data
    assert bench(command, "Goat 1").error is None
    for found in (free, own):
        answer = found.get("answer", found)
        assert answer["sentence"]
        assert answer["cautions"]
        assert all(f["value"] for s in answer["sections"] for f in s["figures"])
    assert own.get("answer", own)["run_name"] == "Goat 1"


def test_words_put_cautions_first_and_name_sources(terminal: Callable[..., Any]) -> None:
    text = terminal("gas-space").text
    assert text.startswith("! The gas can explode")
    assert "well_mixed_purge" in text
    assert "The likely path in figures" in text


def test_a_burner_is_sized_and_converted(terminal: Callable[..., Any]) -> None:
    text = terminal("flame", "--methane", "60", "--fuel", "CH4", "--jet", "1 mm").text
    assert "no. 46" in text
    assert "The two port rules do not agree" in text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("clean-gas", "--air", "15 %"), "Do not dose so much air"),
        (("clean-gas", "--h2s", "20 %"), "Check the number"),
        (("flame", "--held", "4 kg"), "measures mass"),
        (("hygiene", "--way", "sideways"), "Choose one of these"),
        (("gas-space", "--methane", "60 to 70 to 80"), "two ends"),
    ],
)
def test_what_cannot_be_used_is_refused(
    terminal: Callable[..., Any], words: tuple[str, ...], said: str
) -> None:
    refused = terminal(*words).error
    assert isinstance(refused, InputError)
    assert said in str(refused)


def test_no_time_is_given_below_50_degrees(terminal: Callable[..., Any]) -> None:
    text = terminal("hygiene", "--temperature", "38", "--hold", "200 h").text
    assert "no rule calls slurry hygienic" in text
    assert "US rule for sludge" not in text


def test_the_sheet_refuses_an_act_and_lists_all_refusals(terminal: Callable[..., Any]) -> None:
    assert terminal("safety-sheet", "--act", "enter the tank").text.startswith("No. Nobody enters")
    assert "ask someone on site" in terminal("safety-sheet", "--act", "whistle").text
    assert "Biogas is not pressed into bottles" in terminal("safety-sheet", "--refusals").text
