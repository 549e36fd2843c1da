"""A small bench: one site, one drum, one floating cylinder, one run and two people."""

from datetime import UTC, date, datetime, timedelta

import pytest

from marshlight.notebook.importing import read_table, suggest_layout, take_in
from marshlight.notebook.models import (
    Feedstock,
    Heater,
    Holder,
    Lot,
    Person,
    Run,
    Site,
    Trial,
    TrialBottle,
    Vessel,
)
from marshlight.notebook.recording import correct, record_event, record_reading, retract

START = datetime(2026, 4, 1, 8, tzinfo=UTC)


def day(days: float) -> datetime:
    """Give the time so many days after the run's start."""
    return START + timedelta(days=days)


@pytest.fixture
def site(db: None) -> Site:
    return Site.objects.create(
        name="Bench", altitude_m=640.0, time_zone="Europe/Paris", room_low_c=10.0, room_high_c=22.0
    )


@pytest.fixture
def keeper(db: None) -> Person:
    return Person.objects.create(name="keeper", role=Person.Role.KEEPER)


@pytest.fixture
def drum(site: Site) -> Vessel:
    return Vessel.objects.create(name="Drum 1", site=site, volume_m3=0.025)


@pytest.fixture
def cylinder(site: Site) -> Holder:
    return Holder.objects.create(
        name="Cylinder 1",
        site=site,
        kind=Holder.Kind.FLOATING,
        dimensions={"bore_m": 0.15, "mass_kg": 0.4, "travel_m": 0.3},
    )


@pytest.fixture
def run(site: Site, drum: Vessel, cylinder: Holder) -> Run:
    return Run.objects.create(
        name="Goat 1", site=site, vessel=drum, holder=cylinder, started_at=START
    )


@pytest.fixture
def own_mash(db: None) -> Feedstock:
    return Feedstock.objects.create(
        name="Acorn mash",
        key="acorn_mash",
        properties={"TS": {"value": 0.4}, "VS": {"value": 0.97, "low": 0.95, "high": 0.98}},
        cautions=["Bitter."],
    )


@pytest.fixture
def manure(site: Site) -> Lot:
    return Lot.objects.create(
        name="Goat manure, 30 March",
        site=site,
        library_key="goat_manure",
        gathered_on=date(2026, 3, 30),
        storage_temperature_c=12.0,
        amount_kg=40.0,
        measured={"TS": {"value": 0.28, "low": 0.27, "high": 0.29, "source": "measured_by_user"}},
    )


@pytest.fixture
def full(run: Run, keeper: Person, own_mash: Feedstock, manure: Lot) -> Run:
    """Give a run in a notebook that holds something of every kind, corrections included."""
    Heater.objects.create(name="Cable", site=run.site, kind="cable", power_w=30.0)
    mash = Lot(name="Mash", site=run.site, feedstock=own_mash, amount_kg=3.0)
    mash.save(by=keeper)
    mash.amount_kg = 2.5
    mash.save(by=keeper, why="weighed again")
    parts = [{"lot": manure.pk, "mass": "5 kg"}, {"lot": mash.pk, "mass": "1 lb"}]
    record_event(run, "charge", detail={"parts": parts, "water": "11 L"}, at=day(0), by=keeper)
    for days, level in ((1, 30), (2, 80), (3, 150), (4, 250)):
        record_reading(run, "level", level, at=day(days), by=keeper)
        record_reading(run, "gas_temperature", "64 F", at=day(days), by=keeper)
    record_event(run, "holder_emptied", "0 mm", at=day(4.01))
    wrong = record_reading(run, "level", "19 mm", at=day(5)).record
    correct(wrong, value="91 mm", reason="digits swapped", by=keeper)
    other = record_reading(run, "ph", "4.2", at=day(5)).record
    retract(other, reason="the other drum", by=keeper)
    record_reading(run, "flame", detail={"answer": "holds"}, at=day(5), note="=blue")
    put_off = {"advice": "feed_less", "until": "tomorrow"}
    record_event(run, "advice_put_off", detail=put_off, at=day(5), by=keeper)
    trial = Trial(name="Mash or manure", site=run.site, ratio=2.0)
    trial.save(by=keeper)
    bottle = TrialBottle(name="blank 1", trial=trial, run=run, role="blank", inoculum_kg=0.4)
    bottle.save(by=keeper)
    log = read_table(b"time,slurry temperature (C)\n2026-04-02 08:00,36.4\n", "log.csv")
    take_in(run, log, suggest_layout(log, zone="Europe/Paris"), by=keeper)
    return run
