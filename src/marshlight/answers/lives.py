"""A run's lives: the process model fitted to its log, once for every revision of the log."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis, analyse, revision
from marshlight.answers.keeping import Ready, newest, remembered
from marshlight.answers.run_log import run_log_of
from marshlight.answers.words import days_since
from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, priors_from
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Run

# More earlier runs than this say little more; our choice.
_MOST_TEACHERS = 5


@dataclass(frozen=True)
class RunLives:
    """The log as the model reads it, and the lives that fit it; or why there are none."""

    log: RunLog | None
    lives: Lives | None
    why_not: str = ""


def lives_of_run(run: Run, *, now: datetime, analysis: Analysis | None = None) -> RunLives:
    """Fit the process model to a run's log, or remember the fit.

    Parameters
    ----------
    run : Run
        The run.
    now : datetime
        The moment of asking; for a run that ended, its end counts.
    analysis : Analysis, optional
        Its analysis, if it is at hand.

    Returns
    -------
    RunLives
        Never older than the newest record; a new reading starts from the fit before it.
    """
    name = lives_name(run)

    def make(earlier: RunLives | None) -> RunLives:
        known = analyse(run) if analysis is None else analysis
        return fit_lives(known, earlier, taught=taught_by(run), now=now, seed=name)

    return remembered(name, lambda: revision(run), make)


def lives_ready(run: Run) -> Ready[RunLives] | None:
    """Give the newest fit there is, and whether it has seen the newest record; never waits."""
    return newest(lives_name(run), lambda: revision(run))


def lives_name(run: Run) -> str:
    """Give the name that a run's lives are kept under."""
    return f"lives-{run.pk}"


def taught_by(run: Run) -> tuple[tuple[str, Lives], ...]:
    """Give the lives of runs that ended at the same site before this one began, with their names.

    Only what was worked out while they went on: a new run does not wait for old ones.
    """
    if run.started_at is None:
        return ()
    before = Run.objects.in_use().filter(site=run.site, ended_at__lte=run.started_at)
    found = []
    for old in before.exclude(pk=run.pk).order_by("-ended_at")[:_MOST_TEACHERS]:
        known = lives_ready(old)
        if known is not None and known.thing.lives is not None:
            found.append((old.name, known.thing.lives))
    return tuple(found)


def fit_lives(
    analysis: Analysis,
    earlier: RunLives | None,
    *,
    now: datetime,
    seed: str,
    taught: Sequence[tuple[str, Lives]] = (),
) -> RunLives:
    """Fit the process model to a log, here or on a worker: no database is asked.

    Parameters
    ----------
    analysis : Analysis
        What the engine makes of the log.
    earlier : RunLives or None
        The fit to a shorter log, to start from.
    now : datetime
        The moment of asking; for a run that ended, its end counts.
    seed : str
        Any text that belongs to the run.
    taught : sequence of (str, Lives)
        Earlier runs in the same hands, by name: what they showed is believed beforehand, widened.
    """
    run = analysis.records.run
    until = now if run.ended_at is None else min(run.ended_at, now)
    rng = np.random.default_rng(int(hashlib.sha256(seed.encode()).hexdigest()[:12], 16))
    try:
        log = run_log_of(analysis, max(days_since(analysis.records.start, until), 0.0))
        before = None if earlier is None else earlier.lives
        sound = [(name, lives) for name, lives in taught if lives.quality.trusted]
        priors = priors_from([lives for _, lives in sound], log) or None
        if priors is not None:
            names = ", ".join(name for name, _ in sound)
            log = replace(log, notes=(*log.notes, f"Beliefs beforehand learnt from: {names}."))
        return RunLives(log, calibrate(log, rng=rng, earlier=before, priors=priors))
    except MarshlightError as problem:
        return RunLives(None, None, str(problem))
