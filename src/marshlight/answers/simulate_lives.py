"""The lives a run may have, as what-if and next step take them: by its readings or its recipe."""

import hashlib
from dataclasses import dataclass

import numpy as np

from marshlight.answers.analysis import Analysis, revision
from marshlight.answers.keeping import keep, kept, one_at_a_time
from marshlight.answers.run_log import run_log_of
from marshlight.answers.simulate_past import Past, past_of
from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, lives_from_prior
from marshlight.errors import FitError

MEMBERS = 200
# Lives are fitted anew when an hour has passed; nearer than that nothing has changed.
_HOURS_A_DAY = 24.0
BY_RECIPE = (
    "By the recipe alone: {}. Nothing of it is fitted to this run, so take the spans as wide and"
    " the middle as a guess."
)
BY_READINGS = "Fitted to this run's own readings: {}."


@dataclass(frozen=True)
class Grounds:
    """What an answer rests on: the log, its lives, and whether its readings had a say.

    ``words`` says on what it rests, ``doubt`` what keeps it from being relied on, ``notes`` what
    was taken for granted.
    """

    past: Past
    log: RunLog
    lives: Lives
    calibrated: bool
    words: str
    doubt: str
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
    name = f"{run.pk}:grounds"
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
    past, log = past_of(analysis, today), run_log_of(analysis, today)
    why = "no gas has been read yet" if log.readings == 0 else ""
    if not why:
        try:
            lives = calibrate(log, rng=np.random.default_rng(seed))
            words = BY_READINGS.format(_read_words(log))
            doubt = "" if lives.quality.trusted else " ".join(lives.quality.words)
            return Grounds(past, log, lives, True, words, doubt, log.notes)
        except FitError as problem:
            why = f"its readings could not be fitted ({str(problem).rstrip('.')})"
    lives = lives_from_prior(log, rng=np.random.default_rng(seed), members=MEMBERS)
    return Grounds(past, log, lives, False, BY_RECIPE.format(why), "", log.notes)


_NAMES = {
    "ph": "pH",
    "methane": "methane",
    "carbon_dioxide": "carbon dioxide",
    "oxygen": "oxygen",
    "acids": "acids",
    "alkalinity": "alkalinity",
    "ammonia": "ammonia",
}


def _read_words(log: RunLog) -> str:
    """Say what was read, and how often."""
    said = [] if log.gas is None else [f"gas ({len(log.gas)} times)"]
    if log.flame:
        said.append(f"flame ({len(log.flame)})")
    for name, words in _NAMES.items():
        read = getattr(log, name)
        if read is not None:
            said.append(f"{words} ({len(read)})")
    return ", ".join(said)
