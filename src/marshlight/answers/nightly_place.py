"""Where the nightly update works: a cluster by the setting, else a process for each core here."""

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from contextlib import contextmanager

from marshlight.answers.workers import SETTING, workers


@contextmanager
def place_to_work(setting: str | None = None) -> Iterator[Executor]:
    """Open the place where runs are worked out, and leave it again.

    Parameters
    ----------
    setting : str, optional
        As for `workers`; left out, ``MARSHLIGHT_CLUSTER`` says it. Empty: processes of this
        machine, as what is worked out of a run is mostly Python, whose threads take turns.

    Yields
    ------
    concurrent.futures.Executor
        Whose futures give what was worked out.

    Raises
    ------
    InputError
        If the setting is no address, or nobody answers there.
    """
    text = (os.environ.get(SETTING, "") if setting is None else setting).strip()
    if text:
        # Its comings and goings are not the keeper's business; read when the library is imported.
        os.environ.setdefault("DASK_LOGGING__DISTRIBUTED", "warning")
        with workers(text) as cluster:
            assert cluster is not None, "a setting that is not empty names a place"
            yield cluster
        return
    pool = ProcessPoolExecutor(
        max_workers=os.cpu_count() or 1,
        # A fork would share this process's connection to the database.
        mp_context=multiprocessing.get_context("spawn"),
        initializer=_belong_to_the_parent,
    )
    try:
        yield pool
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _belong_to_the_parent() -> None:
    """Leave stopping to the process that keeps the results, and end with it."""
    # The terminal sends Ctrl-C to every process of the command.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_the_parent, daemon=True).start()


def _end_with_the_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        # One that is killed cannot tell its pool to end, which would wait for work for ever.
        parent.join()
        os._exit(1)
