"""Keeping what was worked out: in memory, and on disk where the settings say so."""

import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core.cache import caches

MOST_KEPT = 200
_kept: "OrderedDict[str, tuple[str, Any]]" = OrderedDict()
_lock = threading.Lock()
_under_way: dict[str, threading.Lock] = {}


def kept(name: str, state: str) -> Any | None:
    """Give what was kept under a name for exactly this state, else None."""
    with _lock:
        found = _kept.get(name)
        if found is not None and found[0] == state:
            _kept.move_to_end(name)
            return found[1]
    stored = caches["analyses"].get(name)
    if stored is None or stored[0] != state:
        return None
    _remember(name, state, stored[1])
    return stored[1]


def latest(name: str) -> tuple[str, Any] | None:
    """Give what was last kept under a name, with its state, however old; None if nothing was."""
    with _lock:
        found = _kept.get(name)
    stored: tuple[str, Any] | None = caches["analyses"].get(name) if found is None else found
    return stored


def keep(name: str, state: str, thing: Any) -> None:
    """Keep a thing under a name for one state; it replaces that of any other state."""
    _remember(name, state, thing)
    caches["analyses"].set(name, (state, thing))


def _remember(name: str, state: str, thing: Any) -> None:
    with _lock:
        _kept[name] = (state, thing)
        _kept.move_to_end(name)
        while len(_kept) > MOST_KEPT:
            _kept.popitem(last=False)


@contextmanager
def one_at_a_time(name: str) -> Iterator[None]:
    """Let a second asker wait for the first instead of working it out again."""
    with _lock:
        mine = _under_way.setdefault(name, threading.Lock())
    with mine:
        yield
