"""From a run's records to the log that the calibration reads."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from marshlight.answers.analysis import analyse
from marshlight.answers.run_log import run_log_of, strip_step
from marshlight.errors import InputError
from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.recording import record_event, record_reading
from worlds import make_drum

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Person:
    person = Person(name="keeper", role=Person.Role.KEEPER)
    person.save()
    return person


@pytest.fixture
def run(keeper: Person) -> Run:
    """Give the small drum on day 8."""
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    place.save()
    return make_drum(place, keeper)


def _read(run: Run, keeper: Person, kind: str, value: str, day: float, **detail: str) -> None:
    assert run.started_at is not None
    at = run.started_at + timedelta(days=day)
    record_reading(run, kind, value or None, at=at, detail=detail, by=keeper)


def test_the_gas_between_looks_is_the_ledgers(run: Run) -> None:
    analysis = analyse(run)
    log = run_log_of(analysis, 8.0)
    assert log.gas is not None
    assert analysis.ledger is not None
    assert log.gas.gas_m3.sum() == pytest.approx(float(analysis.ledger.cumulative_m3[-1]))
    assert np.all(log.gas.u_m3 > 0.0)
    assert not np.asarray(log.gas.linked)[0]
    assert bool(np.asarray(log.gas.linked)[1:].all())


def test_after_the_holder_was_emptied_a_new_reading_begins(run: Run, keeper: Person) -> None:
    assert run.started_at is not None
    _read(run, keeper, "level", "120 mm", 7.2)
    record_event(run, "holder_emptied", None, at=run.started_at + timedelta(days=7.2), by=keeper)
    _read(run, keeper, "level", "30 mm", 7.8)
    log = run_log_of(analyse(run), 8.0)
    assert log.gas is not None
    linked = np.asarray(log.gas.linked)[log.gas.start_d > 7.1]
    assert not linked[0]


def test_nothing_after_today_is_known(run: Run) -> None:
    log = run_log_of(analyse(run), 4.0)
    assert log.today == 4.0
    assert log.gas is None or float(log.gas.end_d.max()) <= 4.0
    assert all(day <= 4.0 for day, _ in log.flame)
    assert all(event.day <= 4.0 for event in log.events)


def test_a_flame_test_comes_with_its_day_and_outcome(run: Run, keeper: Person) -> None:
    _read(run, keeper, "flame", "", 7.5, answer="holds")
    assert (7.5, "holds") in [(round(d, 6), o) for d, o in run_log_of(analyse(run), 8.0).flame]


def test_shares_come_from_the_analyser_and_from_alkali(run: Run, keeper: Person) -> None:
    _read(run, keeper, "analyser", "58 %", 7.0, carbon_dioxide="38 %", oxygen="0.5 %")
    _read(run, keeper, "co2_absorption", "40 %", 7.5)
    log = run_log_of(analyse(run), 8.0)
    assert log.methane is not None
    assert log.oxygen is not None
    assert log.carbon_dioxide is not None
    assert log.methane.value.tolist() == [pytest.approx(0.58)]
    assert log.carbon_dioxide.value.tolist() == pytest.approx([0.38, 0.40])
    # Oxygen cells are steadier than infrared benches.
    assert log.oxygen.u[0] < log.methane.u[0]


def test_a_titration_gives_alkalinity_and_acids_and_a_lab_the_rest(
    run: Run, keeper: Person
) -> None:
    _read(
        run, keeper, "titration", "", 7.0,
        sample="20 mL", acid_normality="0.1", acid_to_5_0="8.97 mL", acid_to_4_4="9.81 mL",
    )  # fmt: skip
    _read(run, keeper, "lab", "1.2 g/L", 7.2, analyte="TAN")
    log = run_log_of(analyse(run), 8.0)
    assert log.alkalinity is not None
    assert log.acids is not None
    assert log.ammonia is not None
    # A titrator maker's worked example: 2244.5 and 622 mg/L (source `liu_2021` names the method).
    # Acids turned between pH 5.0 and 4.3 come to the total: 0.38 of them, as CaCO3.
    assert log.alkalinity.value[0] == pytest.approx(2.2445 + 0.315 * 0.622, rel=1e-3)
    assert log.acids.value[0] == pytest.approx(0.622, rel=2e-3)
    assert log.ammonia.value[0] == pytest.approx(1.2)


def test_a_strip_is_told_from_a_meter_by_its_steps() -> None:
    assert strip_step([7.0, 7.5, 6.5]) == 0.5
    assert strip_step([7.0, 7.25, 6.75]) == 0.25
    assert strip_step([7.03, 7.25, 6.75]) == 0.1
    assert strip_step([7.0]) == 0.1


def test_a_run_whose_charge_is_not_known_says_so_by_name(keeper: Person) -> None:
    place = Site(name="Bare yard", altitude_m=0.0, time_zone="UTC")
    place.save()
    bare = make_drum(place, keeper)
    analysis = analyse(bare)
    stripped = replace(analysis, records=replace(analysis.records, charges=()))
    with pytest.raises(InputError) as refused:
        run_log_of(stripped, 8.0)
    assert refused.value.field == "charge"


def test_what_is_taken_for_granted_of_the_ph_is_told(run: Run, keeper: Person) -> None:
    for day, value in ((6.2, "7.0"), (6.8, "6.5"), (7.4, "7.5")):
        _read(run, keeper, "ph", value, day)
    analysis = analyse(run)
    log = run_log_of(analysis, 8.0)
    assert log.ph is not None
    assert log.ph.step == 0.5
    assert any("strip with steps of 0.5" in note for note in log.notes)
    unread = replace(analysis, ledger=None, ledger_why_not="The gas holder has not been read yet.")
    assert "not been read" in " ".join(run_log_of(unread, 8.0).notes)
    assert run_log_of(unread, 8.0).gas is None
