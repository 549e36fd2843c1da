"""What was seen and done on a run, newest first, with corrections marked."""

from dataclasses import dataclass
from datetime import datetime

from marshlight.answers.record import RecordLine, kind_of, record_line, said
from marshlight.answers.series import Mark
from marshlight.answers.words import days_since
from marshlight.notebook.kinds import ADVICE_EVENTS
from marshlight.notebook.models import Event, LogRecord, Reading, Run

LINES_A_PAGE = 20
# More ticks than this on one chart would be a wall, not a timeline: then what is done every day
# gives way to what changes the run.
_MANY_MARKS = 60
_MOST_MARKS = 400
_ROUTINE = ("mix", "holder_emptied", "gas_used", "gas_vented")


@dataclass(frozen=True)
class Timeline:
    """One page of the timeline."""

    lines: tuple[RecordLine, ...]
    page: int
    pages: int
    total: int


def timeline(run: Run, now: datetime, *, page: int = 1, system: str = "metric") -> Timeline:
    """List the newest version of every record, newest first, withdrawn ones struck out.

    Parameters
    ----------
    run : Run
        The run.
    now : datetime
        The moment of asking.
    page : int
        1 is the newest; beyond the last gives the last.
    system : str
        "metric" or "us".
    """
    readings = Reading.objects.newest().filter(run=run)
    events = Event.objects.newest().filter(run=run)
    total = readings.count() + events.count()
    pages = max((total + LINES_A_PAGE - 1) // LINES_A_PAGE, 1)
    page = min(max(page, 1), pages)
    until = page * LINES_A_PAGE
    # The newest n of both together lie among the newest n of each.
    both: list[LogRecord] = [
        *readings.select_related("entered_by").order_by("-at", "-id")[:until],
        *events.select_related("entered_by").order_by("-at", "-id")[:until],
    ]
    both.sort(key=lambda record: (record.at, str(record.pk)), reverse=True)
    shown = both[until - LINES_A_PAGE : until]
    return Timeline(
        tuple(record_line(record, run, now, system=system) for record in shown), page, pages, total
    )


def event_marks(run: Run, *, system: str = "metric") -> tuple[Mark, ...]:
    """Give the events as ticks; where there are many, only those that change a run."""
    if run.started_at is None:
        return ()
    events = Event.objects.current().filter(run=run).exclude(kind__in=ADVICE_EVENTS)
    events = events.order_by("-at")
    if events.count() > _MANY_MARKS:
        events = events.exclude(kind__in=_ROUTINE)
    marks = []
    for event in events[:_MOST_MARKS]:
        words = kind_of(event).words
        text = said(event, system=system)
        day = round(days_since(run.started_at, event.at), 3)
        marks.append(Mark(day, f"{words} {text}".strip()[:80], event.kind))
    return tuple(reversed(marks))
