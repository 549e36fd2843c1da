"""How well troubles are told apart: invented digesters with and without a fault, both watches.

Runs are invented by benchmarks/synthetic: four kinds of digester, half read daily with meters, half
every few days with strips and a flame, truths that stray from the model. Each fault's severity is
drawn evenly from hardly noticeable to as bad as it comes. A keeper looks 0.2, 2, 5, 9 and 14 days
after the fault began, until our first alarm; healthy runs every other day for a month. A healthy
run that is in trouble of its own making (pH below 6.5, acids above 3 kg/m3 past day 10) is drawn
again.

Thinned, so that it takes some minutes on two cores: DIAGNOSIS_CASES of each fault (default 6; 30
for the full study), twice as many healthy months, and the baseline, the signs-based watch, on every
fourth case only (of healthy runs every eighth): its fits take three times as long as a diagnosis.
"""

import os
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import partial
from time import process_time

import numpy as np
from benchmarks.diagnosing.cases import Walked, walk_case
from benchmarks.diagnosing.scores import BAD, fault_rows, healthy_rows, souring_rows, whole_rows
from benchmarks.diagnosing.walk import Keeper
from benchmarks.harness import BenchRow
from benchmarks.synthetic.faults import FAULTS, draw_case
from benchmarks.synthetic.logbook import write_log

from marshlight.decide.watch.diagnosis import diagnose

CASES = int(os.environ.get("DIAGNOSIS_CASES", "6"))
_FEASTS_FROM = 1000


def rows() -> Iterable[BenchRow]:
    """Walk through every case on two cores and score both watches."""
    with ProcessPoolExecutor(2) as pool:
        healthy = list(pool.map(partial(_one, ""), range(2 * CASES)))
        by_fault = {f: list(pool.map(partial(_one, f), range(CASES))) for f in FAULTS}
        feasts = list(pool.map(_feast, range(_FEASTS_FROM, _FEASTS_FROM + CASES)))
    found = [*healthy_rows(healthy)]
    for fault, cases in by_fault.items():
        found += fault_rows(fault, cases)
    found += [*whole_rows(by_fault), *souring_rows([*by_fault["overfed"], *feasts])]
    for row in (*found, _time_row()):
        yield replace(row, ratio=row.value / row.baseline) if row.baseline else row


def _one(fault: str, number: int) -> Walked:
    every = 4 if fault else 8
    return walk_case(fault, number, baseline=number % every == 0)


def _feast(number: int) -> Walked:
    return walk_case("overfed", number, least=BAD, baseline=number % 4 == 0)


def _time_row() -> BenchRow:
    """Processor time of one diagnosis of a fed drum read daily, calibration left out."""
    rng = np.random.default_rng(4)
    log = write_log(draw_case("fed drum", rng, dense=True, fault="leak"), rng).until(30.0)
    keeper = Keeper(log, 1, baseline=False)
    keeper.look(30.0)
    lives = next(lives for lives in keeper.kept.values() if lives is not None)
    start = process_time()
    for _ in range(5):
        diagnose(log, lives, rng=rng)
    took = (process_time() - start) / 5
    return BenchRow("diagnosis after calibration, one core", 1000 * took, "ms", target="under 1 s")
