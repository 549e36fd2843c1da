"""How early souring is warned of, how often in vain, and how true the quoted chances are.

The feasts of `bench_diagnosis` alone, more of them: overfed digesters of every severity and as many
of the worse half, looked at 0.2, 2, 5, 9 and 14 days after the first large meal until our first
alarm, and half as many healthy months. Everything is invented by benchmarks/synthetic.

SOURING_CASES of each kind (default 8; 30 for the figures in docs/diagnosis.md, some ten minutes on
two cores). SOURING_SEED draws others: 1 is what the figures are quoted for, anything the warning is
worked on with must be another.
"""

import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor

from benchmarks.diagnosing.cases import Walked, walk_case
from benchmarks.diagnosing.scores import BAD, souring_rows, warning_rows
from benchmarks.harness import BenchRow

CASES = int(os.environ.get("SOURING_CASES", "8"))
SEED = int(os.environ.get("SOURING_SEED", "1"))
_FEASTS_FROM = 1000


def rows() -> Iterable[BenchRow]:
    """Walk through the feasts and some healthy months on two cores."""
    with ProcessPoolExecutor(2) as pool:
        mild = pool.map(_overfed, range(CASES))
        bad = pool.map(_overfed, range(_FEASTS_FROM, _FEASTS_FROM + CASES))
        healthy = pool.map(_healthy, range(CASES // 2))
        feasts, months = [*mild, *bad], [*healthy]
    yield from souring_rows(feasts)
    yield from warning_rows(feasts, months)


def _overfed(number: int) -> Walked:
    least = BAD if number >= _FEASTS_FROM else 0.0
    return walk_case("overfed", number, least=least, seed=SEED, baseline=False)


def _healthy(number: int) -> Walked:
    return walk_case("", number, seed=SEED, baseline=False)
