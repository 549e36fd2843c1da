"""The lives a run may have, as what-if and next step take them: by its readings or its recipe."""

import hashlib
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.lives import RunLives, lives_of_run
from marshlight.answers.simulate_past import Past, past_of
from marshlight.answers.words import days_since
from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior
from marshlight.decide.watch.steps import brought_to

MEMBERS = 200
# Nearer than that nothing has changed: our choice.
_AN_HOUR_D = 1.0 / 24.0
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


def grounds_of(analysis: Analysis, now: datetime) -> Grounds:
    """Find the lives of a run as it stands now.

    Parameters
    ----------
    analysis : Analysis
        The run's analysis.
    now : datetime
        The moment of asking; for a run that ended, its end counts.

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
    end = now if run.ended_at is None or run.ended_at > now else run.ended_at
    today = max(days_since(analysis.records.start, end), 0.0)
    past = past_of(analysis, today)
    fitted = lives_of_run(run, now=now, analysis=analysis)
    return _by_readings(past, fitted) or _by_recipe(past, fitted, seed_of(str(run.pk)))


def seed_of(text: str) -> int:
    """Turn any text into a seed, so that the same run has the same luck at every look."""
    return int(hashlib.sha256(text.encode()).hexdigest()[:12], 16)


def _by_readings(past: Past, fitted: RunLives) -> Grounds | None:
    log, lives = fitted.log, fitted.lives
    if log is None or lives is None or not log.readings:
        return None
    if past.today - lives.day > _AN_HOUR_D:
        lives, log = brought_to(lives, log, past.today)
    words = BY_READINGS.format(_read_words(log))
    doubt = "" if lives.quality.trusted else " ".join(lives.quality.words)
    # What is tried begins on the day the lives stand at.
    return Grounds(_as_on(past, lives.day), log, lives, True, words, doubt, log.notes)


def _by_recipe(past: Past, fitted: RunLives, seed: int) -> Grounds:
    why = "no gas has been read yet"
    if fitted.why_not:
        why = f"its readings could not be fitted ({fitted.why_not.rstrip('.')})"
    log = fitted.log or RunLog(
        digester=past.digester,
        charge=past.charge,
        events=past.events,
        today=past.today,
        lively=(min(past.lively[0], 1.0), max(past.lively[1], 1.0)),
        liquid_m3=past.liquid_m3,
        notes=past.notes,
    )
    lives = lives_from_prior(log, rng=np.random.default_rng(seed), members=MEMBERS)
    if past.today - lives.day > _AN_HOUR_D:
        lives, log = brought_to(lives, log, past.today)
    words = BY_RECIPE.format(why)
    return Grounds(_as_on(past, lives.day), log, lives, False, words, "", log.notes)


def _as_on(past: Past, day: float) -> Past:
    return replace(past, today=day)


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
