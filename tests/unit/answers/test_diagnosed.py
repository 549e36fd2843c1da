"""What a diagnosis leaves to the next: since when trouble is suspected, and its lives."""

import pickle
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from django.utils import timezone

from marshlight.answers import diagnosed as subject
from marshlight.answers.diagnosed import Looked, diagnosed, diagnosed_lately, replayed
from marshlight.answers.diagnosis import suspected
from marshlight.decide.watch.calibration import Read, RunLog
from marshlight.notebook.models import Person, Run, Site
from marshlight.process.model import Digester, Holder, inoculum
from worlds import make_drum


class Found:
    """As much of a diagnosis as a row of looks takes up."""

    def __init__(self, day: float, since: float, trouble: float) -> None:
        self.day, self.since, self.trouble = day, since, trouble


class Stood:
    """Lives that only know their day."""

    def __init__(self, day: float) -> None:
        self.day = day


@pytest.fixture
def looks(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[float, float], float]], Any]:
    """Let a rule tell how likely trouble is, by the day of a look and that of its lives."""

    def by(rule: Callable[[float, float], float]) -> list[tuple[float, float]]:
        made: list[tuple[float, float]] = []

        def look(log: RunLog, lives: Stood, *, rng: object) -> Found:
            made.append((log.today, lives.day))
            return Found(log.today, lives.day, rule(log.today, lives.day))

        monkeypatch.setattr(subject, "diagnose", look)
        monkeypatch.setattr(subject, "calibrate", lambda log, **_: Stood(log.today))
        return made

    return by


def log_of(today: float) -> RunLog:
    days = np.arange(0.5, today, 1.0)
    ph = Read(days, np.full(days.size, 7.3), np.full(days.size, 0.1))
    digester = Digester(0.01, Holder("bag", 0.1))
    return RunLog(digester, inoculum("digested cattle manure", 0.006), today=today, ph=ph)


def row(today: float, before: Looked | None = None) -> Looked:
    return replayed(log_of(today), before, rng=np.random.default_rng(1))


def test_where_one_look_back_shows_nothing_no_row_of_looks_is_made(looks: Any) -> None:
    made = looks(lambda today, stood: 0.0)
    assert row(40.0).suspected_since is None
    assert made == [(40.0, 24.0)]


def test_a_trouble_that_began_long_ago_is_dated_by_a_row_of_looks(looks: Any) -> None:
    # From day 28 on; lives that stand later have taken it for the digester's habit.
    made = looks(lambda today, stood: 0.9 if today >= 28.0 > stood else 0.0)
    found = row(40.0)
    assert found.suspected_since == 28.0
    assert found.lives is not None
    assert found.lives.day < 28.0
    assert [day for day, _ in made[1:]] == [19.0, 22.0, 25.0, 28.0, 31.0, 34.0, 37.0]


def test_lives_serve_again_while_they_are_not_too_old(looks: Any) -> None:
    made = looks(lambda today, stood: 0.9 if today == stood + 16.0 else 0.0)
    row(40.0)
    stood = [day for _, day in made[1:]]
    assert stood == [14.0, 14.0, 20.0, 20.0, 26.0, 26.0, 32.0]


def test_only_the_time_since_the_last_look_is_made_up_for(looks: Any) -> None:
    made = looks(lambda today, stood: 0.0)
    row(40.0, Looked(39.0))
    assert made == []
    row(40.0, Looked(32.0, suspected_since=30.0))
    assert [day for day, _ in made] == [35.0, 38.0]


@pytest.fixture
def drum(db: None) -> Run:
    keeper = Person.objects.create(name="keeper", role=Person.Role.KEEPER)
    site = Site.objects.create(name="Yard", altitude_m=200.0, room_temperature_c=18.0, units="us")
    return make_drum(site, keeper)


def test_it_can_be_kept_and_an_alarm_is_heard_for_three_days(drum: Run) -> None:
    now = timezone.now()
    made = diagnosed(drum, now=now)
    assert pickle.loads(pickle.dumps(made)).found == made.found
    assert made.found is not None
    assert made.looked is not None
    assert made.looked.rests_on
    assert diagnosed_lately(drum, now + timedelta(days=2)) == made.found
    assert diagnosed_lately(drum, now + timedelta(days=4)) is None
    assert (suspected(drum, now) is not None) == made.found.alarm


def test_what_failed_leaves_what_the_look_before_left(
    drum: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    from marshlight.errors import FitError

    now = timezone.now()
    before = diagnosed(drum, now=now).looked

    def fails(*_: object, **__: object) -> None:
        raise FitError("no life could be run")

    monkeypatch.setattr(subject, "diagnose", fails)
    drum.vessel.volume_m3 = 0.026
    drum.vessel.save(why="measured again")
    made = diagnosed(drum, now=now)
    assert made.why_not == "no life could be run"
    assert made.looked is not None
    assert before is not None
    assert made.looked.suspected_since == before.suspected_since
    # Its lives were of another vessel.
    assert made.looked.lives is None
