"""A run's diagnosis as it is kept: free of units, worked out behind a page or on a worker."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from marshlight.answers.analysis import revision
from marshlight.answers.keeping import Ready, latest, newest, remembered
from marshlight.answers.lives import RunLives, lives_of_run
from marshlight.answers.stopping import still_wanted
from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, lives_from_prior
from marshlight.decide.watch.diagnosis import SUSPECTED, Diagnosis, Explanation, diagnose, stand_on
from marshlight.decide.watch.diagnosis.standing import LONGEST_D
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Run

# A digester looked at on its first day has shown nothing yet; our choice.
_YOUNGEST_D = 1.0
# Lives are brought forward to whole days: nearer than that makes no difference.
_STEP_D = 1.0
# Lives that stand this much further back than they need serve again, as in the benchmark of
# diagnoses, where they are calibrated on every fifth day with this many runs of the model.
_FURTHER_BACK_D = 5.0
_RUNS = 450
# A run nobody looked at before is looked at as if somebody had come every third day of three weeks:
# else a trouble that began long ago would be taken for this digester's habit. Our choice.
_REPLAY_BACK_D, _REPLAY_EVERY_D = 21.0, 3.0
# An alarm older than this waits for a new look; our choice, a weekend's pause.
_OLD = timedelta(days=3)


@dataclass(frozen=True)
class Looked:
    """What a look leaves to the next: since when trouble was suspected, the lives it stood on.

    ``rests_on`` names the state of the log up to the day of those lives, empty until it is kept.
    """

    day: float
    suspected_since: float | None = None
    lives: Lives | None = None
    rests_on: str = ""


@dataclass(frozen=True)
class Diagnosed:
    """What the diagnosis found, figures in base units; ``why_not`` where there is none."""

    as_of: datetime
    found: Diagnosis | None = None
    looked: Looked | None = None
    why_not: str = ""


def diagnosed(run: Run, *, now: datetime) -> Diagnosed:
    """Work out, or remember, what may be wrong with a run.

    Parameters
    ----------
    run : Run
        The run.
    now : datetime
        The moment of asking.

    Returns
    -------
    Diagnosed
        Never older than the newest record.
    """

    def make(_before: Diagnosed | None) -> Diagnosed:
        state = revision(run)
        made = diagnose_run(run, lambda: lives_of_run(run, now=now), last_look(run), now=now)
        return settled(run, state, made)

    return remembered(diagnosed_name(run), lambda: revision(run), make)


def diagnosed_ready(run: Run) -> Ready[Diagnosed] | None:
    """Give the newest diagnosis worked out, however old, without waiting; None if there is none."""
    return newest(diagnosed_name(run), lambda: revision(run))


def diagnosed_lately(run: Run, now: datetime) -> Diagnosis | None:
    """Give what the newest diagnosis found, if not too old to say so; asks no database."""
    known = latest(diagnosed_name(run))
    if known is None or now - known[1].as_of > _OLD:
        return None
    found: Diagnosis | None = known[1].found
    return found


def diagnosed_name(run: Run) -> str:
    """Give the name that a run's diagnosis is kept under."""
    return f"diagnosed-{run.pk}"


def last_look(run: Run) -> Looked | None:
    """Give what the last look left; without its lives, where their part of the log has changed."""
    known = latest(diagnosed_name(run))
    looked: Looked | None = None if known is None else known[1].looked
    if looked is None or looked.lives is None:
        return looked
    if looked.rests_on == revision(run, until=_moment(run, looked.lives.day)):
        return looked
    return replace(looked, lives=None)


def settled(run: Run, state: str, made: Diagnosed) -> Diagnosed:
    """Name what the lives of a look rest on, so that the next one may stand on them.

    Parameters
    ----------
    run : Run
        The run.
    state : str
        State of the log that the diagnosis was made from.
    made : Diagnosed
        What was found.
    """
    looked = made.looked
    if looked is None or looked.lives is None:
        return made
    rests_on = revision(run, until=_moment(run, looked.lives.day))
    # A record written meanwhile may lie before that day.
    kept = looked.lives if revision(run) == state else None
    return replace(made, looked=replace(looked, lives=kept, rests_on=rests_on))


def _moment(run: Run, day: float) -> datetime:
    assert run.started_at is not None, "only a run that started is diagnosed"
    return run.started_at + timedelta(days=day)


def diagnose_run(
    run: Run, fitted: Callable[[], RunLives], before: Looked | None, *, now: datetime
) -> Diagnosed:
    """Hold a run's newest readings against what may be wrong; no database is asked.

    Parameters
    ----------
    run : Run
        The run.
    fitted : callable
        Gives its log as the process model reads it.
    before : Looked, optional
        What the last look left; without one the weeks before today are looked at as well.
    now : datetime
        The moment of asking.
    """
    if run.started_at is None:
        return Diagnosed(now, why_not="It has not started yet.")
    if run.ended_at is not None and run.ended_at <= now:
        return Diagnosed(now, why_not="This run has ended.")
    read = fitted()
    if read.log is None:
        return Diagnosed(now, why_not=read.why_not)
    if read.log.today < _YOUNGEST_D:
        return Diagnosed(now, why_not="It is too young to have shown anything.")
    still_wanted()
    seed = int(hashlib.sha256(str(run.pk).encode()).hexdigest()[:12], 16)
    rng = np.random.default_rng(seed)
    try:
        found, looked = _look(read.log, replayed(read.log, before, rng=rng), rng=rng)
    except MarshlightError as problem:
        return Diagnosed(now, looked=before, why_not=str(problem))
    return Diagnosed(now, _plain(found), looked)


def replayed(log: RunLog, before: Looked | None, *, rng: np.random.Generator) -> Looked:
    """Look at the weeks since the last look as a keeper would have.

    Parameters
    ----------
    log : RunLog
        Up to today.
    before : Looked, optional
        What the last look left, if there was one.
    rng : numpy.random.Generator
        The state to draw from.

    Returns
    -------
    Looked
        As the row of looks leaves it to that of today.
    """
    if before is None and _all_was_well(log, rng=rng):
        return Looked(log.today)
    looked = Looked(0.0) if before is None else before
    first = max(log.today - _REPLAY_BACK_D, looked.day + _REPLAY_EVERY_D, _YOUNGEST_D)
    for day in np.arange(first, log.today - 0.5 * _REPLAY_EVERY_D, _REPLAY_EVERY_D).tolist():
        still_wanted()
        stood = log.until(day)
        if stood.readings:
            _, looked = _look(stood, looked, rng=rng)
    return looked


def _all_was_well(log: RunLog, *, rng: np.random.Generator) -> bool:
    """Tell whether one long look back shows nothing: then no trouble can be since when.

    Lives that stand as far back as they may have not learned what began after them.
    """
    day = float(np.floor(max(log.today - LONGEST_D, 0.5 * log.today)))
    return diagnose(log, _stood(log.until(day), rng=rng), rng=rng).trouble < SUSPECTED


def _look(log: RunLog, before: Looked, *, rng: np.random.Generator) -> tuple[Diagnosis, Looked]:
    """Diagnose a log as it stands, from lives of some days before."""
    since = before.suspected_since
    lives = _earlier(log, before.lives, suspected_since=since, rng=rng)
    found = diagnose(log, lives, rng=rng)
    if found.trouble < SUSPECTED:
        since = None
    elif since is None:
        since = found.day
    return found, Looked(log.today, since, lives)


def _earlier(
    log: RunLog, kept: Lives | None, *, suspected_since: float | None, rng: np.random.Generator
) -> Lives:
    """Give the lives before the newest stretch, which is then held against them."""
    days = np.arange(0.0, log.today, _STEP_D).tolist()
    day = stand_on(days, log.today, suspected_since=suspected_since) or 0.0
    if kept is not None and max(day - _FURTHER_BACK_D, 0.5 * day) <= kept.day <= day:
        return kept
    return _stood(log.until(day), rng=rng)


def _stood(log: RunLog, *, rng: np.random.Generator) -> Lives:
    if log.readings == 0:
        return lives_from_prior(log, rng=rng)
    return calibrate(log, rng=rng, budget=_RUNS)


def _plain(found: Diagnosis) -> Diagnosis:
    """Make it fit to be kept: tables that are closed to writing cannot be stored."""
    return replace(found, explanations=tuple(_open(e) for e in found.explanations))


def _open(one: Explanation) -> Explanation:
    check = one.check
    return one if check is None else replace(one, check=replace(check, shows=dict(check.shows)))
