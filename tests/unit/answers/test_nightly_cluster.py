"""Nights that are disturbed for real: a worker or the whole command is killed midway."""

import json
import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from time import monotonic, sleep

import pytest

from postgresql_server import can_start, own_server

TESTS = Path(__file__).parents[2]
RUNS = 20


@pytest.mark.slow
def test_a_worker_killed_midway_loses_nothing_on_a_cluster_and_postgresql(tmp_path: Path) -> None:
    if not can_start():
        pytest.skip("no PostgreSQL server programs, or no psycopg, on this machine")
    with own_server() as address:
        done = subprocess.run(
            [
                sys.executable,
                str(TESTS / "fleet_night.py"),
                *("--runs", str(RUNS), "--curves-only"),
            ],
            env=os.environ
            | {
                "MARSHLIGHT_DATABASE_URL": address,
                "MARSHLIGHT_NOTEBOOK": str(tmp_path / "beside"),
                "MARSHLIGHT_AHEAD": "1",
                "DJANGO_SETTINGS_MODULE": "marshlight.server.settings",
            },
            capture_output=True,
            text=True,
            check=False,
            timeout=400,
        )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout.splitlines()[-1])
    assert found["vendor"] == "postgresql"
    night = found["killed"]
    assert night["killed"] == 1
    assert (night["going"], night["worked_out"]) == (RUNS, RUNS)
    assert (night["failed"], night["left"]) == ([], 0)


def _kept(notebook: Path) -> int:
    with closing(sqlite3.connect(notebook)) as connection:
        return int(connection.execute("SELECT count(*) FROM notebook_finding").fetchone()[0])


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="a process is killed by a signal")
def test_a_command_killed_midway_goes_on_where_it_was(tmp_path: Path) -> None:
    notebook = tmp_path / "notebook.sqlite3"
    environment = os.environ | {
        "MARSHLIGHT_NOTEBOOK": str(notebook),
        "DJANGO_SETTINGS_MODULE": "marshlight.server.settings",
        "PYTHONPATH": str(TESTS),
    }
    environment.pop("MARSHLIGHT_DATABASE_URL", None)
    environment.pop("MARSHLIGHT_CLUSTER", None)
    fill = (
        "from marshlight.notebook.opening import open_notebook; open_notebook()\n"
        "import fleet_night as night; night.copy_runs(night.templates_of('drum'), 4)"
    )
    subprocess.run([sys.executable, "-c", fill], env=environment, check=True)
    command = [str(Path(sys.executable).with_name("marshlight")), "nightly", "--no-by-model"]
    first = subprocess.Popen(
        command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    began = monotonic()
    while not _kept(notebook) and first.poll() is None and monotonic() - began < 120:
        sleep(0.05)
    first.send_signal(signal.SIGKILL)
    first.wait()
    kept = _kept(notebook)
    assert kept >= 1
    done = subprocess.run(
        [*command, "--json"], env=environment, capture_output=True, text=True, check=True
    )
    report = json.loads(done.stdout)["report"]
    assert (report["already"], report["worked_out"]) == (kept, 6 - kept)
