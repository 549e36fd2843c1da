"""Where ensembles run: this machine's threads, or the workers of a cluster, by one setting."""

import atexit
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor
from contextlib import ExitStack, contextmanager
from typing import Any

from marshlight.errors import InputError, MarshlightError

SETTING = "MARSHLIGHT_CLUSTER"
LOCAL = "local:"
# A parcel whose worker dies is run again this often before the ensemble gives up.
_TRIES_AGAIN = 3
_WAIT_S = 10.0

_standing: dict[str, Executor] = {}
_open = ExitStack()
_lock = threading.Lock()
atexit.register(_open.close)


@contextmanager
def workers(setting: str | None = None) -> Iterator[Executor | None]:
    """Open the place where ensembles run, and leave it again.

    Parameters
    ----------
    setting : str, optional
        A scheduler's address such as ``tcp://10.0.0.5:8786``; ``local:2`` for two processes on
        this machine; empty for its threads. Left out, ``MARSHLIGHT_CLUSTER`` says it.

    Yields
    ------
    concurrent.futures.Executor or None
        For ``ensemble(..., executor=...)``; None stands for this machine's threads.

    Raises
    ------
    InputError
        If the setting is no address, or nobody answers there.
    MarshlightError
        If the library for clusters is not installed.

    Notes
    -----
    Whoever can reach a scheduler can run any code on its workers: keep it in a network of your own.
    """
    text = (os.environ.get(SETTING, "") if setting is None else setting).strip()
    if not text:
        yield None
        return
    try:
        from distributed import Client
    except ImportError as error:
        raise MarshlightError(
            f"{SETTING} asks for a cluster, but its library is missing. "
            "Install marshlight with the extra 'cluster', or unset it."
        ) from error
    with ExitStack() as opened:
        address: Any = text
        if text.startswith(LOCAL):
            address = opened.enter_context(_local_cluster(text))
        try:
            client = opened.enter_context(Client(address, timeout=_WAIT_S))
        except (OSError, ValueError, TypeError) as error:
            raise InputError(
                SETTING, text, "the address of a scheduler that runs", "Start it, or correct it"
            ) from error
        yield client.get_executor(retries=_TRIES_AGAIN)


def _local_cluster(text: str) -> Any:
    from distributed import LocalCluster

    count = text.removeprefix(LOCAL)
    if not count.isdigit() or not 1 <= int(count) <= 256:
        raise InputError(SETTING, text, "local:1 to local:256", "Write for example local:2")
    with _deaf_to_ctrl_c():
        return LocalCluster(
            n_workers=int(count),
            threads_per_worker=1,
            processes=True,
            dashboard_address="127.0.0.1:0",
        )


@contextmanager
def _deaf_to_ctrl_c() -> Iterator[None]:
    """Let processes that begin here leave Ctrl-C to this one, which the terminal tells as well."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def standing_workers() -> Executor | None:
    """Open what ``MARSHLIGHT_CLUSTER`` names once, and keep it open while the program runs."""
    text = os.environ.get(SETTING, "").strip()
    if not text:
        return None
    with _lock:
        if text not in _standing:
            opened = _open.enter_context(workers(text))
            if opened is None:
                return None
            _standing[text] = opened
        return _standing[text]
