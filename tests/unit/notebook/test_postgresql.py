"""The same notebook, migrations and locks on PostgreSQL, by one setting."""

import importlib.util
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from unit.notebook.postgresql_round_trip import ROWS

SCRIPT = Path(__file__).with_name("postgresql_round_trip.py")


def _server_programs() -> Path | None:
    """Find the folder of the newest server, which Debian keeps out of PATH."""
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    found = installed[-1] if installed else (Path(on_path) if on_path else None)
    return found.resolve().parent if found else None


def _other_user() -> str | None:
    """Name a user to run the server as, which refuses to run as root."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return None
    import pwd

    names = {entry.pw_name for entry in pwd.getpwall()}
    return next(name for name in ("postgres", "nobody") if name in names)


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Start a server of our own in a folder of its own; stop it and remove it afterwards."""
    programs = _server_programs()
    if programs is None or importlib.util.find_spec("psycopg") is None:
        pytest.skip("no PostgreSQL server programs, or no psycopg, on this machine")
    folder = Path(tempfile.mkdtemp(prefix="marshlight-pg-"))
    user = _other_user()
    as_user = ["runuser", "-u", user, "--"] if user else []
    if user:
        shutil.chown(folder, user)
    data = str(folder / "data")

    def server(program: str, *words: str) -> None:
        command = [*as_user, str(programs / program), "-D", data, *words]
        done = subprocess.run(
            command, cwd=folder, capture_output=True, text=True, check=False, timeout=120
        )
        assert done.returncode == 0, done.stdout + done.stderr

    try:
        server("initdb", "-U", "keeper", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
        options = f"-c listen_addresses='' -c unix_socket_directories='{folder}' -c fsync=off"
        server("pg_ctl", "-w", "-l", str(folder / "log"), "-o", options, "start")
        try:
            yield f"postgresql://keeper@/postgres?host={folder}"
        finally:
            server("pg_ctl", "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder)


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
