"""Dangerous inputs at pages and in the terminal: what the tool says to each; none is kept.

One row an act; the words are those of the list of refusals or of the heat balance's dangers.
"""

import pytest
from django.test import Client
from typer.testing import CliRunner

from marshlight.cli import commands  # noqa: F401  (registers the commands)
from marshlight.cli.main import app
from marshlight.notebook.models import Heater, Holder, Person, Run, Site, Vessel
from marshlight.notebook.setting_up import set_up

pytestmark = pytest.mark.django_db

DRUM = {"name": "Drum 7", "shape": "cylinder", "diameter": "28 cm", "height": "41 cm"}
# Page, what is typed, what is said.
ASKED = [
    ("/gas-train/", {"relief": "none"}, "never closed without a relief"),
    ("/gas-train/", {"outlet": "indoors"}, "never let out in a room, shed or cellar"),
    ("/heat/", {"power": "200 W", "set_point": ""}, "Never run this heater without a thermostat"),
    ("/heat/", {"power": "200 W", "set_point": "37"}, "If the thermostat sticks, the vessel boils"),
    ("/heat/", {"set_point": "65"}, "no digester is kept above 60"),
    ("/heat/", {"protection": "no"}, "without a residual-current device can kill"),
    ("/heat/", {"heater": "immersed", "liquids": "no"}, "Never put a heater into slurry"),
    ("/cleaning/", {"air": "15 %"}, "Do not dose so much air"),
    ("/hygiene/", {"temperature": "40", "hold": "30 d"}, "no time makes slurry hygienic"),
    ("/safety-sheet/", {"act": "enter the tank"}, "Nobody enters"),
    ("/safety-sheet/", {"act": "weld the drum"}, "not free of gas"),
    ("/safety-sheet/", {"act": "look for a leak with a lighter"}, "A flame finds a leak"),
    ("/safety-sheet/", {"act": "rely on my nose"}, "The nose is no alarm"),
    ("/gas-space/", {"made": "1.2 L"}, "The gas inside is explosive by these figures"),
]
# Kind of record, what is typed, what is said.
SET_UP = [
    ("vessel", {**DRUM, "relief": "none"}, "never closed without a relief"),
    ("site", {"name": "Cellar", "gas_let_out": "indoors"}, "never let out in a room"),
    ("heater", {"name": "belt", "kind": "belt", "power": "40", "set_point": "65"}, "kept above 60"),
    (
        "heater",
        {"name": "belt", "kind": "belt", "power": "40", "protection": "no"},
        "without a residual-current device",
    ),
    (
        "heater",
        {"name": "kettle element", "kind": "immersion", "power": "40", "made_for_liquids": "no"},
        "No improvised immersion heater",
    ),
]


@pytest.mark.parametrize(("page", "typed", "said"), ASKED, ids=lambda v: str(v)[:40])
def test_a_page_says_no_to_what_is_dangerous(
    here: Client, site: Site, page: str, typed: dict[str, str], said: str
) -> None:
    assert said in here.get(page, typed).content.decode()


@pytest.mark.parametrize(("kind", "given", "said"), SET_UP, ids=lambda v: str(v)[:40])
def test_what_is_dangerous_is_not_set_up(
    here: Client, site: Site, kind: str, given: dict[str, str], said: str
) -> None:
    answer = here.post(f"/set-up/{kind}/new/", given)
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Vessel.objects.filter(name="Drum 7").exists()
    assert not Heater.objects.exists()
    assert Site.objects.count() == 1


@pytest.mark.parametrize(("kind", "given", "said"), SET_UP, ids=lambda v: str(v)[:40])
def test_the_terminal_refuses_alike(
    site: Site, keeper: Person, kind: str, given: dict[str, str], said: str
) -> None:
    words = [f"{name}={text}" for name, text in given.items()]
    done = CliRunner().invoke(app, ["set-up", kind, *words])
    assert done.exit_code != 0
    assert said in " ".join(str(done.exception or done.output).split())


def _drum_and(keeper: Person, **heater: str) -> dict[str, str]:
    set_up("vessel", {**DRUM, "insulation": "EPS", "insulation_thickness": "40 mm"}, by=keeper)
    set_up("heater", {"name": "belt 7", "kind": "belt", **heater}, by=keeper)
    return {"name": "Run 7", "vessel": "Drum 7", "heater": "belt 7"}


def test_a_run_is_not_set_up_with_a_heater_that_runs_away(
    here: Client, site: Site, keeper: Person
) -> None:
    given = _drum_and(keeper, power="200 W", thermostat="no")
    answer = here.post("/set-up/run/new/", given)
    assert answer.status_code == 422
    assert "Not without a thermostat and a second, independent cut-out" in answer.content.decode()
    assert not Run.objects.exists()


def test_a_small_heater_without_a_thermostat_may_be_set_up(
    here: Client, site: Site, keeper: Person
) -> None:
    given = _drum_and(keeper, power="8 W", thermostat="no")
    assert here.post("/set-up/run/new/", given).status_code == 302


def test_a_heater_in_use_cannot_be_made_dangerous(here: Client, run: Run, keeper: Person) -> None:
    belt = run.heater
    assert belt is not None
    change = {"thermostat": "no", "set_point": "", "power": "200 W", "why": "more heat"}
    answer = here.post(f"/set-up/heater/{belt.pk}/", change)
    assert answer.status_code == 422
    belt.refresh_from_db()
    assert belt.thermostat


def test_a_large_sealed_vessel_needs_a_relief(here: Client, site: Site, keeper: Person) -> None:
    set_up("vessel", DRUM, by=keeper)
    set_up("holder", {"name": "none", "kind": "sealed", "headspace": "8 L"}, by=keeper)
    given = {"name": "Run 7", "vessel": "Drum 7", "holder": "none"}
    answer = here.post("/set-up/run/new/", given)
    assert "never closed without a relief" in answer.content.decode()
    drum = Vessel.objects.get()
    drum.relief = "seal"
    drum.save(by=keeper, why="fitted")
    assert here.post("/set-up/run/new/", given).status_code == 302


def test_a_bottle_read_by_its_pressure_is_no_sealed_drum(
    here: Client, site: Site, keeper: Person
) -> None:
    set_up("vessel", {"name": "bottle", "volume": "1 L"}, by=keeper)
    set_up("holder", {"name": "cap", "kind": "sealed", "headspace": "300 mL"}, by=keeper)
    given = {"name": "Bottle 1", "vessel": "bottle", "holder": "cap"}
    assert here.post("/set-up/run/new/", given).status_code == 302
    assert Holder.objects.get().kind == "sealed"
