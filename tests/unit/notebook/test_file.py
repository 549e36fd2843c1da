"""One notebook file under several writers and under a sudden end."""

import os
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("file_writer.py")
_SET_UP = """
import django; django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from marshlight.notebook.models import Run, Site, Vessel
site = Site.objects.create(name="Bench")
vessel = Vessel.objects.create(name="Drum", site=site, volume_m3=0.025)
Run.objects.create(name="Goat 1", site=site, vessel=vessel)
"""

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="no sudden kill to send here"),
]


def _start(notebook: Path, *words: str) -> "subprocess.Popen[str]":
    kept = {k: v for k, v in os.environ.items() if k != "MARSHLIGHT_DATABASE_URL"}
    setting = {"DJANGO_SETTINGS_MODULE": "marshlight.server.settings"}
    return subprocess.Popen(
        [sys.executable, *words],
        env={**kept, **setting, "MARSHLIGHT_NOTEBOOK": str(notebook)},
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture
def notebook(tmp_path: Path) -> Path:
    """Give a new notebook file with one run."""
    path = tmp_path / "notebook.sqlite3"
    process = _start(path, "-c", _SET_UP)
    _, errors = process.communicate(timeout=60)
    assert process.returncode == 0, errors
    return path


def _asked(notebook: Path, sql: str) -> object:
    with closing(sqlite3.connect(notebook)) as connection:
        return connection.execute(sql).fetchone()[0]


def test_several_writers_at_once_lose_nothing(notebook: Path) -> None:
    writers = [_start(notebook, str(SCRIPT), "write", "40") for _ in range(3)]
    errors = [writer.communicate(timeout=120)[1] for writer in writers]
    assert [w.returncode for w in writers] == [0, 0, 0], errors
    assert _asked(notebook, "SELECT count(*) FROM notebook_reading") == 120
    assert _asked(notebook, "PRAGMA integrity_check") == "ok"


def test_an_import_that_is_killed_half_way_leaves_nothing_behind(notebook: Path) -> None:
    importer = _start(notebook, str(SCRIPT), "die", "20000")
    importer.communicate(timeout=120)
    assert importer.returncode == -signal.SIGKILL
    assert _asked(notebook, "SELECT count(*) FROM notebook_reading") == 0
    assert _asked(notebook, "SELECT count(*) FROM notebook_importbatch") == 0
    assert _asked(notebook, "PRAGMA integrity_check") == "ok"
