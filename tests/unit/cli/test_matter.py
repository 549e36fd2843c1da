"""Materials, sources and theory from the terminal."""

from collections.abc import Callable
from typing import Any

import pytest


def test_materials_can_be_searched(terminal: Callable[..., Any]) -> None:
    groups = terminal("materials", "pomace", "--json").data
    assert {line["key"] for g in groups for line in g["lines"]} >= {"apple_pomace"}
    assert "No material" in terminal("materials", "plutonium").text


def test_a_material_shows_ranges_and_sources(terminal: Callable[..., Any]) -> None:
    page = terminal("material", "stale bread", "--json").data
    assert all(line["source"]["citation"] for line in page["properties"])
    assert "bread" in terminal("material", "stale bread").text


def test_sources_say_how_they_were_seen(terminal: Callable[..., Any]) -> None:
    groups = terminal("sources", "--json").data
    assert all(s["how"] for g in groups for s in g["sources"])
    assert "practice" in terminal("sources").text
    key = groups[0]["sources"][0]["key"]
    assert terminal("sources", key, "--json").data["source"]["key"] == key


def test_theory_agrees_with_the_stoichiometry_of_cellulose(terminal: Callable[..., Any]) -> None:
    answer = terminal("theory", "C6H10O5", "--json").data
    assert answer["methane_m3_per_kg"] == pytest.approx(0.41471, rel=1e-3)
    assert "415 NmL/g" in terminal("theory", "C6H10O5").text
