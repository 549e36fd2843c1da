"""What a worker does of the nightly update: no database, no settings, only the log it was handed.

Imports nothing of the notebook before it is asked to work: a worker may be a bare process on
another machine, where Django has yet to be told what a run is.
"""

import pickle
import threading
from dataclasses import dataclass
from datetime import datetime
from time import perf_counter
from typing import Any

_lock = threading.Lock()


@dataclass(frozen=True)
class Job:
    """What is to be worked out of one run, and all that it takes.

    ``analysis`` is None unless the log has not changed since it was made; then ``records`` and
    ``latest`` are what it is made from. ``earlier`` are the lives found last, ``taught``
    those of runs that ended, ``looked`` is what the last diagnosis left, ``marks`` the events for
    the charts. Without ``by_model`` the process model is left out, without ``diagnosis`` what may
    be wrong.
    """

    records: Any
    latest: Any
    analysis: Any
    earlier: Any
    taught: Any
    looked: Any
    marks: Any
    now: datetime
    system: str
    by_model: bool
    diagnosis: bool


@dataclass(frozen=True)
class Parcel:
    """A job on its way to a worker, with the run's key."""

    key: str
    job: bytes


@dataclass(frozen=True)
class Made:
    """What was worked out; all but the analysis are None where they were left out."""

    analysis: Any
    lives: Any = None
    outlook: Any = None
    diagnosed: Any = None


@dataclass(frozen=True)
class Returned:
    """What came back: a pickled `Made`, or why there is none."""

    made: bytes = b""
    why_not: str = ""
    took_s: float = 0.0


def work_out_parcel(parcel: Parcel) -> Returned:
    """Work out one run: its analysis, its lives, what lies ahead and what may be wrong.

    Parameters
    ----------
    parcel : Parcel
        The job.

    Returns
    -------
    Returned
        A failure comes back as words: raised, it would be taken for a worker's and tried again.
    """
    began = perf_counter()
    try:
        _know_the_notebook()
        made = _made(pickle.loads(parcel.job), parcel.key)
        return Returned(pickle.dumps(made), took_s=perf_counter() - began)
    except Exception as error:
        from marshlight.errors import MarshlightError

        known = isinstance(error, MarshlightError)
        why = str(error) if known else f"a defect of marshlight: {error!r}"
        return Returned(why_not=why, took_s=perf_counter() - began)


def _made(job: Job, key: str) -> Made:
    from marshlight.answers.analysis import whole, work_out
    from marshlight.answers.diagnosed import diagnose_run
    from marshlight.answers.lives import fit_lives
    from marshlight.answers.outlook import goes_on, outlook_from

    analysis = job.analysis
    if analysis is None:
        analysis = whole(job.records, job.latest, work_out(job.records, seed=key))
    if not job.by_model or not goes_on(analysis.records.run, job.now):
        return Made(analysis)
    lives = fit_lives(analysis, job.earlier, taught=job.taught, now=job.now, seed=f"lives-{key}")
    outlook = outlook_from(analysis, lives, marks=job.marks, now=job.now, system=job.system)
    if not job.diagnosis:
        return Made(analysis, lives, outlook)
    run = analysis.records.run
    found = diagnose_run(run, lambda: lives, job.looked, now=job.now)
    return Made(analysis, lives, outlook, found)


def _know_the_notebook() -> None:
    """Tell Django what a record is, in a process that has not been told; it gets no database."""
    from django.apps import apps
    from django.conf import settings

    with _lock:
        if apps.ready:
            return
        if not settings.configured:
            settings.configure(
                INSTALLED_APPS=[
                    "django.contrib.contenttypes",
                    "django.contrib.auth",
                    "marshlight.notebook",
                ],
                DEFAULT_AUTO_FIELD="django.db.models.BigAutoField",
                USE_TZ=True,
            )
        import django

        django.setup()
