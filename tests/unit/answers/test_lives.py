"""A run's lives: fitted once for every revision of its log."""

from datetime import timedelta

import pytest
from django.utils import timezone

from marshlight.answers.lives import lives_of_run, lives_ready
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
    assert lives_ready(run) == (first, True)
    record_reading(run, "ph", "7.1", at=now - timedelta(hours=1), by=keeper)
    ready = lives_ready(run)
    assert ready is not None
    assert ready[0] is first
    assert not ready[1]
    second = lives_of_run(run, now=now)
    assert second is not first
    assert second.log is not None
    assert second.log.ph is not None
    # What was found before is where the new search starts: it needs fewer runs of the model.
    assert second.lives is not None
    assert second.lives.quality.runs <= first.lives.quality.runs


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
