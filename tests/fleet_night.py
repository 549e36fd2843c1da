"""A night over many invented digesters: run as a program of its own, so that it picks its database.

Prints one JSON line at the end, also if it is stopped; progress goes to the other stream. Used by a
slow test with a few runs and by the benchmark with a thousand.
"""

import argparse
import json
import os
import signal
import sys
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from time import monotonic, process_time
from typing import Any

_SAY_EVERY_S = 10.0


@dataclass
class Nights:
    """What was found so far; a night that was stopped is the last."""

    found: dict[str, Any]
    stopped: bool = False

    def add(self, name: str, night: dict[str, Any]) -> None:
        """Take down one night, and say at once what it showed."""
        self.found[name] = night
        self.stopped = self.stopped or night["cancelled"]
        say(f"{name}: {night['worked_out']} runs, {night['a_minute']:.1f} a minute")


def main(argv: list[str]) -> int:
    """Make the runs, then bring them up to date with one worker, with two, and with one killed."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--runs", type=int, required=True)
    ask.add_argument(
        "--sample", type=int, default=0, help="Runs to compare workers and diagnosis on."
    )
    ask.add_argument("--world", choices=("drum", "demo"), default="drum")
    ask.add_argument("--curves-only", action="store_true", help="Leave the process model out.")
    ask.add_argument("--diagnose-all", action="store_true", help="Diagnose more than the sample.")
    given = ask.parse_args(argv)
    from marshlight.notebook.opening import open_notebook

    open_notebook()
    from django.db import connection

    nights = Nights({"vendor": connection.vendor, "cores": os.cpu_count()})
    try:
        _all_nights(nights, given)
    except KeyboardInterrupt:
        nights.stopped = True
    finally:
        # Whatever stops it, what was found until then is told.
        nights.found["stopped"] = nights.stopped
        print(json.dumps(nights.found), flush=True)
    return 130 if nights.stopped else 0


def _all_nights(nights: Nights, given: argparse.Namespace) -> None:
    by_model = not given.curves_only
    templates = templates_of(given.world)
    if given.sample:
        copy_runs(templates, given.sample - len(templates))
        for count in (1, 2):
            # Both begin with nothing known: lives found before make the next fit quicker.
            forget()
            with _cluster(count) as client:
                nights.add(f"workers_{count}", _night(client, by_model=by_model, again=True))
                if count == 2 and by_model and not nights.stopped:
                    _diagnosed_nights(nights, client)
            if nights.stopped:
                return
    copy_runs(templates, given.runs - max(given.sample, len(templates)))
    with _cluster(2) as client:
        plan = {"by_model": by_model, "diagnosis": given.diagnose_all}
        nights.add("killed", _night(client, **plan, again=False, kill_at=0.5))
    nights.found["page_ms"] = _page_ms()


def _diagnosed_nights(nights: Nights, client: Any) -> None:
    """Diagnose the sample for the first time, then once more, and compare a night without."""
    for name, diagnosis in (
        ("diagnosed_first", True),
        ("diagnosed_again", True),
        ("undiagnosed", False),
    ):
        if not nights.stopped:
            night = _night(client, by_model=True, diagnosis=diagnosis, again=True)
            nights.add(name, night)


def forget() -> None:
    """Throw away all that is kept."""
    from django.core.cache import caches

    from marshlight.answers import keeping

    keeping._kept.clear()
    caches["analyses"].clear()


def say(words: str) -> None:
    """Tell how it goes, beside the figures."""
    print(words, file=sys.stderr, flush=True)


def templates_of(world: str) -> list[Any]:
    """Give the runs that are copied."""
    from django.utils import timezone

    from marshlight.notebook.models import Person, Site

    if world == "demo":
        from marshlight.answers.nightly import going_runs
        from marshlight.demo import load_demo

        load_demo()
        # A year of feeding is a log of its own kind; the drums are what a programme has many of.
        runs = going_runs().filter(started_at__gt=timezone.now() - timedelta(days=120))
        for run in going_runs().exclude(pk__in=[r.pk for r in runs]):
            run.retired = True
            run.save(why="left out of the night")
        return list(runs.order_by("name"))
    from worlds import make_drum

    keeper = Person(name="keeper", role=Person.Role.KEEPER)
    keeper.save()
    site = Site(name="Yard", altitude_m=200.0, room_temperature_c=18.0)
    site.save(by=keeper)
    return [make_drum(site, keeper, f"Drum {n}") for n in (1, 2)]


def copy_runs(templates: list[Any], count: int) -> None:
    """Copy runs with their logs, each reading one tenth of a percent up or down."""
    from marshlight.notebook.bulk import insert_many, write_rows
    from marshlight.notebook.models import Event, Reading, Run

    names = ("at", "kind", "value", "unit", "entered", "detail", "note", "entered_at")
    logs = {
        (run.pk, model): list(
            model.objects.current().filter(run=run).values(*names, "entered_by", "fingerprint")
        )
        for run in templates
        for model in (Event, Reading)
    }
    fields = [f for f in Run._meta.concrete_fields if f.name not in ("id", "name")]
    before = Run.objects.count()
    for n in range(count):
        source = templates[n % len(templates)]
        key = uuid.uuid4()
        same = {f.name: getattr(source, f.attname) for f in fields}
        write_rows(Run, [{"id": key, "name": f"Copy {before + n:05d}"}], same)
        for model in (Event, Reading):
            rows = [dict(row) for row in logs[source.pk, model]]
            for row in rows:
                if model is Reading and row["value"] is not None:
                    row["value"] *= 1.0 + 0.001 * ((n % 3) - 1)
            insert_many(model, rows, {"run": key, "batch": None})


@contextmanager
def _cluster(count: int) -> Iterator[Any]:
    os.environ.setdefault("DASK_LOGGING__DISTRIBUTED", "error")
    from distributed import Client

    from marshlight.answers.workers import _local_cluster

    with _local_cluster(f"local:{count}") as cluster, Client(cluster) as client:
        # A night is long and a program's start is short: neither is to be taken for the other.
        client.run(_know_the_program)
        yield client


def _know_the_program() -> None:
    from marshlight.answers import nightly_parcel

    nightly_parcel._know_the_notebook()
    from marshlight.answers import outlook  # noqa: F401


def _night(
    client: Any,
    *,
    by_model: bool,
    again: bool,
    diagnosis: bool = False,
    kill_at: float | None = None,
) -> dict[str, Any]:
    from django.utils import timezone

    from marshlight.answers.nightly import nightly
    from marshlight.answers.nightly_place import place_to_work

    address = client.scheduler_info()["address"]
    told = Teller(client, kill_at)
    began, cpu = monotonic(), process_time()
    report = nightly(
        timezone.now(),
        place=lambda: place_to_work(address),
        again=again,
        by_model=by_model,
        diagnosis=diagnosis,
        progress=told,
    )
    took = monotonic() - began
    return {
        "took_s": took,
        "by_model": by_model,
        "diagnosis": diagnosis,
        "own_cpu_s": process_time() - cpu,
        "worked_out": report.worked_out,
        "already": report.already,
        "going": report.going,
        "failed": [f.why for f in report.failed],
        "left": report.left,
        "alarms": report.alarms,
        "a_minute": 60.0 * report.worked_out / took,
        "cancelled": report.cancelled,
        "killed": told.killed,
    }


class Teller:
    """Tells progress now and then; at a share of the runs, kills a worker."""

    def __init__(self, client: Any, kill_at: float | None) -> None:
        self.client, self.kill_at = client, kill_at
        self.began, self.said_at, self.first = monotonic(), monotonic(), -1
        self.killed = 0

    def __call__(self, done: int, of: int, what: str) -> None:
        """Take one step."""
        now = monotonic()
        self.first = done if self.first < 0 else self.first
        if now - self.said_at >= _SAY_EVERY_S:
            self.said_at = now
            left = (of - done) * (now - self.began) / max(done - self.first, 1)
            say(f"{done} of {of} after {now - self.began:.0f} s, about {left / 60.0:.1f} min left")
        if self.kill_at is not None and not self.killed and done >= self.kill_at * of:
            victim = next(iter(self.client.run(os.getpid).values()))
            os.kill(victim, signal.SIGKILL)
            self.killed = 1
            say(f"killed a worker after {done} of {of}")


def _page_ms() -> float:
    """Open the list of them all, the quickest of five."""
    from django.conf import settings
    from django.test import Client

    settings.MARSHLIGHT_LOOPBACK = True
    client = Client(SERVER_NAME="localhost")
    took = []
    for _ in range(6):
        began = monotonic()
        assert client.get("/fleet/").status_code == 200
        took.append(1e3 * (monotonic() - began))
    return sorted(took)[len(took) // 2]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
