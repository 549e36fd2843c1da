"""A night on PostgreSQL and two Dask workers, one of which is killed midway."""

import json
import os
import subprocess
import sys
from pathlib import Path

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
