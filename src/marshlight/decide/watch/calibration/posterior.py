"""Scores of lives against a log: what was believed and what was read, taken together."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration.course import Plan, plan
from marshlight.decide.watch.calibration.lives import natural_of
from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.priors import Prior
from marshlight.decide.watch.calibration.reading import Sight
from marshlight.decide.watch.calibration.varied import COURSE, as_draws, charged, settings_of

# A life that the kernel cannot run through is as good as impossible.
IMPOSSIBLE = -1e12
# Below this the digester is sour: methane formers hardly work; common practice, no source.
SOUR_PH = 6.5


@dataclass(frozen=True)
class Runs:
    """Runs of some lives: what each showed, and where each ended; first axis is the run."""

    shown: Mapping[str, Floats]
    settings: Floats
    end: Floats
    fine: NDArray[np.bool_]
    sour: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.end)

    def repeated(self, times: int) -> dict[str, Floats]:
        """Give what was shown, each run so many times over."""
        return {name: np.repeat(values, times, axis=0) for name, values in self.shown.items()}


@dataclass(frozen=True)
class Scored:
    """Log of belief times likelihood, likelihood alone, rows of its square form, stray today."""

    log_posterior: Floats
    log_likelihood: Floats
    rows: Floats
    stray: Floats
    u_stray: Floats


class Posterior:
    """What is known of a digester from its log, up to a constant.

    Scores are standard normal beforehand, shape (member, parameter); those of ``course`` change
    the life, those of ``seen`` only how it is read.

    Parameters
    ----------
    log : RunLog
        The log.
    beliefs : mapping of Prior
        By parameter.
    """

    def __init__(self, log: RunLog, beliefs: Mapping[str, Prior]) -> None:
        self.log, self.beliefs = log, beliefs
        self.names = tuple(beliefs)
        self.course = [self.names.index(name) for name in COURSE]
        self.seen = [i for i in range(len(self.names)) if i not in self.course]
        self.sight = Sight(log)
        self.runs = 0
        self._plan: Plan = plan(
            log.digester, log.events, start=0.0, days=self.sight.day, watch=self.sight.watch
        )

    def draws(self, scores: Floats) -> dict[str, Floats]:
        """Turn scores into named values."""
        return as_draws(self.names, natural_of(self.beliefs, scores))

    def run(self, scores: Floats) -> Runs:
        """Run a life for every row of scores."""
        draws = self.draws(scores)
        settings = settings_of(self.log.digester, draws)
        states = charged(self.log.digester, self.log.charge, draws)
        course = self._plan.run(states, settings, draws)
        self.runs += len(scores)
        fine = course.fine == 0
        # What failed left numbers that mean nothing; it is scored as impossible whatever it shows.
        course.curves[~fine] = 1.0
        shown = self.sight.shown(course)
        sour = fine & (course["pH"][:, -1] < SOUR_PH)
        return Runs(shown, settings, course.end, fine, sour)

    def score(self, scores: Floats, shown: Mapping[str, Floats], fine: NDArray[np.bool_]) -> Scored:
        """Score lives by what they showed; first axes alike."""
        draws = self.draws(scores)
        judged = self.sight.judge(shown, draws)
        belief = -0.5 * np.sum(scores**2, axis=1) - 0.5 * scores.shape[1] * np.log(2.0 * np.pi)
        likelihood = np.where(fine, judged.log_likelihood, IMPOSSIBLE)
        return Scored(belief + likelihood, likelihood, judged.rows, judged.stray, judged.u_stray)
