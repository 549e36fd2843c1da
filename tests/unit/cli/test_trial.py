"""Trials in the terminal say what the page says, and write the same report."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from marshlight.errors import InputError
from marshlight.notebook.models import Lot, Person, Site
from trial_world import make_trial


@pytest.fixture
def world(db: None) -> None:
    site = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    site.save()
    keeper = Person(name="keeper", role=Person.Role.KEEPER)
    keeper.save()
    make_trial(site, keeper, samples=(("bread", 0.42), ("whey", 0.30)))


def test_a_trial_is_listed_shown_and_reported(
    terminal: Callable[..., Any], world: None, tmp_path: Path
) -> None:
    assert "Crusts: 12 bottles, day 8" in terminal("trials").text
    page = terminal("trial", "Crusts", "--json").data
    assert page["sentence"].startswith("Bread gave more methane than whey")
    said = terminal("trial", "Crusts").text
    assert "Published criteria" in said
    assert "Bread gave more methane than whey" in said
    for name, start in (("report.pdf", b"%PDF"), ("report.xlsx", b"PK")):
        terminal("trial-report", "Crusts", "--to", str(tmp_path / name))
        assert (tmp_path / name).read_bytes().startswith(start)
    wrong = terminal("trial-report", "Crusts", "--to", str(tmp_path / "report.doc"))
    assert isinstance(wrong.error, InputError)
    assert not Lot.objects.filter(measured__has_key="methane_potential").exists()
