"""Run every benchmark and write build/bench.json (``make bench``)."""

import importlib
import json
import sys
from pathlib import Path

HERE = Path(__file__).parent


def main(wanted: list[str]) -> int:
    """Run all ``bench_*.py`` files, or those whose names are given."""
    rows: list[dict[str, object]] = []
    for path in sorted(HERE.glob("bench_*.py")):
        topic = path.stem.removeprefix("bench_")
        if wanted and topic not in wanted:
            continue
        print(f"{topic} ...", file=sys.stderr, flush=True)
        for row in importlib.import_module(f"benchmarks.{path.stem}").rows():
            rows.append(row.as_dict())
            ratio = f"{row.ratio:.3g} of baseline {row.baseline:.4g}" if row.ratio else ""
            print(f"{row.name}: {row.value:.4g} {row.unit} {ratio} {row.target}", flush=True)
    target = Path("build/bench.json")
    target.parent.mkdir(exist_ok=True)
    target.write_text(json.dumps(rows, indent=1), encoding="utf-8")
    print(f"{len(rows)} rows written to {target}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
