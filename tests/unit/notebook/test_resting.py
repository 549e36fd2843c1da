"""What was worked out of a run is old once its log or any part of its set-up has changed."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from marshlight.answers.analysis import revision
from marshlight.notebook.models import Feedstock, Finding, Lot, Person, Run, Site, Vessel
from marshlight.notebook.recording import record_event, record_reading
from worlds import make_drum

pytestmark = pytest.mark.django_db
Change = Callable[[Run], Any]


@pytest.fixture
def fed(db: None) -> Run:
    """Make a drum that was fed from a lot of an own material, gathered at another site."""
    keeper = Person.objects.create(name="keeper", role=Person.Role.KEEPER)
    yard = Site.objects.create(name="Yard", altitude_m=200.0, room_temperature_c=18.0)
    meadow = Site.objects.create(name="Far meadow", altitude_m=210.0, room_temperature_c=12.0)
    made = make_drum(yard, keeper)
    straw = Feedstock.objects.create(
        name="chopped straw", key="chopped_straw", based_on="straw_wheat"
    )
    lot = Lot.objects.create(name="stack 1", site=meadow, feedstock=straw)
    parts = [{"lot": str(lot.pk), "mass": "0.2 kg"}]
    record_event(made, "feed", detail={"parts": parts}, by=keeper)
    return made


def keep(run: Run) -> str:
    """Keep a finding of a run as it stands."""
    state = revision(run)
    defaults = {"rests_on": state, "worked_at": timezone.now(), "rank": 100, "state": "steady"}
    Finding.objects.update_or_create(run=run, defaults=defaults)
    return state


def again(run: Run) -> Run:
    return Run.objects.select_related("site", "vessel", "holder", "heater").get(pk=run.pk)


def saved(record: Any, **changes: object) -> None:
    for name, value in changes.items():
        setattr(record, name, value)
    record.save(why="measured again")


def another_vessel(run: Run) -> None:
    made = Vessel.objects.create(name="drum 2", site=run.site, volume_m3=0.03)
    saved(run, vessel=made)


CHANGES: dict[str, Change] = {
    "the vessel's size": lambda run: saved(run.vessel, volume_m3=0.024),
    "the holder's bore": lambda run: saved(run.holder, dimensions={"bore_m": 0.16}),
    "the heater's set point": lambda run: saved(run.heater, set_point_c=35.0),
    "the site's height": lambda run: saved(run.site, altitude_m=900.0),
    "the site's clock": lambda run: saved(run.site, time_zone="Europe/Paris"),
    "the room's warmth": lambda run: saved(run.site, room_low_c=5.0),
    "the run's own facts": lambda run: saved(run, feed_temperature_c=12.0),
    "another vessel": another_vessel,
    "no heater any more": lambda run: saved(run, heater=None),
    "a lot that went in": lambda run: saved(Lot.objects.get(), water_lost=0.2),
    "a material that went in": lambda run: saved(
        Feedstock.objects.get(), properties={"total_solids": {"value": 0.9}}
    ),
    "the warmth where a lot lay": lambda run: saved(
        Site.objects.get(name="Far meadow"), room_temperature_c=25.0
    ),
    "a reading": lambda run: record_reading(run, "ph", "7.1"),
    "something done": lambda run: record_event(run, "draw_off", "1 L"),
}

OTHERS: dict[str, Change] = {
    "the units its readers like": lambda run: saved(run.site, units="us"),
    "what the notes say of another site": lambda run: saved(
        Site.objects.get(name="Far meadow"), notes="by the river"
    ),
    "a lot that never went in": lambda run: saved(
        Lot.objects.create(name="stack 2", site=run.site, library_key="straw_wheat"),
        water_lost=0.1,
    ),
    "a material that never went in": lambda run: saved(
        Feedstock.objects.create(name="hay", key="own_hay", based_on="straw_wheat"), notes="dry"
    ),
    "a vessel of another run": lambda run: saved(
        Vessel.objects.create(name="drum 9", site=run.site, volume_m3=0.03), volume_m3=0.02
    ),
    "who keeps it": lambda run: saved(Person.objects.get(), name="somebody"),
}


@pytest.mark.parametrize("what", CHANGES)
def test_a_change_makes_what_was_kept_old_at_once(fed: Run, what: str) -> None:
    before = keep(fed)
    CHANGES[what](fed)
    assert revision(again(fed)) != before
    assert Finding.objects.get(run=fed).rests_on == ""


@pytest.mark.parametrize("what", OTHERS)
def test_what_it_does_not_rest_on_leaves_it_fresh(fed: Run, what: str) -> None:
    before = keep(fed)
    OTHERS[what](fed)
    assert revision(again(fed)) == before
    assert Finding.objects.get(run=fed).rests_on == before


def test_saving_a_record_unchanged_makes_nothing_old(fed: Run) -> None:
    before = keep(fed)
    fed.vessel.save()
    assert Finding.objects.get(run=fed).rests_on == before == revision(again(fed))


def test_two_runs_in_the_same_vessel_are_both_old_when_it_changes(fed: Run) -> None:
    other = Run.objects.create(name="Drum 1 again", site=fed.site, vessel=fed.vessel)
    keep(fed)
    keep(other)
    saved(fed.vessel, volume_m3=0.024)
    assert set(Finding.objects.values_list("rests_on", flat=True)) == {""}


def test_the_state_up_to_a_day_changes_with_nothing_that_came_later(fed: Run) -> None:
    until = timezone.now() - timedelta(days=4)
    before = revision(fed, until=until)
    record_reading(fed, "ph", "7.1", at=until + timedelta(days=1))
    assert revision(fed, until=until) == before
    record_reading(fed, "ph", "7.2", at=until - timedelta(hours=1))
    assert revision(fed, until=until) != before
