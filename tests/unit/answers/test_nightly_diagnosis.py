"""What may be wrong is worked out in the night: pages, list and advice have it in the morning."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from marshlight.answers import analysis, keeping
from marshlight.answers import diagnosed as diagnosed_module
from marshlight.answers.advice import answer_advice
from marshlight.answers.advice_change import look_at_advice
from marshlight.answers.analysis import analyse, revision
from marshlight.answers.assessment import assess_run
from marshlight.answers.diagnosis import diagnosis_of, diagnosis_ready
from marshlight.answers.fleet_finding import FIRST_VISITS, keep_finding, rank_of
from marshlight.answers.foreseen import Foreseen
from marshlight.answers.outlook import outlook_ready
from marshlight.answers.state import State
from marshlight.decide.watch.diagnosis import ALARM, Diagnosis
from marshlight.notebook.models import Finding, Person, Run, Site
from marshlight.notebook.recording import record_reading
from nights import go
from worlds import make_drum


@pytest.fixture
def one(db: None, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Give a drum whose curves are left out, which these tests would only wait for."""
    monkeypatch.setattr(analysis, "engine_mark", lambda: "the engine")
    none = Foreseen(None, why_not="left out of this test")
    monkeypatch.setattr(analysis, "foresee", lambda *given, **more: none)
    keeper = Person.objects.create(name="keeper", role=Person.Role.KEEPER)
    site = Site.objects.create(name="Yard", altitude_m=200.0, room_temperature_c=18.0)
    return make_drum(site, keeper)


def saying(monkeypatch: pytest.MonkeyPatch, *, leak: float, sours: float = 0.01) -> None:
    """Let every diagnosis name a leak as likely as this, and that risk of souring."""
    real = diagnosed_module.diagnose

    def said(*given: Any, **more: Any) -> Diagnosis:
        found = real(*given, **more)
        first = sorted(found.explanations, key=lambda e: e.key != "leak")
        named = (replace(first[0], probability=leak), *first[1:])
        risk = replace(found.souring, either=sours)
        changes = {"explanations": named, "trouble": leak, "alarm": leak >= ALARM}
        return replace(found, souring=risk, **changes)

    monkeypatch.setattr(diagnosed_module, "diagnose", said)


def test_the_diagnosis_is_ready_in_the_morning_and_the_page_does_not_work_it_out_again(
    one: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = timezone.now()
    assert go(now=now, by_model=True, diagnosis=False).worked_out == 1
    assert diagnosis_ready(one) is None
    # A night without it leaves it to the next.
    assert go(now=now, by_model=True).worked_out == 1
    assert go(now=now, by_model=True).already == 1
    for system in ("metric", "us"):
        ready = diagnosis_ready(one, system=system)
        assert ready is not None
        assert ready.fresh
    own = diagnosis_of(one, now=now)
    keeping._kept.clear()
    assert diagnosis_of(one, now=now).lines == own.lines
    monkeypatch.setattr(diagnosed_module, "diagnose", None)
    assert diagnosis_of(one, now=now).lines == own.lines


def test_an_alarm_is_counted_and_brings_its_run_forward(
    one: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    go()
    calm = Finding.objects.get(run=one).rank
    saying(monkeypatch, leak=0.9)
    report = go(by_model=True, again=True)
    assert report.alarms == 1
    assert "1 raises an alarm" in report.sentence
    found = Finding.objects.get(run=one)
    assert found.rank < min(calm, FIRST_VISITS)
    assert found.said["urgent"]
    assert "90 %" in found.said["feared"]
    assert any(a.key == "settle_suspicion" for a in assessed(one).advice)
    # A test that was made is no reason for a visit any more.
    look_at_advice(one, assessed(one), timezone.now())
    answer_advice(one, "settle_suspicion", "done")
    keep_finding(one, analyse(one), timezone.now(), rests_on=revision(one))
    assert "90 %" not in Finding.objects.get(run=one).said["feared"]


def test_a_risk_of_souring_brings_its_run_forward_behind_those_in_trouble(
    one: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    saying(monkeypatch, leak=0.05, sours=0.4)
    report = go(by_model=True)
    found = Finding.objects.get(run=one)
    assert report.alarms == 0
    assert "sour within 10 days (40 %)" in found.said["feared"]
    assert rank_of(State("stalled"), urgent=True) < found.rank
    assert found.rank < rank_of(State("steady"), urgent=True)


def test_the_night_after_stands_on_the_lives_of_the_night_before(
    one: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    saying(monkeypatch, leak=0.05)
    now = timezone.now()
    go(now=now, by_model=True)
    fitted: list[float] = []
    real = diagnosed_module.calibrate

    def counted(log: Any, **more: Any) -> Any:
        fitted.append(log.today)
        return real(log, **more)

    monkeypatch.setattr(diagnosed_module, "calibrate", counted)
    later = now + timedelta(days=1)
    go(now=later, by_model=True)
    assert fitted == []
    # What is written of the days before those lives discards them.
    record_reading(one, "ph", "7.2", at=now - timedelta(days=7))
    go(now=later, by_model=True)
    assert len(fitted) == 1


def test_a_change_of_set_up_makes_all_that_was_kept_of_a_run_old_at_once(one: Run) -> None:
    go(by_model=True)
    assert go(by_model=True).already == 1
    one.vessel.volume_m3 = 0.026
    one.vessel.save(why="measured again")
    run = Run.objects.select_related("site").get(pk=one.pk)
    for kept in (outlook_ready(run), diagnosis_ready(run)):
        assert kept is not None
        assert not kept.fresh
    assert Finding.objects.get(run=one).rests_on == ""
    assert go(by_model=True).worked_out == 1


def assessed(run: Run) -> Any:
    return assess_run(analyse(run), timezone.now(), system="metric")
