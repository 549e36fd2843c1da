"""The nightly update: every run that goes on is worked out on workers, each result kept at once.

Nothing is held back to the end, so a stop costs only what is under way: started again, it goes on
with the runs whose results are missing, older than a night, or older than their log.
"""

from collections import deque
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, wait
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import datetime
from time import monotonic
from typing import Any

from django.db.models import F

from marshlight.answers.nightly_round import Failed, PlaceBroke, Progress, Round
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Run

_ASK_S = 0.5
# A place that broke down this often without giving back a single run is not worth another try.
_BREAKDOWNS = 3

Place = Callable[[], AbstractContextManager[Any]]


@dataclass(frozen=True)
class NightlyReport:
    """What came of an update; ``already`` were fresh when it began.

    ``alarms`` tells how many of those worked out are likely enough in trouble for a visit by the
    process model.
    """

    going: int
    already: int
    worked_out: int
    failed: tuple[Failed, ...]
    left: int
    breakdowns: int
    took_s: float
    cancelled: bool = False
    alarms: int = 0

    @property
    def sentence(self) -> str:
        """Say it in one sentence."""
        words = f"{self.worked_out} of {self.going} runs brought up to date in {self.took_s:.0f} s"
        words += f", {self.already} were so already" if self.already else ""
        if self.alarms:
            one = self.alarms == 1
            words += f", {self.alarms} raise{'s' * one} an alarm by the process model"
        words += f", {len(self.failed)} failed" if self.failed else ""
        return f"{words}, {self.left} left for the next start." if self.left else f"{words}."


def going_runs() -> Any:
    """Give the runs that go on, bottles of trials left out: those are judged together."""
    runs = Run.objects.in_use().filter(ended_at__isnull=True)
    return runs.exclude(trial_bottle__retired=False)


def nightly(
    now: datetime,
    *,
    place: Place,
    again: bool = False,
    by_model: bool = True,
    diagnosis: bool = True,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> NightlyReport:
    """Bring the kept result of every run that goes on up to date.

    Parameters
    ----------
    now : datetime
        The moment the runs are assessed for.
    place : callable
        Opens where runs are worked out: gives a context with an executor, anew after a breakdown.
    again : bool
        Work everything out, however fresh it is.
    by_model : bool
        Whether the process model is fitted to each log and run on for the days ahead.
    diagnosis : bool
        Whether the newest readings are held against what may be wrong; takes the process model.
    progress : callable, optional
        Told runs done, runs in all, and the name of the newest.
    cancelled : callable, optional
        Asked about twice a second; true stops, as Ctrl-C does, and what was kept stays kept.

    Returns
    -------
    NightlyReport
        With each run that failed and why.

    Raises
    ------
    MarshlightError
        If the place breaks down again and again; what was kept stays kept.
    """
    began = monotonic()
    oldest_first = going_runs().order_by(F("finding__worked_at").asc(nulls_first=True), "name")
    keys = deque(oldest_first.values_list("pk", flat=True))
    round_ = Round(now, again, by_model, diagnosis and by_model, keys, len(keys), progress)
    in_vain = 0
    while True:
        before = round_.done
        try:
            with place() as executor:
                _go(round_, executor, cancelled or (lambda: False))
            break
        except PlaceBroke as broke:
            round_.breakdowns += 1
            round_.recover()
            in_vain = 0 if round_.done > before else in_vain + 1
            if in_vain >= _BREAKDOWNS:
                raise MarshlightError(
                    f"The workers broke down {round_.breakdowns} times; {round_.done} of "
                    f"{round_.going} runs are kept. Start it again to go on."
                ) from broke
    return NightlyReport(
        going=round_.going,
        already=round_.already,
        worked_out=round_.worked_out,
        failed=tuple(round_.failed),
        left=round_.going - round_.done,
        breakdowns=round_.breakdowns,
        took_s=monotonic() - began,
        cancelled=round_.cancelled,
        alarms=round_.alarms,
    )


def _go(round_: Round, executor: Any, cancelled: Callable[[], bool]) -> None:
    """Send and take until nothing is left, or somebody cancels."""
    try:
        round_.fill(executor)
        while round_.under_way and not cancelled():
            done, _ = wait(round_.under_way, timeout=_ASK_S, return_when=FIRST_COMPLETED)
            for future in done:
                round_.take(future)
            round_.fill(executor)
        if round_.under_way:
            round_.give_up()
    except KeyboardInterrupt:
        round_.give_up()
