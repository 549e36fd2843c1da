"""A night over a thousand invented digesters: two Dask workers, PostgreSQL, one worker killed.

The digesters are copies of the demonstration's drums (logs of some days to some weeks), their
readings moved by a tenth of a percent; all of it is invented. Fewer of them:
``python -m benchmarks.bench_nightly --runs 60 --sample 20``. Stopped with Ctrl-C it gives the
figures it has.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from benchmarks.harness import BenchRow
from tests.postgresql_server import can_start, own_server

DIGESTERS, SAMPLE = 1000, 40
SCRIPT = Path(__file__).parents[1] / "tests" / "fleet_night.py"
Found = Mapping[str, Any]


def rows(digesters: int = DIGESTERS, sample: int = SAMPLE, *more: str) -> Iterator[BenchRow]:
    """Bring the runs up to date in a program and a database of their own."""
    if not can_start():
        print("nightly left out: no PostgreSQL server programs on this machine", file=sys.stderr)
        return
    found = study(digesters, sample, *more)
    if "workers_2" in found:
        yield _scaling(found)
    yield from _diagnosed(found)
    if "killed" in found:
        yield from _killed(found["killed"])
    if "page_ms" in found:
        name = f"list of {digesters:,} digesters"
        yield BenchRow(name, found["page_ms"], "ms", target="under 300 ms")


def _scaling(found: Found) -> BenchRow:
    one, two = found["workers_1"], found["workers_2"]
    return BenchRow(
        f"runs worked out a minute by 2 Dask workers, {two['going']} runs (baseline: 1 worker)",
        two["a_minute"],
        "runs/min",
        one["a_minute"],
        two["a_minute"] / one["a_minute"],
        "1.6 or more",
    )


def _diagnosed(found: Found) -> Iterator[BenchRow]:
    for name, words in (
        ("diagnosed_first", "diagnosed for the first time, weeks before today replayed"),
        ("diagnosed_again", "diagnosed as on every later night"),
    ):
        if name in found and "undiagnosed" in found:
            night, without = found[name], found["undiagnosed"]
            yield BenchRow(
                f"runs worked out a minute, {words} (baseline: without diagnosis)",
                night["a_minute"],
                "runs/min",
                without["a_minute"],
                night["a_minute"] / without["a_minute"],
            )


def _killed(night: Found) -> Iterator[BenchRow]:
    yield BenchRow(
        f"runs worked out a minute on PostgreSQL, {night['worked_out']} runs, one worker killed",
        night["a_minute"],
        "runs/min",
        target="a thousand within a night",
    )
    kept = night["already"] + night["worked_out"]
    yield BenchRow(
        "runs lost by the worker that was killed midway",
        float(night["going"] - kept - night["left"]),
        "runs",
        target="none",
    )
    yield BenchRow(
        "share of a core that reading logs and keeping results takes meanwhile",
        night["own_cpu_s"] / night["took_s"],
        "1",
        target="the rest is free for a third worker and more",
    )


def study(digesters: int, sample: int, *more: str) -> dict[str, Any]:
    """Run the nights; progress goes to the terminal as it comes."""
    with tempfile.TemporaryDirectory() as folder, own_server() as address:
        words = ("--runs", str(digesters), "--sample", str(sample), "--world", "demo", *more)
        running = subprocess.Popen(
            [sys.executable, str(SCRIPT), *words],
            env=os.environ
            | {
                "MARSHLIGHT_DATABASE_URL": address,
                "MARSHLIGHT_NOTEBOOK": str(Path(folder) / "beside"),
                "MARSHLIGHT_AHEAD": "1",
                "DJANGO_SETTINGS_MODULE": "marshlight.server.settings",
                "OPENBLAS_NUM_THREADS": "1",
            },
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            told, _ = running.communicate()
        except KeyboardInterrupt:
            # The terminal stopped the nights as well: they are about to tell what they found.
            told, _ = running.communicate()
    found: dict[str, Any] = json.loads(told.splitlines()[-1])
    print(json.dumps(found), file=sys.stderr, flush=True)
    return {name: night for name, night in found.items() if not _cut_short(name, night)}


def _cut_short(name: str, night: Any) -> bool:
    """Tell whether a night was stopped midway; only the long one says something all the same."""
    return name != "killed" and isinstance(night, dict) and bool(night["cancelled"])


if __name__ == "__main__":
    ask = argparse.ArgumentParser()
    ask.add_argument("--runs", type=int, default=DIGESTERS)
    ask.add_argument("--sample", type=int, default=SAMPLE)
    ask.add_argument("--diagnose-all", action="store_true", help="Diagnose more than the sample.")
    given = ask.parse_args()
    for row in rows(given.runs, given.sample, *["--diagnose-all"] * given.diagnose_all):
        ratio = f"{row.ratio:.3g} of baseline {row.baseline:.4g}" if row.ratio else ""
        print(f"{row.name}: {row.value:.4g} {row.unit} {ratio} {row.target}", flush=True)
