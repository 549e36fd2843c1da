"""Long answers worked out in the background, with progress, so that no page waits for them."""

import threading
import time
import uuid
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any

from django.db import connection

from marshlight.answers.stopping import Stopped, stoppable
from marshlight.server.ahead import works_ahead

Progress = Callable[[int, int], None]
Work = Callable[[Progress], Any]
PATIENCE_S = 1.0
MOST_KEPT = 40


@dataclass
class Job:
    """One answer on its way: how far it is, since when, and whether somebody stopped it.

    ``ident`` is what a page stops it by.
    """

    future: "Future[Any]"
    since: float = field(default_factory=time.monotonic)
    done: int = 0
    of: int = 0
    stopped: bool = False
    ident: str = field(default_factory=lambda: uuid.uuid4().hex)

    @property
    def words(self) -> str:
        """Say how far it is."""
        parts = f"{self.done} of {self.of} parts done, " if self.of else ""
        return f"{parts}{time.monotonic() - self.since:.0f} s so far."


_jobs: "OrderedDict[str, Job]" = OrderedDict()
_lock = threading.Lock()
# One at a time: two would only slow each other and the pages beside them.
_pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="soon")


def soon(name: str, work: Work) -> Any | Job:
    """Give an answer if it is there within a second, else the job that makes it.

    Parameters
    ----------
    name : str
        Names the question and the state of what it rests on: the same name is the same answer.
    work : callable
        Makes the answer; is given a function to tell progress to.

    Returns
    -------
    Any or Job
        The answer; or the job, to be asked for again.
    """
    if not works_ahead():
        return work(_silent)
    with _lock:
        job = _jobs.get(name)
        if job is None:
            job = Job(Future())
            _jobs[name] = job
            while len(_jobs) > MOST_KEPT:
                _end(_jobs.popitem(last=False)[1])
            job.future = _pool.submit(_worked, work, job)
        _jobs.move_to_end(name)
    try:
        return job.future.result(timeout=PATIENCE_S)
    except TimeoutError:
        if not job.future.done():
            return job
        raise
    except (CancelledError, Stopped):
        # Somebody else left it while this one still waits: asked for again, it begins anew.
        return job
    except Exception:
        # The next asker tries again rather than meeting an old failure.
        with _lock:
            _jobs.pop(name, None)
        raise


def stop(ident: str) -> bool:
    """Stop a job: one that waits is not begun, one under way ends at its next part.

    Parameters
    ----------
    ident : str
        The job's.

    Returns
    -------
    bool
        Whether there was such a job still to be stopped.
    """
    with _lock:
        found = next((name for name, job in _jobs.items() if job.ident == ident), None)
        if found is None or _jobs[found].future.done():
            return False
        _end(_jobs.pop(found))
    return True


def _end(job: Job) -> None:
    job.stopped = True
    job.future.cancel()


def _silent(done: int, of: int) -> None:
    """Tell nobody."""


def _worked(work: Work, job: Job) -> Any:
    def tell(done: int, of: int) -> None:
        job.done, job.of = done, of

    try:
        with stoppable(lambda: not job.stopped):
            return work(tell)
    finally:
        connection.close()
