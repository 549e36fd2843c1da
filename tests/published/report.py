"""Print every outside check and write build/checks.json (``make checks``)."""

import json
import sys
from pathlib import Path

import django
from rich.console import Console
from rich.table import Table

from published.harness import Check, all_checks


def as_row(stem: str, check: Check) -> dict[str, object]:
    """Give one row as build/checks.json holds it."""
    ours, passed = check.outcome()
    return {
        "file": stem,
        "subject": check.subject,
        "source": check.source,
        "status": check.status,
        "published": float(check.published),
        "ours": ours,
        "tolerance": float(check.tolerance),
        "relative": bool(check.relative),
        "pass": passed,
    }


def main() -> int:
    """Run all rows; exit 1 if any fails."""
    django.setup()
    rows = [as_row(stem, check) for stem, check in all_checks()]
    table = Table(title="Outside checks")
    for heading in ("subject", "source", "status", "published", "ours", "tolerance", ""):
        table.add_column(heading, justify="left", overflow="fold")
    for row in rows:
        tolerance = f"{row['tolerance']:.2g}{' rel.' if row['relative'] else ''}"
        table.add_row(
            str(row["subject"]),
            str(row["source"]),
            str(row["status"]),
            f"{row['published']:.8g}",
            f"{row['ours']:.8g}",
            tolerance,
            "ok" if row["pass"] else "FAILS",
        )
    Console(width=None if sys.stdout.isatty() else 160).print(table)
    failed = sum(not row["pass"] for row in rows)
    target = Path("build/checks.json")
    target.parent.mkdir(exist_ok=True)
    target.write_text(json.dumps(rows, indent=1), encoding="utf-8")
    print(f"{len(rows)} checks, {failed} failing; written to {target}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
