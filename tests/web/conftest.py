"""Pages under test: a keeper on loopback unless a test says otherwise."""

import pytest
from django.test import Client
from pytest_django import Settings

from marshlight.notebook.models import Person, Run, Site
from marshlight.server.accounts import add_account
from worlds import make_drum

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
    """Give a drum on day 8 with holder levels, a temperature and a flame."""
    return make_drum(site, keeper)
