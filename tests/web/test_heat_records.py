"""The heat page begins from what is set up and logged, and its gas follows its warmth."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone

from marshlight.answers.heat import HeatAnswer, heat
from marshlight.answers.heat_model import TITLE
from marshlight.answers.safety_sheet import safety_sheet_page
from marshlight.answers.told import Figure
from marshlight.notebook.models import Person, Run
from marshlight.notebook.recording import record_reading
from marshlight.notebook.setting_up import change

pytestmark = pytest.mark.django_db


def asked(run: Run, **typed: str) -> HeatAnswer:
    run.refresh_from_db()
    return heat(typed, run=run, now=timezone.now())


def fields(answer: HeatAnswer) -> dict[str, str]:
    return {f.question.name: f.value for f in answer.told.fields}


def gas(answer: HeatAnswer) -> dict[str, Figure]:
    section = next(s for s in answer.told.sections if s.title == TITLE)
    return {f.name: f for f in section.figures}


def test_what_is_set_up_is_asked_no_more(run: Run, keeper: Person) -> None:
    change(
        run.vessel, {"stand": "ground", "around": "wind", "wrapped": "sides"}, by=keeper, why="w"
    )
    assert run.heater is not None
    change(run.heater, {"protection": "yes", "cut_out": "yes"}, by=keeper, why="fitted")
    change(run.site, {"energy_price": "0.31"}, by=keeper, why="bill")
    change(run, {"feed_temperature": "12"}, by=keeper, why="read")
    known = fields(asked(Run.objects.get(pk=run.pk)))
    wanted = {"stand": "ground", "around": "wind", "wrapped": "sides", "protection": "yes",
              "cut_out": "yes", "price": "0.31", "feed_at": "12.0 °C"}  # fmt: skip
    assert {name: known[name] for name in wanted} == wanted


def test_a_correction_keeps_the_state_before(run: Run, keeper: Person) -> None:
    change(run.vessel, {"stand": "table"}, by=keeper, why="on the shelf")
    change(run.vessel, {"stand": ""}, by=keeper, why="not known after all")
    states = [version.state["stand"] for version in run.vessel.history()]
    assert states == ["", "table", ""]


def test_warmth_drives_gas_by_the_process_model(run: Run) -> None:
    told = gas(asked(run, change="cooler"))
    assert "lost" in told["gas with thermostat 3 °C (5 °F) lower"].note
    assert "lost" in told["gas without heating"].note
    assert all(f.sources and f.equation for name, f in told.items() if name != "counted lately")


def test_a_run_whose_charge_is_unknown_gets_the_reason(run: Run) -> None:
    bare = Run(name="bare", site=run.site, vessel=run.vessel, heater=run.heater)
    bare.save()
    section = next(s for s in asked(bare).told.sections if s.title == TITLE)
    assert "what was put in at the start" in section.before[0]


def test_the_room_s_own_log_may_stand_for_the_air(run: Run, keeper: Person) -> None:
    now = timezone.now()
    for hours in range(0, 30, 3):
        at = now - timedelta(hours=30 - hours)
        celsius = 30 if hours % 24 < 12 else 4
        record_reading(run, "room_temperature", f"{celsius} degC", at=at, by=keeper)
    logged = asked(run, air="logged", heater="none")
    assert not logged.told.problems
    assert "Settles at" not in logged.told.problems


def test_the_safety_sheet_knows_relief_and_a_stuck_thermostat(
    here: Client, run: Run, keeper: Person
) -> None:
    sheet = {"relief": "seal", "relief_depth": "150 mm"}
    change(run.vessel, sheet, by=keeper, why="fitted")
    change(run.site, {"gas_let_out": "outdoors", "room_volume": "40 m3"}, by=keeper, why="looked")
    page = safety_sheet_page({}, run=Run.objects.get(pk=run.pk))
    named = {number.name: number for number in page.sheet.numbers}
    assert named["relief opens at"].value == pytest.approx(1.469, rel=1e-3)
    assert named["slurry with the heater always on"].value > 60.0
    assert "what relief is on the vessel" not in page.sheet.unknown
    assert "how the heater's mains supply is protected" in page.sheet.unknown
    known = {f.question.name: f.value for f in page.answer.fields}
    assert known["room"] == "40.0 m³"
    assert "Relief opens at" in here.get(f"/runs/{run.pk}/safety-sheet/").content.decode()
