"""How often the watch sees a leak where there is none, and finds one where there is.

Runs are invented by tests/honesty.py: healthy, with wander of 5 to 30 % a day, white or lasting
two days, read daily or hourly with 0.3 to 2 % of the total as error. Each is looked at every
day from the sixth on. For the leaks, 55 % of the gas is lost from some day on.
"""

from collections.abc import Iterable
from dataclasses import replace

import numpy as np
from benchmarks.harness import BenchRow
from tests.honesty import Run, invent

from marshlight.decide.watch import GasRecord, RunFacts
from marshlight.decide.watch.fall import Fall, sudden_fall
from marshlight.decide.watch.troubles import CLEAR_FALL

RUNS, SEED = 60, 5
LOST = 0.55
_NEAR_D = 2.5


def rows() -> Iterable[BenchRow]:
    """Score healthy runs and leaking ones."""
    rng = np.random.default_rng(SEED)
    healthy = [_looks(invent(rng), None) for _ in range(RUNS)]
    looks = [fall is not None for run in healthy for fall in run]
    yield _share(f"healthy looks taken for a leak (n = {len(looks)})", looks, "under 1 %")
    ever = [any(fall is not None for fall in run) for run in healthy]
    yield _share(f"healthy runs ever taken for a leak (n = {RUNS})", ever, "under 10 %")
    found = []
    for _ in range(RUNS):
        run = _well_read(invent(rng), rng)
        day = float(rng.uniform(0.25, 0.6) * run.true_day[-1])
        seen = (fall for fall in _looks(run, day) if fall is not None)
        found.append(any(abs(fall.end - day) < _NEAR_D for fall in seen))
    yield _share(f"leaks of 55 % found and dated (n = {RUNS})", found, "as many as noise allows")


def _well_read(run: Run, rng: np.random.Generator) -> Run:
    u = 0.001 * float(run.true_total[-1])
    true = np.interp(run.day, run.true_day, run.true_total)
    return replace(run, reading=true + rng.normal(0.0, u, true.size), u=u)


def _looks(run: Run, leaks_from: float | None) -> list[Fall | None]:
    reading = run.reading
    if leaks_from is not None:
        made = np.interp([*run.day, leaks_from], run.true_day, run.true_total)
        reading = reading - LOST * np.maximum(made[:-1] - made[-1], 0.0)
    day, total = np.concatenate([[0.0], run.day]), np.concatenate([[0.0], reading])
    u = np.concatenate([[0.0], np.full(run.day.size, run.u)])
    found = []
    for today in np.arange(6.0, day[-1]):
        known = day <= today
        gas = GasRecord(day[known], total[known], u[known], np.zeros(known.sum(), bool))
        fall = sudden_fall(RunFacts(day=float(today), gas=gas))
        found.append(fall if fall is not None and fall.log_odds >= CLEAR_FALL else None)
    return found


def _share(name: str, hits: list[bool], target: str) -> BenchRow:
    return BenchRow(f"sudden falls: {name}", 100 * float(np.mean(hits)), "%", target=target)
