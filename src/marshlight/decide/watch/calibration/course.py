"""Running the lives of a digester side by side, from the charge or from any day on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.varied import Draws, charged, poured, settings_of
from marshlight.errors import require
from marshlight.process.model import Digester, Dose, Event, Feed, Flow
from marshlight.process.model.kernel import LANES, SCALAR, Integers, Outcome, Reals, layout, run
from marshlight.process.model.liquid import MODEL
from marshlight.process.model.schedule import Schedule

# Good to about 0.1 % of any curve that is read. A looser one is not faster: where errors are let
# grow, fast states (hydrogen, oxygen, the holder's corners) throw steps away.
RTOL = 2e-5
# Tolerances for the few lives that cannot be run at that one, and the failures that they may mend.
_AGAIN, _OF_STEPS = (1e-6, 1e-3), (1, 2, 3, 4)
# Members handed to the library at once, so that what they are fed does not fill the memory.
_AT_ONCE = 64


@dataclass(frozen=True)
class Course:
    """What the lives gave: ``curves`` (member, time, name), ``end`` (member, state).

    ``fine`` is 0 where a life ran through, else the kernel's reason.
    """

    day: Floats
    names: tuple[str, ...]
    curves: Floats
    end: Floats
    fine: Integers

    def __getitem__(self, name: str) -> Floats:
        """Give one curve of all members, shape (member, time)."""
        return np.asarray(self.curves[:, :, self.names.index(name)])


@dataclass(frozen=True)
class Plan:
    """A stretch of a run, ready to be run with any draws."""

    digester: Digester
    events: tuple[Event, ...]
    schedule: Schedule
    day: Floats
    watch: tuple[str, ...]
    rtol: float

    def run(self, states: Floats, settings: Floats, draws: Draws) -> Course:
        """Run every member from its own states, settings and draws."""
        program = self.schedule.program(settings[0], self.day, self.watch, rtol=self.rtol)
        vectors = self._vectors(draws)
        parts: list[Outcome] = []
        for first in range(0, len(states), _AT_ONCE):
            piece = slice(first, first + _AT_ONCE)
            fed = vectors if len(vectors) == 1 else vectors[piece]
            parts.append(run(program, settings[piece], states[piece], fed, form=LANES))
        found = Course(
            self.day,
            self.watch,
            np.concatenate([part.out for part in parts]),
            np.concatenate([part.end for part in parts]),
            np.concatenate([part.status for part in parts]),
        )
        for rtol in _AGAIN:
            # Steps that fail at one tolerance mostly succeed at another.
            failed = np.flatnonzero(np.isin(found.fine, _OF_STEPS))
            if not failed.size:
                break
            fed = vectors if len(vectors) == 1 else vectors[failed]
            other = replace(program, rtol=rtol)
            again = run(other, settings[failed], states[failed], fed, form=SCALAR)
            found.curves[failed], found.end[failed] = again.out, again.end
            found.fine[failed] = again.status
        return found

    def _vectors(self, draws: Draws) -> Reals:
        """Stack what is put in, each feed as each life has it."""
        if not self.schedule.vectors:
            return np.zeros((1, 1, len(layout(MODEL).states)))
        recorded = self.schedule.vector_array()
        fed = _fed_places(self.events)
        if not fed or not {"food", "buffer"} & set(draws):
            return recorded
        members = len(next(iter(draws.values())))
        whole = np.tile(recorded, (members, 1, 1))
        whole[:, fed] = poured(recorded[0, fed], draws)
        return whole


def _fed_places(events: Sequence[Event]) -> list[int]:
    """Tell which of the added vectors are feeds: feeds and doses each add one, in order."""
    adding = [event for event in events if isinstance(event, (Feed, Dose))]
    return [i for i, event in enumerate(adding) if isinstance(event, Feed)]


def plan(
    digester: Digester,
    events: Sequence[Event],
    *,
    start: float,
    days: Sequence[float] | Floats,
    watch: Sequence[str],
    before: Sequence[Event] = (),
    rtol: float = RTOL,
) -> Plan:
    """Write a stretch of a run down for the kernel.

    Parameters
    ----------
    digester : Digester
        As recorded.
    events : sequence of Event
        What happens from ``start`` to the last day.
    start : float
        Day the stretch begins [d].
    days : sequence of float
        Days to report, increasing, from ``start`` on.
    watch : sequence of str
        States or observables of the model to report.
    before : sequence of Event
        What happened before: what it set still holds.
    rtol : float
        Relative tolerance of a step.

    Raises
    ------
    InputError
        When a day is out of order, an event lies outside the stretch, or a curve is unknown.
    """
    when = np.asarray(days, dtype=np.float64)
    require(
        when.ndim == 1
        and len(when) > 0
        and when[0] >= start - 1e-9
        and bool((np.diff(when) > 0.0).all()),
        field="days",
        value=when[:5].tolist(),
        allowed=f"increasing days from {start:g} on",
        remedy="List the days to report in order",
    )
    for event in events:
        require(
            start - 1e-9 <= event.day <= when[-1] and not isinstance(event, Flow),
            field="events",
            value=event.day,
            allowed=f"feeds and other doings of one moment, day {start:g} to {when[-1]:g}",
            remedy="Report up to the last event, and write a flow as daily feeds",
        )
    for name in watch:
        require(
            name in layout(MODEL).watched_at,
            field="watch",
            value=name,
            allowed="a state or observable of the model",
            remedy="Look at the model's tables",
        )
    schedule = Schedule(MODEL, start, float(when[-1]))
    earlier = Schedule(MODEL, start, float(when[-1]))
    for event in sorted(before, key=lambda e: e.day):
        event.enter(earlier, digester)
    schedule.changes += earlier.changes
    ordered = tuple(sorted(events, key=lambda e: e.day))
    for event in ordered:
        event.enter(schedule, digester)
    return Plan(digester, ordered, schedule, when, tuple(watch), rtol)


def from_charge(
    log: RunLog, draws: Draws, *, days: Sequence[float] | Floats, watch: Sequence[str]
) -> tuple[Course, Floats, Floats]:
    """Run lives of a log from its charge to today; give the course, settings and first states."""
    settings = settings_of(log.digester, draws)
    states = charged(log.digester, log.charge, draws)
    ready = plan(log.digester, log.events, start=0.0, days=days, watch=watch)
    return ready.run(states, settings, draws), settings, states
