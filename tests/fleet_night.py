"""A night over many invented digesters: run as a program of its own, so that it picks its database.

Prints one JSON line at the end; progress goes to the other stream. Used by a slow test with a few
runs and by the benchmark with a thousand.
"""

import argparse
import json
import os
import signal
import sys
import uuid
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from time import monotonic, process_time
from typing import Any


def main(argv: list[str]) -> int:
    """Make the runs, then bring them up to date with one worker, with two, and with one killed."""
    ask = argparse.ArgumentParser()
    ask.add_argument("--runs", type=int, required=True)
    ask.add_argument(
        "--sample", type=int, default=0, help="Runs to compare one and two workers on."
    )
    ask.add_argument("--world", choices=("drum", "demo"), default="drum")
    ask.add_argument("--curves-only", action="store_true", help="Leave the process model out.")
    ask.add_argument("--model-on-sample", action="store_true", help="Fit it to the sample only.")
    given = ask.parse_args(argv)
    from marshlight.notebook.opening import open_notebook

    open_notebook()
    from django.db import connection

    templates = templates_of(given.world)
    found: dict[str, Any] = {"vendor": connection.vendor}
    if given.sample:
        copy_runs(templates, given.sample - len(templates))
        for count in (1, 2):
            with _cluster(count) as client:
                by_model = not given.curves_only
                found[f"workers_{count}"] = _night(client, by_model=by_model, again=True)
    copy_runs(templates, given.runs - max(given.sample, len(templates)))
    with _cluster(2) as client:
        by_model = not (given.curves_only or given.model_on_sample)
        found["killed"] = _night(client, by_model=by_model, again=False, kill_at=0.5)
    found["page_ms"] = _page_ms()
    print(json.dumps(found), flush=True)
    return 0


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
    from distributed import Client, LocalCluster

    with (
        LocalCluster(
            n_workers=count, threads_per_worker=1, processes=True, dashboard_address="127.0.0.1:0"
        ) as cluster,
        Client(cluster) as client,
    ):
        # A night is long and a program's start is short: neither is to be taken for the other.
        client.run(_know_the_program)
        yield client


def _know_the_program() -> None:
    from marshlight.answers import nightly_parcel

    nightly_parcel._know_the_notebook()
    from marshlight.answers import outlook  # noqa: F401


def _night(
    client: Any, *, by_model: bool, again: bool, kill_at: float | None = None
) -> dict[str, Any]:
    from django.utils import timezone

    from marshlight.answers.nightly import nightly
    from marshlight.answers.nightly_place import place_to_work

    address = client.scheduler_info()["address"]
    told = _teller(client, kill_at)
    began, cpu = monotonic(), process_time()
    report = nightly(
        timezone.now(),
        place=lambda: place_to_work(address),
        again=again,
        by_model=by_model,
        progress=told,
    )
    took = monotonic() - began
    return {
        "took_s": took,
        "by_model": by_model,
        "own_cpu_s": process_time() - cpu,
        "worked_out": report.worked_out,
        "already": report.already,
        "going": report.going,
        "failed": [f.why for f in report.failed],
        "left": report.left,
        "a_minute": 60.0 * report.worked_out / took,
        "killed": told.killed,  # type: ignore[attr-defined]
    }


def _teller(client: Any, kill_at: float | None) -> Callable[[int, int, str], None]:
    """Tell progress now and then; at a share of the runs, kill a worker."""
    began = monotonic()

    def tell(done: int, of: int, what: str) -> None:
        if done % max(of // 20, 1) == 0:
            print(f"{done} of {of} after {monotonic() - began:.0f} s", file=sys.stderr, flush=True)
        if kill_at is not None and not tell.killed and done >= kill_at * of:  # type: ignore[attr-defined]
            victim = next(iter(client.run(os.getpid).values()))
            os.kill(victim, signal.SIGKILL)
            tell.killed = 1  # type: ignore[attr-defined]
            print(f"killed a worker after {done} of {of}", file=sys.stderr, flush=True)

    tell.killed = 0  # type: ignore[attr-defined]
    return tell


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
