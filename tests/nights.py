"""Nights worked out in the test's own thread, by workers that die when they are told to."""

from collections.abc import Callable, Iterator
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any

from django.utils import timezone

from marshlight.answers.nightly import NightlyReport, nightly
from marshlight.answers.nightly_parcel import Parcel, Returned


class Inline:
    """An executor that works in this thread; ``deaths`` says at which parcels its worker dies."""

    def __init__(self, die: Callable[[Parcel], bool] = lambda parcel: False) -> None:
        self.die, self.sent, self.broken = die, 0, False

    def submit(self, work: Callable[[Parcel], Returned], parcel: Parcel) -> Future[Returned]:
        if self.broken:
            raise BrokenProcessPool("broken")
        self.sent += 1
        future: Future[Returned] = Future()
        if self.die(parcel):
            self.broken = True
            future.set_exception(BrokenProcessPool("a worker died"))
        else:
            future.set_result(work(parcel))
        return future


class Place:
    """Opens one inline executor after another."""

    def __init__(self, die: Callable[[Parcel], bool] = lambda parcel: False) -> None:
        self.die = die
        self.opened: list[Inline] = []

    @contextmanager
    def __call__(self) -> Iterator[Any]:
        self.opened.append(Inline(self.die))
        yield self.opened[-1]

    @property
    def sent(self) -> int:
        return sum(executor.sent for executor in self.opened)


def go(place: Any = None, **more: Any) -> NightlyReport:
    """Bring the runs up to date; without the process model unless it is asked for."""
    given = {"by_model": False, "now": timezone.now(), **more}
    return nightly(given.pop("now"), place=place or Place(), **given)
