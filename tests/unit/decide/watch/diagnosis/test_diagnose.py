"""Each trouble is told apart in a clear case, and a healthy digester is called healthy."""

import re

import numpy as np
import pytest
from tests.unit.decide.watch.diagnosis.conftest import (
    CHARGE,
    DRUM,
    SINCE,
    TODAY,
    Setting,
    lived,
    log_of,
    meal,
    usual_feeding,
)

from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior
from marshlight.decide.watch.diagnosis import CAUSES, diagnose
from marshlight.errors import InputError
from marshlight.process.model import (
    SMALL_DIGESTER,
    DigesterRun,
    Dose,
    DrawOff,
    Feed,
    simulate,
    warming,
)

Rng = np.random.Generator
FAULT_DAY = 22.0


def test_a_healthy_drum_is_called_healthy(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    found = diagnose(log_of(healthy_run), earlier, rng=rng)
    assert found.top.key == "healthy"
    assert found.top.probability > 0.9
    assert not found.alarm
    assert found.souring.either < 0.1
    assert found.alike == ()


def test_probabilities_add_to_one(healthy_run: DigesterRun, earlier: Lives, rng: Rng) -> None:
    found = diagnose(log_of(healthy_run), earlier, rng=rng)
    assert {e.key for e in found.explanations} == set(CAUSES)
    assert sum(e.probability for e in found.explanations) == pytest.approx(1.0)


def test_gas_lost_from_a_day_on_is_a_leak(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run, gas=lambda day, made: np.where(day > FAULT_DAY, 0.4 * made, made))
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "leak"
    assert found.alarm
    assert "%" in found.top.severity
    # A ruler that shows 0.4 of the gas would look the same: it stands right behind.
    assert {"leak", "ruler"} <= {e.key for e in found.explanations[:3]}


def test_a_tap_opened_between_two_readings_is_no_stuck_holder(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    # Of the first day's gas a good half still came, of every later day's next to none.
    def counted(day: np.ndarray, made: np.ndarray) -> np.ndarray:
        return made * np.where(day > FAULT_DAY + 1.0, 0.05, np.where(day > FAULT_DAY, 0.6, 1.0))

    found = diagnose(log_of(healthy_run, gas=counted), earlier, rng=rng)
    assert found.top.key == "leak"
    assert found["leak"].probability > 2.0 * found["stuck"].probability


@pytest.mark.parametrize("reached", [0.3, 0.55])
def test_a_layer_that_holds_food_and_gas_back_at_once_is_no_leak(
    earlier: Lives, rng: Rng, reached: float
) -> None:
    # Gas falls from one reading to the next, and comes again while what was held up is let go.
    release = 0.2 * SMALL_DIGESTER["kLa"]
    run = lived(Setting(FAULT_DAY, "access", reached), Setting(FAULT_DAY, "kLa", release))
    found = diagnose(log_of(run), earlier, rng=rng)
    assert found.top.key == "layer"
    assert found.alarm
    assert found["layer"].probability > 3.0 * found["leak"].probability


def test_a_holder_that_stands_still_is_stuck(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run, gas=lambda day, made: np.where(day > FAULT_DAY, 0.0, made))
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "stuck"
    assert found["stuck"].probability > 3 * found["leak"].probability


def test_air_is_seen_in_oxygen_and_thin_methane(earlier: Lives, rng: Rng) -> None:
    run = lived(Setting(FAULT_DAY, "air_exchange_m3_per_d", 0.01))
    found = diagnose(log_of(run), earlier, rng=rng)
    assert found.top.key == "air"
    assert any("oxygen read" in e.text for e in found.top.evidence)


def test_a_cold_slurry_with_less_gas_is_cold(earlier: Lives, rng: Rng) -> None:
    run = lived(*warming(FAULT_DAY, FAULT_DAY + 3.0, 35.0, 23.0))
    fallen = np.interp(np.arange(28.0), [FAULT_DAY, FAULT_DAY + 3.0], [35.0, 23.0])
    log = log_of(run, slurry=lambda day, warm: fallen[day.astype(int)])
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "cold"
    assert any("of that pace" in e.text for e in found.top.evidence)


def test_a_cold_thermometer_with_the_usual_gas_is_a_wrong_thermometer(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run, slurry=lambda day, warm: np.where(day > FAULT_DAY, 24.0, warm))
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "ruler"
    assert "thermometer" in found.top.severity


def test_a_ph_probe_that_jumps_while_gas_and_methane_hold_is_a_wrong_probe(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run, ph=lambda day, true: np.where(day > FAULT_DAY, true - 1.0, true))
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "ruler"
    assert "too low" in found.top.severity


def test_large_logged_meals_that_drop_the_ph_are_souring(earlier: Lives, rng: Rng) -> None:
    feast = [Feed(21.0, meal(0.9, "stale bread")), Feed(23.0, meal(0.9, "stale bread"))]
    away = [DrawOff(21.0, 0.001), DrawOff(23.0, 0.001)]
    events = sorted((*usual_feeding(), *away, *feast), key=lambda event: event.day)
    log = log_of(lived(events=events), events=events)
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key == "souring"
    assert found.souring.either > 0.9
    assert any("kg/m3 of acids" in e.text for e in found.top.evidence)


def test_souring_is_warned_of_before_the_ph_shows_it(earlier: Lives, rng: Rng) -> None:
    feast = [Feed(21.0, meal(0.9, "stale bread")), Feed(23.0, meal(0.9, "stale bread"))]
    away = [DrawOff(21.0, 0.001), DrawOff(23.0, 0.001)]
    events = sorted((*usual_feeding(), *away, *feast), key=lambda event: event.day)
    log = log_of(lived(events=events), events=events, today=21.2)
    assert diagnose(log, earlier, rng=rng).souring.either > 0.5


def test_gas_after_a_dose_into_sour_slurry_is_the_dose_gas(earlier: Lives, rng: Rng) -> None:
    feast = [Feed(20.5, meal(2.0, "stale bread"))]
    away = [DrawOff(20.5, 0.002)]
    dosed = [Dose(25.0, "sodium bicarbonate", 0.12)]
    events = sorted((*usual_feeding(20.0), *away, *feast, *dosed), key=lambda event: event.day)
    log = log_of(lived(events=events), events=events)
    found = diagnose(log, earlier, rng=rng)
    assert found.top.key in ("dose_gas", "souring")
    assert found["dose_gas"].probability > 0.3


def test_a_charge_with_hardly_any_microbes_is_weak(rng: Rng) -> None:
    amounts = {
        name: amount * (0.02 if name.startswith("x_") else 1.0)
        for name, amount in CHARGE.amounts.items()
    }
    few = type(CHARGE)(CHARGE.volume_m3, amounts)
    food = meal(0.5, "goat manure with straw bedding")
    run = simulate(DRUM, few + food, days=np.arange(0.0, TODAY + 0.01, 0.25))
    log = log_of(run, events=(), today=9.0)
    log = RunLog(**{**vars(log), "charge": CHARGE + food})
    begun = lives_from_prior(log.until(0.0), rng=rng, members=96)
    found = diagnose(log, begun, rng=rng)
    assert found.top.key == "weak"


def test_what_no_reading_could_show_is_not_known_rather_than_unlikely(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run)
    bare = RunLog(**{**vars(log), "methane": None, "oxygen": None, "slurry_c": None})
    found = diagnose(bare, earlier, rng=rng)
    assert found["air"].standing == "not known"
    assert found["weak"].standing == "not known"
    assert found["leak"].standing == "unlikely"


def test_evidence_carries_numbers(healthy_run: DigesterRun, earlier: Lives, rng: Rng) -> None:
    log = log_of(healthy_run, gas=lambda day, made: np.where(day > FAULT_DAY, 0.4 * made, made))
    for explanation in diagnose(log, earlier, rng=rng).explanations:
        assert explanation.evidence
        for evidence in explanation.evidence:
            assert re.search(r"\d", evidence.text), evidence.text
            assert np.isfinite(evidence.weight)


def test_explanations_that_do_not_separate_are_named_together(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run, gas=lambda day, made: np.where(day > 25.5, 0.6 * made, made))
    found = diagnose(log, earlier, rng=rng)
    assert len(found.alike) > 1
    assert found.sentence.startswith("What is logged hardly tells these apart")
    # What is only rarer is not called unlikely.
    assert {found[key].standing for key in found.alike} <= {"likely", "possible"}


def test_nothing_read_since_says_nothing(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    log = log_of(healthy_run)
    empty = RunLog(DRUM, CHARGE, today=TODAY, events=log.events)
    found = diagnose(empty, earlier, rng=rng)
    assert found.top.key == "healthy"
    standings = {e.standing for e in found.explanations if e.key not in ("healthy", "spent")}
    assert standings == {"not known"}


def test_lives_that_stand_at_today_are_refused(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    with pytest.raises(InputError) as refused:
        diagnose(log_of(healthy_run).until(SINCE), earlier, rng=rng)
    assert refused.value.field == "earlier"


def test_a_look_ahead_of_no_days_is_refused(
    healthy_run: DigesterRun, earlier: Lives, rng: Rng
) -> None:
    with pytest.raises(InputError) as refused:
        diagnose(log_of(healthy_run), earlier, rng=rng, ahead_days=0.0)
    assert refused.value.field == "days"
