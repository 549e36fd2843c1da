"""Taking in 100,000 readings, and opening a run of 50,000, against saving and loading objects."""

import os
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter

from benchmarks.harness import BenchRow

START = datetime(2026, 1, 1, tzinfo=UTC)
READINGS = 100_000
SAMPLE = 1_000
OPENED = 50_000


def rows() -> Iterator[BenchRow]:
    """Measure in a notebook file of its own, with the safe settings of every notebook."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["MARSHLIGHT_NOTEBOOK"] = str(Path(folder) / "notebook.sqlite3")
        os.environ.pop("MARSHLIGHT_DATABASE_URL", None)
        import django
        from django.core.management import call_command
        from django.db import connections

        django.setup()
        call_command("migrate", verbosity=0)
        try:
            yield _import_row()
            yield _again_row()
            yield _open_row()
            yield from _archive_rows()
        finally:
            connections.close_all()


def _timed(action: Callable[[], object]) -> float:
    begin = perf_counter()
    action()
    return perf_counter() - begin


def _run(name: str) -> object:
    from marshlight.notebook.models import Run, Site, Vessel

    site = Site.objects.create(name=name, altitude_m=640.0)
    vessel = Vessel.objects.create(name=name, site=site, volume_m3=0.025)
    return Run.objects.create(name=name, site=site, vessel=vessel, started_at=START)


def _log(readings: int) -> bytes:
    """Write a logger's file with two readings a row."""
    lines = ["time,level (mm),slurry temperature (C)"]
    for n in range(readings // 2):
        at = START + timedelta(minutes=5 * n)
        lines.append(f"{at:%Y-%m-%d %H:%M},{n % 300}.5,{36 + n % 10 / 10:.1f}")
    return "\n".join(lines).encode()


def _take(run: object, data: bytes) -> int:
    from marshlight.notebook.importing import read_table, suggest_layout, take_in

    table = read_table(data, "log.csv")
    return take_in(run, table, suggest_layout(table)).added  # type: ignore[arg-type]


def _save_one_by_one(run: object) -> None:
    """Save one object after the other, all in one transaction and without any check."""
    from django.db import transaction

    from marshlight.notebook.models import Reading

    with transaction.atomic():
        for n in range(SAMPLE):
            at = START + timedelta(minutes=5 * n)
            value = (n % 300) / 1000.0
            Reading.objects.create(run=run, at=at, kind="level", value=value, unit="mm")


def _import_row() -> BenchRow:
    data, run = _log(READINGS), _run("imported")
    took = _timed(lambda: _take(run, data))
    naive = _run("one by one")
    baseline = _timed(lambda: _save_one_by_one(naive)) / SAMPLE * READINGS
    name = f"import of {READINGS:,} readings from CSV (baseline: {SAMPLE:,} saved singly, scaled)"
    return BenchRow(name, took, "s", baseline, took / baseline, "seconds, not minutes")


def _again_row() -> BenchRow:
    from marshlight.notebook.models import Run

    data, run = _log(READINGS), Run.objects.get(name="imported")
    took = _timed(lambda: _take(run, data))
    return BenchRow("the same file again, nothing added", took, "s", None, None, "no slower")


def _open_row() -> BenchRow:
    from marshlight.notebook.bridge import run_facts
    from marshlight.notebook.models import Reading

    run = _run("opened")
    _take(run, _log(OPENED))
    run_facts(run)  # type: ignore[arg-type]
    ours = min(_timed(lambda: run_facts(run)) for _ in range(3))  # type: ignore[arg-type]
    objects = min(_timed(lambda: list(Reading.objects.current().filter(run=run))) for _ in range(3))
    name = f"a run's facts from {OPENED:,} readings (baseline: loading them as objects)"
    return BenchRow(name, ours, "s", objects, ours / objects, "under 0.5 s")


def _archive_rows() -> Iterator[BenchRow]:
    import io

    from django.core.management import call_command

    from marshlight.notebook.archive import restore, write_archive
    from marshlight.notebook.models import Reading

    count = Reading.objects.count()
    target = io.BytesIO()
    yield BenchRow(f"archive of {count:,} readings", _timed(lambda: write_archive(target)), "s")
    call_command("flush", interactive=False, verbosity=0)
    yield BenchRow(f"restoring {count:,} readings", _timed(lambda: restore(target)), "s")
