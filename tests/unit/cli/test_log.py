"""Logging from the terminal: a number, a unit, and what looks odd said at once."""

from collections.abc import Callable
from typing import Any

from marshlight.cli.main import error_as_data, exit_code
from marshlight.errors import InputError


def test_a_level_is_kept_in_base_units_and_said_back(bench: Callable[..., Any]) -> None:
    kept = bench("log", "goat", "level", "4.5", "in", "--at", "2026-05-03 08:00", "--json").data
    assert kept["record"]["said"] == "11.4 cm"
    assert kept["record"]["day"] == 2.0
    assert kept["doubts"] == []


def test_a_flame_needs_only_its_answer(bench: Callable[..., Any]) -> None:
    kept = bench("log", "goat", "flame", "answer=holds", "--json").data
    assert kept["record"]["said"] == "holds a flame"


def test_a_charge_names_its_parts_by_lot_or_material(bench: Callable[..., Any]) -> None:
    kept = bench(
        "did", "goat", "charge", "--part", "manure=8 kg", "--part", "stale bread=0.5 lb",
        "water=6 L", "--json",
    ).data  # fmt: skip
    assert "8.00 kg of Manure" in kept["record"]["said"]
    assert "of stale bread" in kept["record"]["said"]


def test_a_fall_without_a_reason_is_kept_and_questioned(bench: Callable[..., Any]) -> None:
    bench("log", "goat", "level", "200 mm", "--at", "2026-05-03 08:00")
    said = bench("log", "goat", "level", "20 mm", "--at", "2026-05-04 08:00")
    assert "kept holder level" in said.text
    assert "Worth a second look" in said.text


def test_a_correction_keeps_the_old_version_with_who_and_why(bench: Callable[..., Any]) -> None:
    first = bench("log", "goat", "level", "200 mm", "--json").data["record"]["ident"]
    second = bench("correct", first, "120 mm", "--why", "misread", "--json").data["record"]
    assert second["version"] == 2
    history = bench("history", second["ident"], "--json").data["versions"]
    assert [(v["said"], v["why"]) for v in history] == [("200 mm", ""), ("120 mm", "misread")]


def test_a_retraction_needs_a_reason(bench: Callable[..., Any]) -> None:
    ident = bench("log", "goat", "ph", "7.1", "--json").data["record"]["ident"]
    refused = bench("retract", ident).error
    assert isinstance(refused, InputError)
    assert bench("retract", ident, "--why", "wrong drum", "--json").data["record"]["retracted"]


def test_errors_name_the_field_and_choose_the_exit_code(bench: Callable[..., Any]) -> None:
    refused = bench("log", "goat", "level", "7 degC").error
    assert isinstance(refused, InputError)
    assert exit_code(refused) == 2
    assert error_as_data(refused)["field"] == "holder level"
    unknown = bench("history", "not-an-id").error
    assert isinstance(unknown, InputError)


def test_the_kinds_can_be_listed(bench: Callable[..., Any]) -> None:
    listed = bench("kinds", "--json").data
    assert "level" in {k["kind"] for k in listed["log"]}
    assert "dose" in {k["kind"] for k in listed["did"]}
    assert "marshlight did RUN" in bench("kinds").text
