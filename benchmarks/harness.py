"""A benchmark row and an honest stopwatch: the baseline runs in the same process, in turns."""

import gc
import statistics
from collections.abc import Callable
from dataclasses import asdict, dataclass
from time import perf_counter


@dataclass(frozen=True)
class BenchRow:
    """One figure: ``ratio`` is value / baseline; ``target`` says in words what was aimed at."""

    name: str
    value: float
    unit: str
    baseline: float | None = None
    ratio: float | None = None
    target: str = ""

    def as_dict(self) -> dict[str, object]:
        """Give the row for build/bench.json."""
        return asdict(self)


def seconds(action: Callable[[], object], *, repeats: int = 5) -> float:
    """Time one call: the median of some repeats after a warm-up, garbage collected before."""
    action()
    times = []
    for _ in range(repeats):
        gc.collect()
        start = perf_counter()
        action()
        times.append(perf_counter() - start)
    return statistics.median(times)


def against(
    name: str,
    ours: Callable[[], object],
    baseline: Callable[[], object],
    *,
    repeats: int = 5,
    target: str = "",
) -> BenchRow:
    """Time two actions turn by turn in milliseconds, so that a drifting machine hits both."""
    ours()
    baseline()
    mine, theirs = [], []
    for _ in range(repeats):
        mine.append(_once(ours))
        theirs.append(_once(baseline))
    value, base = statistics.median(mine) * 1e3, statistics.median(theirs) * 1e3
    return BenchRow(name, value, "ms", base, value / base, target)


def _once(action: Callable[[], object]) -> float:
    gc.collect()
    start = perf_counter()
    action()
    return perf_counter() - start
