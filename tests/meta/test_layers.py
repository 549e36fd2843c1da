"""The floors import downward only, and the engine touches neither the web nor files."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_every_import_contract_holds() -> None:
    lint_imports = Path(sys.executable).with_name("lint-imports")
    done = subprocess.run(
        [str(lint_imports), "--no-logo", "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_engine_runs_without_django_or_a_database_being_imported() -> None:
    code = (
        "import sys, marshlight.matter, marshlight.apparatus, marshlight.process,"
        " marshlight.measure, marshlight.decide.plan, marshlight.decide.watch\n"
        "heavy = {'django', 'sqlite3', 'socket', 'scipy.optimize', 'typer'} & set(sys.modules)\n"
        "print(sorted(heavy))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
