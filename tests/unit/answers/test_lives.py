"""A run's lives: fitted once for every revision of its log."""

from datetime import timedelta

import pytest
from django.utils import timezone

from marshlight.answers.analysis import analyse
from marshlight.answers.keeping import Ready
from marshlight.answers.lives import fit_lives, lives_of_run, lives_ready, taught_by
from marshlight.notebook.models import Person, Run, Site, Vessel
from marshlight.notebook.recording import record_reading
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


def test_lives_are_fitted_once_and_anew_only_after_a_new_record(run: Run, keeper: Person) -> None:
    now = timezone.now()
    assert lives_ready(run) is None
    first = lives_of_run(run, now=now)
    assert first.lives is not None
    assert len(first.lives) >= 100
    assert lives_of_run(run, now=now) is first
    assert lives_ready(run) == Ready(first, fresh=True)
    record_reading(run, "ph", "7.1", at=now - timedelta(hours=1), by=keeper)
    ready = lives_ready(run)
    assert ready is not None
    assert ready.thing is first
    assert not ready.fresh
    second = lives_of_run(run, now=now)
    assert second is not first
    assert second.log is not None
    assert second.log.ph is not None
    assert second.lives is not None
    assert second.lives.quality.trusted


def test_a_run_that_the_model_cannot_follow_says_why(keeper: Person) -> None:
    place = Site(name="Bare yard", altitude_m=0.0, time_zone="UTC")
    place.save()
    vessel = Vessel(name="bucket", site=place, volume_m3=0.02)
    vessel.save(by=keeper)
    bare = Run(name="Bare", site=place, vessel=vessel, started_at=timezone.now())
    bare.save(by=keeper)
    found = lives_of_run(bare, now=timezone.now())
    assert found.lives is None
    assert found.why_not


def test_a_run_that_ended_here_teaches_the_next_one(run: Run, keeper: Person) -> None:
    now = timezone.now()
    first = lives_of_run(run, now=now)
    assert first.lives is not None
    assert first.log is not None
    assert not any("learnt" in note for note in first.log.notes)
    run.ended_at = now - timedelta(hours=1)
    run.save()
    later = make_drum(run.site, keeper, name="Drum 2")
    # It began eight days ago, before the other ended: it has nothing to learn yet.
    assert taught_by(later) == ()
    later.started_at = now - timedelta(minutes=30)
    assert [name for name, _ in taught_by(later)] == ["Drum 1"]
    taught = fit_lives(analyse(later), None, taught=taught_by(later), now=now, seed="x")
    assert taught.log is not None
    assert "Beliefs beforehand learnt from: Drum 1." in taught.log.notes
