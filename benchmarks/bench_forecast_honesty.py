"""How often the forecast's bands hold what came later, on invented runs with known truth.

Runs are made by tests/honesty.py, which says how; a fixed seed, never used while the
method was being built. Two-wave runs follow no curve we have and are reported apart.
"""

from collections.abc import Iterable

import numpy as np
from benchmarks.harness import BenchRow
from tests.honesty import Score, study

RUNS, SEED = 40, 90210
TARGET = "90 to 99 % of later true totals in the 95 % band"


def rows() -> Iterable[BenchRow]:
    """Score invented runs cut at a third, a half and two thirds."""
    scores = list(study(RUNS, SEED))
    curves = [s for s in scores if s.run.form != "two_waves"]
    waves = [s for s in scores if s.run.form == "two_waves"]
    yield _held("all runs", scores)
    yield _held("runs of the six curves, with recipe", [s for s in curves if s.informed])
    yield _held("runs of the six curves, no recipe", [s for s in curves if not s.informed])
    yield _held("two-wave runs, which no curve follows", waves)
    for cut in sorted({s.cut for s in scores}):
        yield _held(f"all runs cut at {100 * cut:.0f} %", [s for s in scores if s.cut == cut])
    half = [s.held50 for s in scores]
    yield BenchRow(
        "50 % band holds, all runs", 100 * float(np.mean(half)), "%", 50.0,
        float(np.mean(half)) / 0.5, "about half",
    )  # fmt: skip


def _held(name: str, scores: list[Score]) -> BenchRow:
    held = float(np.mean([s.held95 for s in scores]))
    return BenchRow(
        f"95 % band holds, {name} (n = {len(scores)})", 100 * held, "%", 95.0, held / 0.95, TARGET
    )
