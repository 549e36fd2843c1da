"""A keeper walks through an invented run: looks now and then, each with what was known by then."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from benchmarks.diagnosing.signs import Signs, signs_of

from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, lives_from_prior
from marshlight.decide.watch.diagnosis import Diagnosis, diagnose
from marshlight.decide.watch.diagnosis.standing import SUSPECTED, stand_on
from marshlight.errors import MarshlightError

# Lives are calibrated on every fifth day from the third on, and drawn from belief at day 0.
EVERY_D, FIRST_D = 5.0, 3.0
# Fewer runs than usual: the benchmark calibrates well over a thousand times.
BUDGET = 450


@dataclass(frozen=True)
class Look:
    """What both watches said on a day."""

    day: float
    diagnosis: Diagnosis | None
    signs: Signs | None


class Keeper:
    """Keeps the lives of a run at hand, calibrated when first asked for."""

    def __init__(self, log: RunLog, seed: int, *, baseline: bool) -> None:
        self.log, self.seed, self.baseline = log, seed, baseline
        self.kept: dict[float, Lives | None] = {}
        self.suspected_since: float | None = None

    def look(self, today: float) -> Look:
        """Look at the run on a day [d]."""
        known = self.log.until(today)
        found = self._diagnosed(known, today)
        trouble = 0.0 if found is None else found.trouble
        if trouble < SUSPECTED:
            self.suspected_since = None
        elif self.suspected_since is None:
            self.suspected_since = today
        rng = np.random.default_rng([self.seed, int(1000 * today)])
        return Look(today, found, signs_of(known, rng) if self.baseline else None)

    def _diagnosed(self, known: RunLog, today: float) -> Diagnosis | None:
        days = [0.0, *np.arange(FIRST_D, today, EVERY_D)]
        days = [day for day in days if self.kept.get(day, 1) is not None]
        day = stand_on(days, today, suspected_since=self.suspected_since)
        if day is None:
            return None
        try:
            if day not in self.kept:
                self.kept[day] = self._lives(day)
            lives = self.kept[day]
            assert lives is not None
            rng = np.random.default_rng([self.seed, int(1000 * today), 1])
            return diagnose(known, lives, rng=rng)
        except MarshlightError:
            self.kept[day] = None
            return None

    def _lives(self, day: float) -> Lives:
        rng = np.random.default_rng([self.seed, int(day), 2])
        known = self.log.until(day)
        if day == 0.0:
            return lives_from_prior(known, rng=rng, members=128)
        return calibrate(known, rng=rng, budget=BUDGET)


def walk(
    log: RunLog, days: Sequence[float], *, seed: int, stop: bool, baseline: bool
) -> list[Look]:
    """Look on each day; with ``stop`` no further than our first alarm."""
    keeper = Keeper(log, seed, baseline=baseline)
    found: list[Look] = []
    for day in days:
        if not 2.0 <= day <= log.today:
            continue
        found.append(keeper.look(float(day)))
        newest = found[-1].diagnosis
        if stop and newest is not None and newest.alarm:
            break
    return found
