"""Run the notebook against the PostgreSQL named in the environment and print what was found."""

import io
import json
import sys
import time
from datetime import UTC, date, datetime

import django
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

django.setup()

from marshlight.notebook import guards  # noqa: E402
from marshlight.notebook.archive import TABLES, restore, write_archive  # noqa: E402
from marshlight.notebook.bridge import run_facts  # noqa: E402
from marshlight.notebook.health import troubles  # noqa: E402
from marshlight.notebook.importing import read_table, suggest_layout, take_in  # noqa: E402
from marshlight.notebook.models import Finding, Lot, Person, Reading, Run, Site, Vessel  # noqa: E402
from marshlight.notebook.plain import to_plain  # noqa: E402
from marshlight.notebook.recording import correct, history, record_event  # noqa: E402

ROWS = 5000


def _refused(sql: str) -> bool:
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(sql)
    except DatabaseError as error:
        return "keeps what was written" in str(error)
    return False


def _everything() -> dict[str, list[object]]:
    return {
        name: [to_plain(row) for row in model._base_manager.order_by("pk")]
        for name, model in TABLES.items()
    }


def _fill() -> Run:
    site = Site.objects.create(name="Bench", altitude_m=640.0)
    Person.objects.create(name="keeper")
    vessel = Vessel.objects.create(name="Drum", site=site, volume_m3=0.025)
    lot = Lot.objects.create(
        name="Goat", site=site, library_key="goat_manure", gathered_on=date(2026, 3, 31)
    )
    start = datetime(2026, 4, 1, 8, tzinfo=UTC)
    run = Run.objects.create(name="Goat 1", site=site, vessel=vessel)
    parts = [{"lot": lot.pk, "mass": "5 kg"}]
    record_event(run, "charge", detail={"parts": parts, "water": "11 L"}, at=start)
    run.refresh_from_db()
    return run


def _old_by_its_lot(run: Run) -> bool:
    """Say whether a change of what went into a run makes what was made of it old."""
    now = datetime.now(UTC)
    Finding.objects.create(run=run, rests_on="a state", worked_at=now, rank=1, state="steady")
    lot = Lot.objects.get()
    lot.water_lost = 0.1
    lot.save(why="weighed")
    return Finding.objects.get().rests_on == ""


def main() -> None:
    """Migrate, write, correct, import, archive, restore; say what came of it."""
    call_command("migrate", verbosity=0)
    run = _fill()
    minutes = (f"2026-04-{2 + n // 1440:02d} {n // 60 % 24:02d}:{n % 60:02d}" for n in range(ROWS))
    lines = [f"{when},{30 + n / 1000:.3f}" for n, when in enumerate(minutes)]
    text = "time,slurry temperature (C)\n" + "\n".join(lines) + "\n"
    table = read_table(text.encode(), "log.csv")
    began = time.perf_counter()
    first, second = (take_in(run, table, suggest_layout(table)) for _ in range(2))
    took = time.perf_counter() - began
    row = Reading.objects.order_by("at").first()
    correct(row, value="31", reason="misread")
    old_by_its_lot = _old_by_its_lot(run)
    before, target = _everything(), io.BytesIO()
    write_archive(target)
    refused = [
        _refused("UPDATE notebook_reading SET value = 1"),
        _refused("DELETE FROM notebook_reading"),
        _refused("DELETE FROM notebook_site"),
    ]
    facts = run_facts(run)
    call_command("flush", interactive=False, verbosity=0)
    empty = not any(_everything().values())
    restore(target)
    found = {
        "vendor": connection.vendor,
        "version": connection.pg_version,
        "added": [first.added, second.added, second.already_kept],
        "import_seconds": took,
        "refused": refused,
        "warm": int(facts.series["slurry_temperature"].value.size),
        "emptied": empty,
        "identical": _everything() == before,
        "history": len(history(row)),
        "guards_missing": guards.missing(connection),
        "troubles": troubles(),
        "old_by_its_lot": old_by_its_lot,
    }
    json.dump(found, sys.stdout)


if __name__ == "__main__":
    main()
