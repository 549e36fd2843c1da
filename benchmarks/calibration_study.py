"""Does the calibration know what it says it knows? Invented runs, ranks of the truth, bands ahead.

Two worlds. *Believed*: truth from the calibration's own priors, so that ranks of the true
parameters among the lives must be even. *Strayed*: every uncertain constant of the model, daily
warmth, pace of breakdown and the food's make-up are off too, as they are in a shed; there only
what is forecast can be scored.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from time import perf_counter

import numpy as np
from benchmarks.synthetic import KINDS, Case, draw_case, write_log
from benchmarks.synthetic.believed import draw_believed, without_changes_of_warmth

from marshlight.decide.watch.calibration import (
    Lives,
    RunLog,
    ahead,
    calibrate,
    dry_gas,
    observed_gas,
)
from marshlight.errors import FitError
from marshlight.process.model import Event, SetTemperature

AHEAD_D = (3.0, 10.0)
QUANTITIES = ("gas of the day", "gas from today", "pH", "methane share")
_STEP_D = 0.5


@dataclass(frozen=True)
class Held:
    """One forecast number against its truth: where it fell, and how wide the 95 % band was."""

    place: float
    width95: float
    off: float

    @property
    def in50(self) -> bool:
        """Tell whether the 50 % band held it."""
        return 0.25 <= self.place <= 0.75

    @property
    def in95(self) -> bool:
        """Tell whether the 95 % band held it."""
        return 0.025 <= self.place <= 0.975


@dataclass(frozen=True)
class Task:
    """One invented run to score: its world, kind, how it is read, and its seed."""

    believed: bool
    kind: str
    dense: bool
    seed: int


@dataclass(frozen=True)
class Scored:
    """What came of a task: ``ranks`` 0 to 1 by parameter, ``held`` by (quantity, days ahead)."""

    task: Task
    ranks: dict[str, float] = field(default_factory=dict)
    held: dict[tuple[str, float], Held] = field(default_factory=dict)
    seconds: float = 0.0
    pareto_k: float = 0.0
    effective: float = 0.0
    trusted: bool = True
    failed: str = ""


def tasks(count: int, seed: int, *, believed: bool) -> list[Task]:
    """List tasks with kinds and logs in turn."""
    kinds = tuple(KINDS)
    return [
        Task(believed, kinds[i % len(kinds)], (i // len(kinds)) % 2 == 0, seed + i)
        for i in range(count)
    ]


def study(
    listed: Sequence[Task],
    *,
    processes: int = 1,
    progress: Callable[[int, int], None] | None = None,
) -> list[Scored]:
    """Score tasks, on several processes if asked; results do not depend on how many."""
    found: list[Scored] = []
    for one in _each(listed, processes):
        found.append(one)
        if progress is not None:
            progress(len(found), len(listed))
    return found


def _each(listed: Sequence[Task], processes: int) -> Iterator[Scored]:
    if processes <= 1:
        yield from map(score, listed)
        return
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        yield from pool.map(score, listed, chunksize=1)


def score(task: Task) -> Scored:
    """Draw the task's digester, calibrate on a day in its middle and look ahead."""
    rng = np.random.default_rng(task.seed)
    case, whole, drawn = _drawn(task, rng)
    latest = case.setup.length_d - AHEAD_D[-1]
    today = float(np.floor(min(rng.uniform(0.35, 0.8) * case.setup.length_d, latest)))
    log = whole.until(today)
    start = perf_counter()
    try:
        lives = calibrate(log, rng=rng)
        seconds = perf_counter() - start
        held = _ahead(case, whole, log, lives, rng)
    except FitError as error:
        return Scored(task, failed=str(error))
    ranks = {name: _place(lives.of(name), truth, rng) for name, truth in drawn.items()}
    return Scored(
        task,
        ranks,
        held,
        seconds,
        lives.quality.pareto_k,
        lives.quality.effective,
        lives.quality.trusted,
    )


def _drawn(task: Task, rng: np.random.Generator) -> tuple[Case, RunLog, dict[str, float]]:
    if not task.believed:
        case = draw_case(task.kind, rng, dense=task.dense)
        return case, write_log(case, rng), {}
    while True:
        try:
            made = draw_believed(task.kind, rng, dense=task.dense)
        except FitError:  # a life that cannot be run: draw another
            continue
        log = without_changes_of_warmth(write_log(made.case, rng), made.case.setup)
        return made.case, log, made.drawn


def _ahead(
    case: Case, whole: RunLog, log: RunLog, lives: Lives, rng: np.random.Generator
) -> dict[tuple[str, float], Held]:
    """Run the lives on with the feeds that were to come, and place the truth among them."""
    today = log.today
    days = today + np.arange(0.0, AHEAD_D[-1] + 1e-9, _STEP_D)
    to_come: list[Event] = [
        event
        for event in whole.events
        if today < event.day <= days[-1] and not isinstance(event, SetTemperature)
    ]
    run = ahead(lives, log, days=days, events=to_come)
    gas = observed_gas(lives, days, dry_gas(run), rng=rng)
    shares, ph = run.share("methane"), run["pH"]
    life, scale = case.life, case.truth.instruments.gas_scale
    counted = life.at(life.gas_m3, days) * scale
    true_ph, true_share = life.at(life.run["pH"], days), life.at(life.run.share("methane"), days)
    found: dict[tuple[str, float], Held] = {}
    for span in AHEAD_D:
        now = round(span / _STEP_D)
        before = now - round(1.0 / _STEP_D)
        pairs = (
            (gas[:, now] - gas[:, before], counted[now] - counted[before]),
            (gas[:, now], counted[now] - counted[0]),
            (ph[:, now], true_ph[now]),
            (shares[:, now], true_share[now]),
        )
        for name, (lived, truth) in zip(QUANTITIES, pairs, strict=True):
            low, middle, high = np.quantile(lived, [0.025, 0.5, 0.975])
            found[name, span] = Held(
                _place(lived, float(truth), rng), float(high - low), float(truth - middle)
            )
    return found


def _place(lived: np.ndarray, truth: float, rng: np.random.Generator) -> float:
    """Give the rank of the truth among the lives, evenly between its neighbours."""
    below, same = np.sum(lived < truth), np.sum(lived == truth)
    return float((below + rng.random() * (same + 1.0)) / (len(lived) + 1.0))
