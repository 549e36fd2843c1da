"""Working ahead: runs, outlooks and trials are worked out behind the pages, which never wait."""

import itertools
import logging
import queue
import threading
import time
from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from django.conf import settings
from django.db import connection
from django.utils import timezone

from marshlight.answers.analysis import analyse, ready, revision
from marshlight.answers.diagnosis import diagnosis_of
from marshlight.answers.fleet_finding import keep_finding
from marshlight.answers.gas_space_run import BY_MODEL, own_way
from marshlight.answers.outlook import outlook_of
from marshlight.answers.run_gas import run_gas
from marshlight.answers.stopping import Stopped, stoppable
from marshlight.answers.trial_result import trial_result
from marshlight.notebook.models import Run, Trial, TrialBottle

log = logging.getLogger("marshlight.server")

# Somebody waits; somebody waits but can read on meanwhile; nobody does; what only a page further in
# will ask for.
_FIRST, _NEXT, _LATER, _LAST = range(4)
_waiting: "queue.PriorityQueue[tuple[int, int, Any]]" = queue.PriorityQueue()
_order = itertools.count()
_listed: set[Any] = set()
# What somebody no longer waits for, and what is under way with the moment it began.
_left: set[Any] = set()
_begun: dict[Any, float] = {}
_lock = threading.Lock()
_worker: threading.Thread | None = None


def works_ahead() -> bool:
    """Say whether this process works ahead: a server does, a test or a command does not."""
    return bool(settings.MARSHLIGHT_AHEAD)


def analyse_soon(run_ids: Iterable[Any] | None = None, *, first: bool = True) -> None:
    """Put runs on the list of what to analyse, and return at once.

    Parameters
    ----------
    run_ids : iterable, optional
        Keys of the runs; all that go on if left out.
    first : bool
        Whether somebody is waiting for these.
    """
    if not works_ahead():
        return
    if run_ids is None:
        # Bottles of a trial are looked at together, on the trial's own page.
        going = Run.objects.in_use().filter(ended_at__isnull=True)
        going = going.exclude(trial_bottle__retired=False)
        run_ids = going.order_by("-started_at").values_list("pk", flat=True)
        first = False
    run_ids = list(run_ids)
    _list(run_ids, first=first)
    if first:
        bottles = TrialBottle.objects.in_use().filter(run__in=run_ids)
        assess_soon(set(bottles.values_list("trial", flat=True)), first=False)


def assess_soon(trial_ids: Iterable[Any] | None = None, *, first: bool = True) -> None:
    """Put trials on the same list, and return at once.

    Parameters
    ----------
    trial_ids : iterable, optional
        Keys of the trials; all in use if left out.
    first : bool
        Whether somebody is waiting for these.
    """
    if not works_ahead():
        return
    if trial_ids is None:
        trial_ids = Trial.objects.in_use().values_list("pk", flat=True)
    _list([("trial", key) for key in trial_ids], first=first)


def outlook_soon(run_id: Any, system: str) -> None:
    """Put the outlook of a run, in a reader's units, on the list, and return at once."""
    if works_ahead():
        _list([("outlook", run_id, system)], turn=_NEXT)


def diagnosis_soon(run_id: Any, system: str) -> None:
    """Put the diagnosis of a run, in a reader's units, on the list, and return at once."""
    if works_ahead():
        _list([("diagnosis", run_id, system)], turn=_NEXT)


def waited(job: Any) -> str:
    """Say how long a job has been under way, or that it waits its turn.

    Parameters
    ----------
    job : tuple
        What is worked out, such as ("outlook", key of the run, "metric").
    """
    since = _begun.get(job)
    return "It waits its turn." if since is None else f"{time.monotonic() - since:.0f} s so far."


def leave(job: Any) -> None:
    """Take a job off the list; one that is under way ends at its next part.

    Parameters
    ----------
    job : tuple
        What is worked out, such as ("outlook", key of the run, "metric").
    """
    with _lock:
        if job in _listed or job in _begun:
            _listed.discard(job)
            _left.add(job)


def _list(jobs: Iterable[Any], *, first: bool = False, turn: int = _LATER) -> None:
    for job in jobs:
        with _lock:
            _left.discard(job)
            # A job somebody waits for is listed again, further up; the second time costs nothing.
            if job in _listed and not first:
                continue
            _listed.add(job)
        _waiting.put((_FIRST if first else turn, next(_order), job))
    _start()


def _start() -> None:
    global _worker  # noqa: PLW0603  (one worker a process)
    with _lock:
        if _worker is None or not _worker.is_alive():
            _worker = threading.Thread(target=_work, name="ahead", daemon=True)
            _worker.start()


def _work() -> None:
    while True:
        try:
            turn, _, job = _waiting.get(timeout=30.0)
        except queue.Empty:
            connection.close()
            continue
        _do(job, turn)


def _do(job: Any, turn: int) -> None:
    """Work one job of the list out, unless it was left."""
    with _lock:
        _listed.discard(job)
        if job in _left:
            _left.discard(job)
            return
        _begun[job] = time.monotonic()
    try:
        with stoppable(partial(_is_wanted, job)):
            _work_out(job, turn)
    except Stopped:
        pass
    except Exception:  # the page of that run will say what is wrong with it
        log.warning("could not work something out ahead", exc_info=True)
    finally:
        with _lock:
            _begun.pop(job, None)
            _left.discard(job)


def _is_wanted(job: Any) -> bool:
    return job not in _left


def _work_out(job: Any, turn: int) -> None:
    if isinstance(job, tuple):
        _OTHERS[job[0]](*job[1:])
        return
    runs = Run.objects.select_related("site", "vessel", "holder", "heater")
    run = runs.filter(pk=job).first()
    if run is not None and turn == _LAST:
        own_way(run_gas(run), BY_MODEL)
    elif run is not None:
        state = revision(run)
        keep_finding(run, analyse(run), timezone.now(), rests_on=state)
        _waiting.put((_LAST, next(_order), job))
        if turn == _FIRST:
            # What its page shows further down, before anybody has scrolled there.
            parts = ("outlook", "diagnosis")
            _list([(part, job, run.site.units) for part in parts], turn=_LAST)


def _assess(trial_id: Any) -> None:
    trial = Trial.objects.select_related("site").filter(pk=trial_id).first()
    if trial is not None:
        trial_result(trial)


def _look(run_id: Any, system: str) -> None:
    run = Run.objects.select_related("site", "vessel", "holder", "heater").filter(pk=run_id).first()
    if run is not None:
        outlook_of(run, now=timezone.now(), system=system)


def _diagnose(run_id: Any, system: str) -> None:
    run = Run.objects.select_related("site", "vessel", "holder", "heater").filter(pk=run_id).first()
    if run is None:
        return
    now = timezone.now()
    diagnosis_of(run, now=now, system=system)
    # The list of many runs says what is suspected as well.
    state = revision(run)
    if run.ended_at is None and (analysis := ready(run)) is not None:
        keep_finding(run, analysis, now, rests_on=state)


_OTHERS: dict[str, Callable[..., None]] = {
    "trial": _assess,
    "outlook": _look,
    "diagnosis": _diagnose,
}
