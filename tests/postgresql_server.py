"""A PostgreSQL server of our own, in a folder of its own, for tests and benchmarks."""

import importlib.util
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def server_programs() -> Path | None:
    """Find the folder of the newest server, which Debian keeps out of PATH."""
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    found = installed[-1] if installed else (Path(on_path) if on_path else None)
    return found.resolve().parent if found else None


def can_start() -> bool:
    """Say whether the server's programs and the driver are on this machine."""
    return server_programs() is not None and importlib.util.find_spec("psycopg") is not None


def _other_user() -> str | None:
    """Name a user to run the server as, which refuses to run as root."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return None
    import pwd

    names = {entry.pw_name for entry in pwd.getpwall()}
    return next(name for name in ("postgres", "nobody") if name in names)


@contextmanager
def own_server() -> Iterator[str]:
    """Start a server, give its address, then stop it and remove its folder."""
    programs = server_programs()
    assert programs is not None, "no PostgreSQL server programs on this machine"
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
