"""Try the installed wheel as a newcomer would: no sources beside it, no development tools."""

import json
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

COMMAND = sys.argv[1]


def marshlight(*words: str) -> str:
    """Run the installed command and give back what it printed."""
    done = subprocess.run([COMMAND, *words], capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"marshlight {' '.join(words)} failed:\n{done.stdout}{done.stderr}")
    return done.stdout


def main() -> None:
    """Set up, log and look; then use the engine on its own."""
    spec = find_spec("marshlight")
    where = Path(spec.origin).parts if spec and spec.origin else ()
    assert "site-packages" in where, "the installed package must be the one that answers"
    assert find_spec("pytest") is None, "the development tools must not be needed"
    marshlight("set-up", "site", "name=Barn", "altitude=640 m")
    marshlight("set-up", "vessel", "name=Drum", "volume=25 L")
    marshlight("set-up", "run", "name=First", "vessel=Drum", "started_at=2026-05-01 08:00")
    kept = json.loads(marshlight("log", "first", "ph", "7.1", "--json"))
    assert kept["record"]["said"] == "7.1"
    assert "stale bread" in marshlight("materials")
    from marshlight.matter import formula, gas_from_formula

    assert abs(gas_from_formula(formula("C6H10O5")).methane_share - 0.5) < 1e-9
    # The compiled process model came with the wheel: no compiler is asked for here.
    from marshlight.process.model import run_published_plant

    assert abs(run_published_plant([0.0, 2000.0])["pH"][-1] - 7.4655377) < 1e-5
    print("the wheel works by itself")


if __name__ == "__main__":
    main()
