"""One round of the nightly update: runs are sent out, what comes back is kept at once."""

import pickle
from collections import Counter, deque
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, CancelledError, Future
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from marshlight.answers.analysis import latest_readings, ready, revision
from marshlight.answers.diagnosed import diagnosed_name, last_look, settled
from marshlight.answers.fleet_finding import keep_failure, keep_finding
from marshlight.answers.keeping import keep, latest
from marshlight.answers.lives import lives_name, taught_by
from marshlight.answers.nightly_parcel import Job, Made, Parcel, Returned, work_out_parcel
from marshlight.answers.outlook import outlook_name
from marshlight.answers.timeline import event_marks
from marshlight.notebook.bridge import run_facts
from marshlight.notebook.models import Run

# What was worked out this long ago is still tonight's; our choice.
FRESH_FOR = timedelta(hours=12)
# Logs on their way: enough for some dozens of workers, and little to hold here; our choice.
_ON_THEIR_WAY = 96
# A worker may be killed for other reasons; one that dies twice alone with a run died of the run.
_LONE_DEATHS = 2

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True)
class Failed:
    """A run that could not be worked out, and why."""

    ident: str
    name: str
    why: str


@dataclass(frozen=True)
class Sent:
    """A run that is being worked out elsewhere."""

    run: Run
    state: str


class PlaceBroke(Exception):
    """The place where runs are worked out has broken down."""


@dataclass
class Round:
    """One update under way."""

    now: datetime
    again: bool
    by_model: bool
    diagnosis: bool
    waiting: deque[Any]
    going: int
    progress: Progress | None
    # Runs that were under way when a worker died are sent one by one: the next death names one.
    suspects: deque[Any] = field(default_factory=deque)
    under_way: dict[Future[Returned], Sent] = field(default_factory=dict)
    failed: list[Failed] = field(default_factory=list)
    lone_deaths: "Counter[Any]" = field(default_factory=Counter)
    already: int = 0
    worked_out: int = 0
    alarms: int = 0
    breakdowns: int = 0
    alone: bool = False
    cancelled: bool = False

    @property
    def done(self) -> int:
        """How many runs need no more of this update."""
        return self.already + self.worked_out + len(self.failed)

    def tell(self, what: str) -> None:
        """Tell how far it is."""
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
            raise PlaceBroke from error
        self.under_way[future] = Sent(run, state)

    def _is_fresh(self, run: Run, state: str) -> bool:
        finding = getattr(run, "finding", None)
        if finding is None or finding.trouble or finding.rests_on != state:
            return False
        wanted = {"by_model": self.by_model, "diagnosed": self.diagnosis}
        if any(asked and not finding.said.get(name) for name, asked in wanted.items()):
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
            taught=taught_by(run) if self.by_model else (),
            looked=last_look(run) if self.diagnosis else None,
            marks=event_marks(run, system=run.site.units),
            now=self.now,
            system=run.site.units,
            by_model=self.by_model,
            diagnosis=self.diagnosis,
        )

    def take(self, future: Future[Returned]) -> None:
        """Keep what came back of one run."""
        sent = self.under_way[future]
        try:
            returned = future.result()
        except (BrokenExecutor, CancelledError) as error:
            raise PlaceBroke from error
        except Exception as error:  # a cluster gives up on what killed several of its workers
            returned = Returned(why_not=f"its workers died: {error}")
        del self.under_way[future]
        if returned.why_not:
            self._fail(sent.run, returned.why_not)
            return
        try:
            self._keep(sent, pickle.loads(returned.made), returned.took_s)
        except Exception as error:  # one run's trouble is not the others'
            self._fail(sent.run, str(error))
            return
        self.worked_out += 1
        self.tell(sent.run.name)

    def _keep(self, sent: Sent, made: Made, took_s: float) -> None:
        run, state = sent.run, sent.state
        keep(str(run.pk), state, made.analysis)
        if made.lives is not None:
            keep(lives_name(run), state, made.lives)
            keep(outlook_name(run, run.site.units), state, made.outlook)
        if made.diagnosed is not None:
            keep(diagnosed_name(run), state, settled(run, state, made.diagnosed))
            found = made.diagnosed.found
            self.alarms += found is not None and found.alarm
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
