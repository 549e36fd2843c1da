"""Heat, gas train and leaks from the terminal."""

from collections.abc import Callable
from typing import Any

import pytest

from marshlight.errors import InputError
from marshlight.notebook.models import Vessel


def test_heat_answers_without_a_notebook_full_of_things(terminal: Callable[..., Any]) -> None:
    said = terminal("heat", "set_point=37", "power=40 W", "gas=8 L/d").text
    assert "settles at" in said
    assert "As it is, and with one change" in said
    assert "uses more energy than it" in said
    assert "! Mains electricity" in said


def test_heat_as_json_says_the_same(terminal: Callable[..., Any]) -> None:
    data = terminal("heat", "set_point=37", "--json").data
    assert data["told"]["sentence"].startswith("Warm enough")
    names = {f["name"] for s in data["told"]["sections"] for f in s["figures"]}
    assert {"settles at", "hottest wall", "energy"} <= names
    assert all(f["sources"] for s in data["told"]["sections"] for f in s["figures"])


def test_a_run_fills_the_fields_in(bench: Callable[..., Any]) -> None:
    fields = bench("heat", "goat", "--fields", "--json").data
    by_name = {f["question"]["name"]: f["value"] for f in fields}
    assert by_name["vessel"] == "Drum 1"
    assert by_name["heater"] == "none"
    assert "choices or hint" in bench("heat", "--fields").text


def test_a_dangerous_heater_gets_words_and_no_figures(terminal: Callable[..., Any]) -> None:
    said = terminal("heat", "heater=immersed", "liquids=no").text
    assert "Never put a heater into slurry" in said
    assert "settles at" not in said


def test_an_unknown_field_names_the_known_ones(terminal: Callable[..., Any]) -> None:
    refused = terminal("heat", "wattage=40").error
    assert isinstance(refused, InputError)
    assert "power" in refused.allowed


def test_a_bad_number_names_its_field(terminal: Callable[..., Any]) -> None:
    refused = terminal("heat", "power=warm").error
    assert isinstance(refused, InputError)
    assert refused.field == "rated power"


def test_the_gas_train_says_whether_it_breathes(terminal: Callable[..., Any]) -> None:
    said = terminal("gas-train", "relief=seal", "trap=100 mm", "uses=7 12 19").text
    assert "condensate trap" in said
    assert "holder for these hours" in said
    refused = terminal("gas-train", "relief=none").error
    assert isinstance(refused, InputError)
    assert "bursts" in refused.allowed


@pytest.mark.parametrize(
    ("readings", "verdict"),
    [("0 200; 6 150; 12 105; 24 30", "leaks"), ("0 200; 0.2 199; 0.4 200", "cannot tell yet")],
)
def test_a_leak_test_gives_its_verdict(
    terminal: Callable[..., Any], readings: str, verdict: str
) -> None:
    data = terminal("leak", f"readings={readings}", "space=8 L", "accepted=50 mL/d", "--json").data
    figures = {f["name"]: f["value"] for f in data["sections"][0]["figures"]}
    assert figures["verdict"] == verdict


def test_a_sinking_holder_is_named(bench: Callable[..., Any]) -> None:
    said = bench("leak", "way=level", "holder=Cylinder 1", "readings=0 300; 6 270; 24 180").text
    assert "It leaks" in said


def test_a_sphere_and_a_dome_can_be_set_up_and_kept_warm(terminal: Callable[..., Any]) -> None:
    terminal("set-up", "site", "name=Yard")
    terminal("set-up", "vessel", "name=Ball", "shape=sphere", "diameter=1.2 m")
    terminal("set-up", "vessel", "name=Dome", "shape=dome", "diameter=3 m", "height=1 m")
    for name, volume in (("Ball", 0.9048), ("Dome", 4.0579)):
        assert Vessel.objects.get(name=name).volume_m3 == pytest.approx(volume, abs=1e-3)
        said = terminal("heat", f"vessel={name}", "power=2 kW", "set_point=37").text
        assert "settles at" in said
