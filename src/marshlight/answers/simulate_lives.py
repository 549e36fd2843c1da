"""The lives a run may have, as what-if and next step take them: by its readings or its recipe."""

import hashlib
from dataclasses import dataclass

import numpy as np

from marshlight.answers.analysis import Analysis, revision
from marshlight.answers.keeping import keep, kept, one_at_a_time
from marshlight.answers.simulate_past import Past, past_of
from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior

MEMBERS = 200
# Lives are drawn anew when an hour has passed; nearer than that nothing has changed.
_HOURS_A_DAY = 24.0
BY_RECIPE = (
    "By the recipe alone: {}. Nothing of it is fitted to this run, so take the spans as wide and "
    "the middle as a guess."
)
BY_READINGS = "Fitted to this run's own readings."


@dataclass(frozen=True)
class Grounds:
    """What an answer rests on: the log, its lives, and whether its readings had a say.

    ``words`` says on what it rests; ``notes`` what was taken for granted.
    """

    past: Past
    log: RunLog
    lives: Lives
    calibrated: bool
    words: str
    notes: tuple[str, ...]


def grounds_of(analysis: Analysis, today: float) -> Grounds:
    """Find the lives of a run as it stands today.

    Parameters
    ----------
    analysis : Analysis
        The run's analysis.
    today : float
        Days since its start [d].

    Returns
    -------
    Grounds
        By its readings where there are any, else by its recipe.

    Raises
    ------
    InputError
        If vessel or charge are not known well enough.
    FitError
        If the lives cannot be run.
    """
    run = analysis.records.run
    name = f"{run.pk}:lives"
    state = f"{revision(run)}:{int(today * _HOURS_A_DAY)}"
    with one_at_a_time(name):
        found: Grounds | None = kept(name, state)
        if found is None:
            found = _grounds(analysis, today, seed=seed_of(str(run.pk)))
            keep(name, state, found)
    return found


def seed_of(text: str) -> int:
    """Turn any text into a seed, so that the same run has the same luck at every look."""
    return int(hashlib.sha256(text.encode()).hexdigest()[:12], 16)


def _grounds(analysis: Analysis, today: float, *, seed: int) -> Grounds:
    past = past_of(analysis, today)
    log = RunLog(
        digester=past.digester,
        charge=past.charge,
        events=past.events,
        today=today,
        lively=(min(past.lively[0], 1.0), max(past.lively[1], 1.0)),
        liquid_m3=past.liquid_m3,
    )
    lives = lives_from_prior(log, rng=np.random.default_rng(seed), members=MEMBERS)
    words = BY_RECIPE.format("no gas has been read yet")
    return Grounds(past, log, lives, False, words, past.notes)
