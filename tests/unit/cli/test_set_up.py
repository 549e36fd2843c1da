"""Set-up from the terminal asks, keeps, changes with a reason, and never deletes."""

from collections.abc import Callable
from typing import Any

from marshlight.errors import InputError


def test_without_fields_it_says_what_it_would_ask(bench: Callable[..., Any]) -> None:
    asked = bench("set-up", "holder", "--json").data
    names = {f["field"] for f in asked["fields"]}
    assert {"kind", "bore", "travel", "mass", "capacity"} <= names
    assert "rise from rest" in bench("set-up", "holder").text


def test_a_word_that_is_no_field_is_refused(bench: Callable[..., Any]) -> None:
    refused = bench("set-up", "vessel", "25L").error
    assert isinstance(refused, InputError)
    assert "FIELD=VALUE" in str(refused)


def test_a_record_is_shown_with_its_history(bench: Callable[..., Any]) -> None:
    bench("change", "vessel", "drum", "volume=26 L", "--why", "filled with a measuring jug")
    sheet = bench("show", "vessel", "drum 1", "--json").data
    assert sheet["fields"]["whole inner volume, brim-full"] == "26.0 L"
    assert [v["why"] for v in sheet["history"]] == ["set up", "filled with a measuring jug"]
    assert "measuring jug" in bench("show", "vessel", "drum 1").text


def test_a_list_reads_in_the_sites_units(bench: Callable[..., Any]) -> None:
    bench("change", "site", "hill", "units=us", "--why", "visitors")
    assert "6.60 gal" in bench("show", "vessel").text


def test_retired_records_leave_the_list_but_not_the_notebook(bench: Callable[..., Any]) -> None:
    assert isinstance(bench("retire", "lot", "manure").error, InputError)
    bench("retire", "lot", "manure", "--why", "used up")
    assert bench("show", "lot", "--json").data["records"] == []
