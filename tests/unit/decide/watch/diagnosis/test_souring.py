"""The risk of souring: of what was eaten and the usual meals, not of feasting on."""

from dataclasses import replace

import numpy as np
import pytest
from tests.unit.decide.watch.diagnosis.conftest import lived, log_of, meal, usual_feeding

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.diagnosis import SouringRisk, diagnose, souring
from marshlight.decide.watch.outlook import Habit
from marshlight.process.model import DigesterRun, DrawOff, Event, Feed, Liquid

FEAST_DAY, LOOK_DAY = 21.0, 21.2
# The digester is sour from 0.9 kg on; 0.45 kg takes its pH down to 7.0.
HARMLESS_KG, RUINOUS_KG = 0.45, 0.9


def _feasted(mass_kg: float) -> tuple[DigesterRun, RunLog, Liquid]:
    """The drum with one large meal of bread among its usual ones, looked at hours after."""
    feast = meal(mass_kg, "stale bread")
    extra: tuple[Event, ...] = (DrawOff(FEAST_DAY, feast.volume_m3), Feed(FEAST_DAY, feast))
    events = sorted((*usual_feeding(), *extra), key=lambda event: event.day)
    run = lived(events=events)
    return run, log_of(run, events=events, today=LOOK_DAY), feast


def _risk(log: RunLog, lives: Lives) -> SouringRisk:
    return diagnose(log, lives, rng=np.random.default_rng(7)).souring


def test_a_harmless_feast_is_not_warned_of_for_fear_of_the_next(
    earlier: Lives, monkeypatch: pytest.MonkeyPatch
) -> None:
    run, log, feast = _feasted(HARMLESS_KG)
    assert float(run["pH"].min()) > 6.8
    found = diagnose(log, earlier, rng=np.random.default_rng(7))
    as_usual = found.souring
    monkeypatch.setattr(souring, "habit_of", lambda _: Habit(2.0, feast, FEAST_DAY + 2.0))
    feasted_on = _risk(log, earlier)
    assert not as_usual.warned
    assert feasted_on.warned
    assert as_usual.either < feasted_on.either - 0.5
    # Yet another like it would be too much, and that is said.
    assert as_usual.again is not None
    assert as_usual.again > 0.5
    assert "last meal once more now" in found.sentence


def test_a_ruinous_feast_is_warned_of_hours_after_it(earlier: Lives) -> None:
    run, log, _ = _feasted(RUINOUS_KG)
    assert float(run["pH"].min()) < 5.5
    assert float(np.interp(LOOK_DAY, run.day, run["pH"])) > 6.8
    found = diagnose(log, earlier, rng=np.random.default_rng(7))
    assert found.souring.warned
    assert found.souring.either > 0.9
    assert found.souring.again is None
    assert "feed nothing until its pH has been read" in found.sentence


def test_the_risk_says_whether_it_counts_on_more_feeding(
    healthy_run: DigesterRun, earlier: Lives
) -> None:
    log = log_of(healthy_run)
    risk = _risk(log, earlier)
    assert risk.premise == "Fed on as usual"
    assert risk.again is None
    kept = tuple(e for e in log.events if not isinstance(e, Feed) or e.day < 16.0)
    left = _risk(replace(log, events=kept), earlier)
    assert not left.fed
    assert left.premise == "Left unfed"


def test_a_warning_is_given_from_one_in_four_on() -> None:
    risk = SouringRisk(10.0, 0.2, 0.1, 0.25, 3.0, fed=True)
    assert risk.warned
    assert not replace(risk, either=0.24).warned
