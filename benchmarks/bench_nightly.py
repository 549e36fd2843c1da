"""A night over a thousand invented digesters: two Dask workers, PostgreSQL, one worker killed.

The digesters are copies of the demonstration's drums (logs of some days to some weeks), their
readings moved by a tenth of a percent; all of it is invented.
"""

import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from benchmarks.harness import BenchRow
from tests.postgresql_server import can_start, own_server

DIGESTERS, SAMPLE = 1000, 60
SCRIPT = Path(__file__).parents[1] / "tests" / "fleet_night.py"


def rows() -> Iterator[BenchRow]:
    """Bring a thousand runs up to date in a program and a database of their own."""
    if not can_start():
        print("nightly left out: no PostgreSQL server programs on this machine", file=sys.stderr)
        return
    found = study(DIGESTERS, SAMPLE)
    one, two, night = found["workers_1"], found["workers_2"], found["killed"]
    yield BenchRow(
        f"runs worked out a minute by 2 Dask workers, {SAMPLE} runs (baseline: 1 worker)",
        two["a_minute"],
        "runs/min",
        one["a_minute"],
        two["a_minute"] / one["a_minute"],
        "1.6 or more",
    )
    yield BenchRow(
        f"runs worked out a minute on PostgreSQL, {night['worked_out']} runs, one worker killed",
        night["a_minute"],
        "runs/min",
        target="a thousand within a night",
    )
    kept = night["already"] + night["worked_out"]
    yield BenchRow(
        "runs lost by the worker that was killed midway",
        float(night["going"] - kept),
        "runs",
        target="none",
    )
    share = night["own_cpu_s"] / night["took_s"]
    yield BenchRow(
        "share of a core that reading logs and keeping results takes meanwhile",
        share,
        "1",
        target="the rest is free for a third worker and more",
    )
    yield BenchRow(
        f"list of {DIGESTERS:,} digesters", found["page_ms"], "ms", target="under 300 ms"
    )


def study(digesters: int, sample: int) -> dict[str, Any]:
    """Run the night; progress goes to the terminal as it comes."""
    with tempfile.TemporaryDirectory() as folder, own_server() as address:
        words = ("--runs", str(digesters), "--sample", str(sample), "--world", "demo")
        done = subprocess.run(
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
            check=True,
        )
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    print(json.dumps(found), file=sys.stderr, flush=True)
    return found
