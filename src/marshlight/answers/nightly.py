"""The nightly update: every run that goes on is worked out on workers, each result kept at once.

Nothing is held back to the end, so a stop costs only what is under way: started again, it goes on
with the runs whose results are missing, older than a night, or older than their log.
"""

import pickle
from collections import Counter, deque
from collections.abc import Callable
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, CancelledError, Future, wait
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from time import monotonic
from typing import Any

from django.db.models import F

from marshlight.answers.analysis import latest_readings, ready, revision
from marshlight.answers.fleet_finding import keep_failure, keep_finding
from marshlight.answers.keeping import keep, latest
from marshlight.answers.lives import lives_name
from marshlight.answers.nightly_parcel import Job, Made, Parcel, Returned, work_out_parcel
from marshlight.answers.outlook import outlook_name
from marshlight.answers.timeline import event_marks
from marshlight.errors import MarshlightError
from marshlight.notebook.bridge import run_facts
from marshlight.notebook.models import Run

# What was worked out this long ago is still tonight's; our choice.
FRESH_FOR = timedelta(hours=12)
# Logs on their way: enough for some dozens of workers, and little to hold here; our choice.
_ON_THEIR_WAY = 96
_ASK_S = 0.5
# A worker may be killed for other reasons; one that dies twice alone with a run died of the run.
_LONE_DEATHS = 2
# A place that broke down this often without giving back a single run is not worth another try.
_BREAKDOWNS = 3

Place = Callable[[], AbstractContextManager[Any]]
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Failed:
    """A run that could not be worked out, and why."""

    ident: str
    name: str
    why: str


@dataclass(frozen=True)
class NightlyReport:
    """What came of an update; ``already`` were fresh when it began."""

    going: int
    already: int
    worked_out: int
    failed: tuple[Failed, ...]
    left: int
    breakdowns: int
    took_s: float
    cancelled: bool = False

    @property
    def sentence(self) -> str:
        """Say it in one sentence."""
        words = f"{self.worked_out} of {self.going} runs brought up to date in {self.took_s:.0f} s"
        words += f", {self.already} were so already" if self.already else ""
        words += f", {len(self.failed)} failed" if self.failed else ""
        return f"{words}, {self.left} left for the next start." if self.left else f"{words}."


@dataclass(frozen=True)
class _Sent:
    """A run that is being worked out elsewhere."""

    run: Run
    state: str


class _PlaceBroke(Exception):
    """The place where runs are worked out has broken down."""


@dataclass
class _Round:
    """One update under way."""

    now: datetime
    again: bool
    by_model: bool
    waiting: deque[Any]
    going: int
    progress: Progress | None
    # Runs that were under way when a worker died are sent one by one: the next death names one.
    suspects: deque[Any] = field(default_factory=deque)
    under_way: dict[Future[Returned], _Sent] = field(default_factory=dict)
    failed: list[Failed] = field(default_factory=list)
    lone_deaths: "Counter[Any]" = field(default_factory=Counter)
    already: int = 0
    worked_out: int = 0
    breakdowns: int = 0
    alone: bool = False
    cancelled: bool = False

    @property
    def done(self) -> int:
        return self.already + self.worked_out + len(self.failed)

    def tell(self, what: str) -> None:
        if self.progress is not None:
            self.progress(self.done, self.going, what)

    def fill(self, executor: Any) -> None:
        """Send runs until enough are on their way; a suspect goes alone."""
        while not (self.alone and self.under_way):
            self.alone = bool(self.suspects)
            if self.alone and self.under_way:
                return
            queue = self.suspects or self.waiting
            if not queue or len(self.under_way) >= _ON_THEIR_WAY:
                return
            self._send(queue.popleft(), executor)

    def _send(self, key: Any, executor: Any) -> None:
        whole = Run.objects.select_related("site", "vessel", "holder", "heater", "finding")
        run = whole.get(pk=key)
        state = revision(run)
        if not self.again and self._is_fresh(run, state):
            self.already += 1
            self.tell(run.name)
            return
        try:
            parcel = Parcel(str(run.pk), pickle.dumps(self._job(run)))
        except Exception as error:
            self._fail(run, str(error))
            return
        try:
            future = executor.submit(work_out_parcel, parcel)
        except (BrokenExecutor, RuntimeError) as error:
            self.waiting.appendleft(key)
            raise _PlaceBroke from error
        self.under_way[future] = _Sent(run, state)

    def _is_fresh(self, run: Run, state: str) -> bool:
        finding = getattr(run, "finding", None)
        if finding is None or finding.trouble or finding.rests_on != state:
            return False
        return bool(finding.worked_at > self.now - FRESH_FOR)

    def _job(self, run: Run) -> Job:
        """Read all that a worker needs from the notebook."""
        analysis = None if self.again else ready(run)
        earlier = latest(lives_name(run)) if self.by_model else None
        return Job(
            records=run_facts(run) if analysis is None else None,
            latest=latest_readings(run) if analysis is None else None,
            analysis=analysis,
            earlier=None if earlier is None else earlier[1],
            marks=event_marks(run, system=run.site.units),
            now=self.now,
            system=run.site.units,
            by_model=self.by_model,
        )

    def take(self, future: Future[Returned]) -> None:
        """Keep what came back of one run."""
        sent = self.under_way[future]
        try:
            returned = future.result()
        except (BrokenExecutor, CancelledError) as error:
            raise _PlaceBroke from error
        except Exception as error:  # a cluster gives up on what killed several of its workers
            returned = Returned(why_not=f"its workers died: {error}")
        del self.under_way[future]
        try:
            if returned.why_not:
                raise MarshlightError(returned.why_not)
            self._keep(sent, pickle.loads(returned.made), returned.took_s)
        except MarshlightError as error:
            self._fail(sent.run, str(error))
            return
        self.worked_out += 1
        self.tell(sent.run.name)

    def _keep(self, sent: _Sent, made: Made, took_s: float) -> None:
        run, state = sent.run, sent.state
        keep(str(run.pk), state, made.analysis)
        if made.lives is not None:
            keep(lives_name(run), state, made.lives)
            keep(outlook_name(run, run.site.units), state, made.outlook)
        keep_finding(run, made.analysis, self.now, rests_on=state, took_s=took_s)

    def _fail(self, run: Run, why: str) -> None:
        keep_failure(run, why)
        self.failed.append(Failed(str(run.pk), run.name, why))
        self.tell(run.name)

    def recover(self) -> None:
        """Take back what was under way when a place broke down."""
        lost = list(self.under_way.values())
        self.under_way.clear()
        if len(lost) == 1:
            run = lost[0].run
            self.lone_deaths[run.pk] += 1
            if self.lone_deaths[run.pk] >= _LONE_DEATHS:
                self._fail(run, "the worker died whenever it worked out this run alone")
                return
        self.suspects.extend(sent.run.pk for sent in lost)

    def give_up(self) -> None:
        """Stop what is under way; it is worked out at the next start."""
        self.cancelled = True
        for future in self.under_way:
            future.cancel()
        self.under_way.clear()


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
    round_ = _Round(now, again, by_model, keys, len(keys), progress)
    in_vain = 0
    while True:
        before = round_.done
        try:
            with place() as executor:
                _go(round_, executor, cancelled or (lambda: False))
            break
        except _PlaceBroke as broke:
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
    )


def _go(round_: _Round, executor: Any, cancelled: Callable[[], bool]) -> None:
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
