"""The same notebook, migrations and locks on PostgreSQL, by one setting."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from postgresql_server import can_start, own_server
from unit.notebook.postgresql_round_trip import ROWS

SCRIPT = Path(__file__).with_name("postgresql_round_trip.py")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Give the address of a server of our own."""
    if not can_start():
        pytest.skip("no PostgreSQL server programs, or no psycopg, on this machine")
    with own_server() as started:
        yield started


@pytest.mark.slow
def test_the_notebook_does_on_postgresql_all_that_it_does_in_one_file(address: str) -> None:
    done = subprocess.run(
        [sys.executable, str(SCRIPT)],
        env={
            **os.environ,
            "MARSHLIGHT_DATABASE_URL": address,
            "DJANGO_SETTINGS_MODULE": "marshlight.server.settings",
        },
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["vendor"] == "postgresql"
    assert found["added"] == [ROWS, 0, ROWS]
    assert found["refused"] == [True, True, True]
    assert found["warm"] == ROWS
    assert found["emptied"]
    assert found["identical"]
    assert found["history"] == 2
    assert found["guards_missing"] == []
    assert found["troubles"] == []
    assert found["old_by_its_lot"]
