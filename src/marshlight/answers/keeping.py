"""Keeping what was worked out: in memory, and on disk where the settings say so."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from django.core.cache import caches

Thing = TypeVar("Thing")
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


@dataclass(frozen=True)
class Ready(Generic[Thing]):
    """The newest of a thing there is; ``fresh`` once it has seen the newest record."""

    thing: Thing
    fresh: bool


def newest(name: str, state: Callable[[], str]) -> Ready[Any] | None:
    """Give the newest kept under a name, however old, without waiting; None if there is none.

    The state of things is only asked where there is something to compare with it.
    """
    found = latest(name)
    return None if found is None else Ready(found[1], found[0] == state())


def remembered(name: str, state: Callable[[], str], make: Callable[[Thing | None], Thing]) -> Thing:
    """Give what is kept under a name for the state of things, or make it.

    Parameters
    ----------
    name : str
        What it is kept under.
    state : callable
        Tells the state; asked once nobody else is at work on the same.
    make : callable
        Makes it, given what was kept of an earlier state, or None.
    """
    with one_at_a_time(name):
        now = state()
        found: Thing | None = kept(name, now)
        if found is None:
            before = latest(name)
            found = make(None if before is None else before[1])
            keep(name, now, found)
    return found
