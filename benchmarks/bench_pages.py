"""Opening pages: a run of 50,000 readings for the first time and again, and the overview."""

import math
from collections.abc import Iterator
from datetime import timedelta
from time import perf_counter

from benchmarks.harness import BenchRow, seconds
from benchmarks.scratch import scratch_notebook

READINGS = 50_000
DAYS = 20.0
AIM = "under 300 ms"
MIX = "/mix/?volume=25&what-1=digester+effluent&have-1=12&what-2=stale+bread&what-3=cattle+slurry"


def rows() -> Iterator[BenchRow]:
    """Measure through the whole stack (address to HTML) in a notebook file of its own."""
    with scratch_notebook():
        yield from _run_rows(_big_run())


def _run_rows(run: object) -> Iterator[BenchRow]:
    from django.conf import settings
    from django.test import Client

    from marshlight.notebook.models import Reading

    settings.MARSHLIGHT_LOOPBACK = True
    client = Client(SERVER_NAME="localhost")
    address = f"/runs/{run.pk}/"  # type: ignore[attr-defined]

    def page(where: str) -> None:
        assert client.get(where).status_code == 200

    def plain() -> int:
        return len(list(Reading.objects.filter(run=run).values_list("at", "value")))

    page("/sources/")  # loads what every page needs
    base = seconds(plain, repeats=3) * 1e3
    first = perf_counter()
    page(address)
    first = (perf_counter() - first) * 1e3
    again = seconds(lambda: page(address)) * 1e3
    name = f"run page of {READINGS:,} readings, %s (baseline: one query of all its values)"
    yield BenchRow(name % "first time", first, "ms", base, first / base, "quickly")
    yield BenchRow(name % "again", again, "ms", base, again / base, AIM)
    over = seconds(lambda: page("/")) * 1e3
    yield BenchRow("overview with that run", over, "ms", base, over / base, AIM)
    others = (
        ("/feedstocks/", "feedstock list"),
        (f"{address}log/", "log choices"),
        (MIX, "mixing, with its answer,"),
    )
    for where, words in others:
        took = seconds(lambda where=where: page(where)) * 1e3  # type: ignore[misc]
        yield BenchRow(f"{words} page", took, "ms", None, None, AIM)


def _big_run() -> object:
    """Fill a run with a counter and a thermometer read every minute or so."""
    from django.utils import timezone

    from marshlight.notebook.models import Holder, Reading, Run, Site, Vessel
    from marshlight.notebook.recording import record_event

    site = Site.objects.create(name="bench", altitude_m=640.0, room_temperature_c=18.0)
    vessel = Vessel.objects.create(name="drum", site=site, volume_m3=0.025)
    holder = Holder.objects.create(
        name="counter", site=site, kind="counter", dimensions={"per_count_m3": 1.0}
    )
    run = Run.objects.create(name="long", site=site, vessel=vessel, holder=holder)
    start = timezone.now() - timedelta(days=DAYS)
    parts = [
        {"feedstock": "digester_effluent", "mass": "10 kg"},
        {"feedstock": "bread_stale", "mass": "0.3 kg"},
    ]
    record_event(run, "charge", at=start, detail={"parts": parts, "water": "5 L"})
    rows = []
    count = READINGS // 2
    for n in range(count):
        day = DAYS * n / count
        gas = 0.05 * -math.expm1(-0.15 * day)
        for kind, value, unit in (
            ("counter", gas, "m3"),
            ("slurry_temperature", 37.0 + 0.3 * math.sin(day * 6.28), "degC"),
        ):
            at = start + timedelta(days=day)
            row = Reading(run=run, at=at, kind=kind, value=value, unit=unit)
            row.first_id = row.id
            rows.append(row)
    Reading.objects.bulk_create(rows, batch_size=2000)
    run.refresh_from_db()
    return run
