"""The process model from the terminal."""

from collections.abc import Callable
from typing import Any

import pytest

from marshlight.errors import InputError


@pytest.fixture
def charged(bench: Callable[..., Any]) -> Callable[..., Any]:
    """Charge the bench's drum with live slurry and manure."""
    parts = ("--part", "digester effluent=8 kg", "--part", "manure=2 kg")
    bench("did", "goat", "charge", *parts, "water=4 L", "--at", "2026-05-01 08:00")
    return bench


def test_a_run_without_a_charge_says_what_is_missing(bench: Callable[..., Any]) -> None:
    said = bench("simulate", "Goat 1")
    assert said.error is None
    assert "what was put in at the start" in said.text


def test_words_and_data_say_the_same(charged: Callable[..., Any]) -> None:
    asked = ("simulate", "goat", "--feed", "Manure", "--amount", "1 kg", "--every", "7 d")
    data, text = charged(*asked, "--json").data, charged(*asked).text
    assert data["told"]["sentence"] in " ".join(text.split())
    assert "with 1 kg of Manure every" in data["told"]["sentence"]
    for section in data["told"]["sections"]:
        assert section["title"] in text
        for figure in section["figures"]:
            assert figure["value"] in text
    assert [len(chart["views"]) for chart in data["charts"]] == [5, 5]


def test_the_next_step_says_the_same_in_words_and_data(charged: Callable[..., Any]) -> None:
    data, text = charged("next", "goat", "--json").data, charged("next", "goat").text
    assert data["sentence"] in " ".join(text.split())
    for section in data["sections"]:
        for told in section["tables"]:
            assert told["caption"] in " ".join(text.split())
    assert [section["title"] for section in data["sections"]] == [
        "Feed: Manure",
        "Draw off and refill",
        "Buffer",
        "Heat or insulate",
        "What it rests on",
    ]


def test_a_risk_that_nobody_should_bear_is_refused(charged: Callable[..., Any]) -> None:
    assert isinstance(charged("next", "goat", "--risk", "80 %").error, InputError)


def test_dose_and_warmth_can_be_tried_together(charged: Callable[..., Any]) -> None:
    told = charged("simulate", "goat", "--dose", "20 g", "--warm", "10").text
    assert "With 10 K warmer and 20 g of sodium bicarbonate" in told


def test_a_dose_that_is_no_mass_is_refused(bench: Callable[..., Any]) -> None:
    refused = bench("simulate", "Goat 1", "--dose", "4 bar").error
    assert isinstance(refused, InputError)
    assert "sodium bicarbonate" in str(refused)


def test_the_outlook_of_a_run_whose_gas_nobody_read_is_told_alike_in_words_and_data(
    charged: Callable[..., Any],
) -> None:
    data, text = charged("outlook", "goat", "--json").data, charged("outlook", "goat").text
    assert data["sentence"] in " ".join(text.split())
    assert data["gas_unit"] in text
    assert len(data["days"]) == 7
    assert all(day["gas"] in text for day in data["days"])


def test_the_outlook_begins_with_what_comes_first(
    charged: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    told = ("First: look for a leak (now).", True)
    monkeypatch.setattr("marshlight.answers.simulate_opened.comes_first", lambda *_: told)
    assert charged("outlook", "goat").text.startswith(told[0])
    assert charged("outlook", "goat", "--json").data["first"] == told[0]
