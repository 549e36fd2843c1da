"""Long work that can be stopped: between its parts it asks whether anybody still wants it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar


class Stopped(Exception):
    """Nothing went wrong: nobody wants the work any more, and nothing of it is kept."""


_wanted: ContextVar[Callable[[], bool] | None] = ContextVar("wanted", default=None)


@contextmanager
def stoppable(wanted: Callable[[], bool]) -> Iterator[None]:
    """Let the work inside be stopped, at its next part, once ``wanted`` says no.

    Parameters
    ----------
    wanted : callable
        Whether anybody still waits for it.
    """
    before = _wanted.set(wanted)
    try:
        yield
    finally:
        _wanted.reset(before)


def still_wanted() -> None:
    """Go on where the work is still wanted; called between its parts.

    Raises
    ------
    Stopped
        When it no longer is.

    Examples
    --------
    >>> still_wanted()
    >>> with stoppable(lambda: False):
    ...     still_wanted()
    Traceback (most recent call last):
    ...
    marshlight.answers.stopping.Stopped
    """
    wanted = _wanted.get()
    if wanted is not None and not wanted():
        raise Stopped
