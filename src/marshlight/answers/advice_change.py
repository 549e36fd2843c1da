"""Why today's advice is not that of the last look: one line, from what was kept of that look."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from marshlight.answers.advice import answers_to
from marshlight.answers.analysis import revision
from marshlight.answers.assessment import Assessed
from marshlight.answers.record import kind_of, said
from marshlight.answers.words import ago, days_since
from marshlight.decide.watch import Answered
from marshlight.notebook.kinds import ADVICE_EVENTS
from marshlight.notebook.models import AdviceLook, Event, LogRecord, Reading, Run

# Looks closer together count as one, so that turning a page writes nothing; our choice.
_SAME_LOOK = timedelta(minutes=10)
# A change is told for a day: whoever comes next morning still learns of it; our choice.
_TOLD_FOR = timedelta(days=1)
# Changes this close together are told together; our choice.
_TOGETHER = timedelta(minutes=30)
_MOST_NAMED = 3
Shown = list[dict[str, Any]]


@dataclass(frozen=True)
class _Since:
    """What may have changed a list between two looks."""

    records: tuple[LogRecord, ...]
    same_basis: bool
    passed: timedelta
    then_day: float
    answers: Mapping[str, Answered]
    taken_back: frozenset[str]
    system: str


def look_at_advice(run: Run, assessed: Assessed, now: datetime) -> str:
    """Keep what is shown now, and say how it differs from what was shown before.

    Parameters
    ----------
    run : Run
        A run that goes on.
    assessed : Assessed
        What is shown of it.
    now : datetime
        The moment of looking.

    Returns
    -------
    str
        One line with the reason for each difference, for a day after the change; else empty.

    Notes
    -----
    "After" a reading means that it came in between the two looks: what else it says is in the
    advice's own reasons.
    """
    shown = _shown(assessed)
    before = AdviceLook.objects.filter(run=run).first()
    if before is None:
        _keep(run, shown, now)
        return ""
    if _differ(before.shown, shown):
        change = _change(run, before, assessed, now)
        told = _with_just_before(before, change, now)
        _keep(run, shown, now, change=told, changed_at=now)
        return f"Changed since the last look ({ago(before.at, now)}): {change}"
    if now - before.at > _SAME_LOOK:
        _keep(run, shown, now, change=before.change, changed_at=before.changed_at)
    if before.changed_at is None or now - before.changed_at > _TOLD_FOR:
        return ""
    return f"Changed {ago(before.changed_at, now)}: {before.change}"


def _with_just_before(before: AdviceLook, change: str, now: datetime) -> str:
    """Put a change behind that of a moment ago: pieces are answered one after the other."""
    if before.changed_at is None or now - before.changed_at > _TOGETHER:
        return change
    return f"{before.change} {change}"


def _shown(assessed: Assessed) -> Shown:
    """Write the list down as it is shown, and behind it what waits."""
    lines = [(line, False) for line in assessed.advice] + [(w, True) for w in assessed.waiting]
    return [
        {
            "key": line.key,
            "what": line.what,
            "said": f"{line.what}: {line.how_much}" if line.how_much else line.what,
            "urgent": line.urgent,
            "waits": waits,
        }
        for line, waits in lines
    ]


def _differ(before: Shown, shown: Shown) -> bool:
    def seen(listed: Shown) -> set[tuple[str, bool]]:
        return {(p["key"], p["urgent"]) for p in listed if not p["waits"]}

    return seen(before) != seen(shown)


def _keep(
    run: Run, shown: Shown, now: datetime, *, change: str = "", changed_at: datetime | None = None
) -> None:
    AdviceLook.objects.update_or_create(
        run=run,
        defaults={
            "at": now,
            "shown": shown,
            "rests_on": revision(run),
            "change": change,
            "changed_at": changed_at,
        },
    )


def _change(run: Run, before: AdviceLook, assessed: Assessed, now: datetime) -> str:
    start = run.started_at or now
    since = _Since(
        records=_records_since(run, before.at),
        same_basis=before.rests_on == revision(run),
        passed=now - before.at,
        then_day=days_since(start, before.at),
        answers={answered.key: answered for _, answered in answers_to(run)},
        taken_back=_taken_back_since(run, before.at),
        system=run.site.units,
    )
    was = {p["key"]: p for p in before.shown}
    stood = {key for key, p in was.items() if not p["waits"]}
    stands = {line.key: line for line in assessed.advice}
    parts = []
    for key, line in stands.items():
        if key not in stood:
            parts.append(f"“{line.what}” is new, {_why_new(key, was, since)}")
        elif line.urgent != was[key]["urgent"]:
            how = "now urgent" if line.urgent else "no longer urgent"
            parts.append(f"“{line.what}” is {how}, {_after(since)}")
    parts += [
        f"“{was[key]['what']}” is gone, {_why_gone(key, assessed, since)}"
        for key in was
        if key in stood and key not in stands
    ]
    return "; ".join(parts) + "."


def _why_new(key: str, was: Mapping[str, Any], since: _Since) -> str:
    if key in since.taken_back:
        return "as its answer was taken back"
    answered = since.answers.get(key)
    if answered is not None and answered.back_day > since.then_day:
        return (
            "put off until now" if answered.until is not None else "its wait after “done” is over"
        )
    if was.get(key, {}).get("waits"):
        return "it had waited behind others"
    return _after(since)


def _why_gone(key: str, assessed: Assessed, since: _Since) -> str:
    aside = next((line for line in assessed.aside if line.key == key), None)
    if aside is not None:
        return "marked done" if aside.done else "put off"
    if any(line.key == key for line in assessed.waiting):
        return "it waits behind what is more urgent"
    return _after(since)


def _after(since: _Since) -> str:
    """Name what came in between; without anything new, time alone has passed."""
    if since.records:
        names = list(dict.fromkeys(_named(record, since.system) for record in since.records))
        more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
        return f"after {', '.join(names[:_MOST_NAMED])}{more}"
    if not since.same_basis:
        return "after a change of the set-up or of the program"
    hours = since.passed.total_seconds() / 3600.0
    if hours < 1.5:
        return f"as {60.0 * hours:.0f} minutes passed"
    return f"as {hours:.0f} hours passed" if hours < 36.0 else f"as {hours / 24.0:.0f} days passed"


def _named(record: LogRecord, system: str) -> str:
    words = kind_of(record).words
    if record.retracted:
        return f"a withdrawn record ({words})"
    told = f"{words} {said(record, system=system)}".strip()
    return f"a correction to {told}" if record.version > 1 else told


def _taken_back_since(run: Run, at: datetime) -> frozenset[str]:
    rows = Event.objects.newest().filter(
        run=run, kind__in=ADVICE_EVENTS, retracted=True, entered_at__gt=at
    )
    return frozenset(str(row.detail.get("advice", "")) for row in rows)


def _records_since(run: Run, at: datetime) -> tuple[LogRecord, ...]:
    """List what was written since the last look, the newest of each kind first."""
    new: list[LogRecord] = []
    for model in (Reading, Event):
        rows: Iterable[LogRecord] = (
            model.objects.newest()
            .filter(run=run, entered_at__gt=at)
            .exclude(kind__in=ADVICE_EVENTS)
            .order_by("-entered_at")[:50]
        )
        found: dict[str, LogRecord] = {}
        for row in rows:
            found.setdefault(row.kind, row)
        new += found.values()
    return tuple(sorted(new, key=lambda record: record.entered_at, reverse=True))
