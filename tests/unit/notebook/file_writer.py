"""Write into the notebook file named in the environment: readings, or an import cut off by a kill.

Used as its own process by test_file.py.
"""

import os
import signal
import sys
from datetime import UTC, datetime, timedelta

import django

django.setup()

from marshlight.notebook.importing import read_table, suggest_layout, take_in  # noqa: E402
from marshlight.notebook.models import Run  # noqa: E402
from marshlight.notebook.recording import record_reading  # noqa: E402

START = datetime(2026, 4, 2, 8, tzinfo=UTC)


def write(count: int) -> None:
    """Write readings one by one."""
    run = Run.objects.get()
    for n in range(count):
        record_reading(run, "ph", "7.1", at=START + timedelta(minutes=n))


def die_while_importing(rows: int) -> None:
    """Import a log and be killed after the first batch of rows has been written."""
    lines = [f"{START + timedelta(minutes=n):%Y-%m-%d %H:%M},{n % 300}" for n in range(rows)]
    table = read_table(("time,level (mm)\n" + "\n".join(lines) + "\n").encode(), "log.csv")
    reading_the_file = rows // 2000 + 2
    asked = 0

    def killed() -> bool:
        nonlocal asked
        asked += 1
        if asked == reading_the_file + 2:
            os.kill(os.getpid(), signal.SIGKILL)
        return False

    take_in(Run.objects.get(), table, suggest_layout(table), cancelled=killed)


if __name__ == "__main__":
    {"write": write, "die": die_while_importing}[sys.argv[1]](int(sys.argv[2]))
