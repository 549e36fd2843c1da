"""Pages under test: a keeper on loopback unless a test says otherwise."""

from datetime import timedelta

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import Settings

from marshlight.notebook.models import Heater, Holder, Person, Run, Site, Vessel
from marshlight.notebook.recording import record_event, record_reading
from marshlight.server.accounts import add_account

PASSWORD = "wet-gloves-and-reeds"


@pytest.fixture
def password() -> str:
    """Give the password of every account in these tests."""
    return PASSWORD


@pytest.fixture
def loopback(settings: Settings) -> None:
    """Serve as `serve` does on loopback: no log-in, one keeper."""
    settings.MARSHLIGHT_LOOPBACK = True


@pytest.fixture
def beyond_loopback(settings: Settings) -> None:
    """Serve as `serve` does on a network: a log-in for everything."""
    settings.MARSHLIGHT_LOOPBACK = False


@pytest.fixture
def site(db: None) -> Site:
    """Give a site in metric units."""
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    place.save()
    return place


@pytest.fixture
def keeper(db: None) -> Person:
    """Give the person who writes."""
    person = Person(name="keeper", role=Person.Role.KEEPER)
    person.save()
    return person


@pytest.fixture
def lead(db: None) -> Person:
    """Give a lead with an account."""
    return add_account("lead", PASSWORD, role="lead")


@pytest.fixture
def reader(db: None) -> Person:
    """Give a reader with an account."""
    return add_account("pupil", PASSWORD, role="reader")


@pytest.fixture
def here(loopback: None, keeper: Person) -> Client:
    """Give a browser on the machine that keeps the notebook."""
    return Client()


@pytest.fixture
def away(beyond_loopback: None) -> Client:
    """Give a browser elsewhere, not logged in."""
    return Client()


@pytest.fixture
def run(site: Site, keeper: Person) -> Run:
    """Give a drum on day 8 with daily holder levels, a temperature and a flame."""
    vessel = Vessel(
        name="drum 1",
        site=site,
        shape="cylinder",
        volume_m3=0.025,
        dimensions={"diameter_m": 0.28, "height_m": 0.406},
        insulation_m=0.04,
    )
    holder = Holder(
        name="cylinder 1",
        site=site,
        kind=Holder.Kind.FLOATING,
        dimensions={"bore_m": 0.15, "mass_kg": 0.4, "travel_m": 0.25},
    )
    heater = Heater(name="cable 1", site=site, kind="cable", power_w=40.0, set_point_c=37.0)
    for part in (vessel, holder, heater):
        part.save(by=keeper)
    start = timezone.now() - timedelta(days=8, hours=1)
    made = Run(name="Drum 1", site=site, vessel=vessel, holder=holder, heater=heater)
    made.save(by=keeper)
    parts = [
        {"feedstock": "digester_effluent", "mass": "9 kg"},
        {"feedstock": "bread_stale", "mass": "0.3 kg"},
    ]
    record_event(made, "charge", at=start, detail={"parts": parts, "water": "6 L"}, by=keeper)
    levels = [0, 12, 60, 130, 205, 40, 120, 190]
    for day, level in enumerate(levels):
        if day == 5:
            at = start + timedelta(days=4, hours=1)
            record_event(made, "holder_emptied", "0 mm", at=at, by=keeper)
        record_reading(made, "level", f"{level} mm", at=start + timedelta(days=day), by=keeper)
    record_reading(made, "slurry_temperature", "36.8", at=start + timedelta(days=7), by=keeper)
    record_reading(
        made, "flame", detail={"answer": "holds"}, at=start + timedelta(days=7), by=keeper
    )
    made.refresh_from_db()
    return made
