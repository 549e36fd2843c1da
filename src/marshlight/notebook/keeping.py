"""What recording and correcting share: building a row, and knowing it when it comes again."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from marshlight.errors import NotebookError, require

from .content import Content, fingerprint
from .doubts import Doubt
from .kinds import Kind
from .models import Event, LogRecord, Lot, Person, Run


@dataclass(frozen=True)
class Kept:
    """A record as it was kept, and what is odd about it."""

    record: LogRecord
    doubts: tuple[Doubt, ...] = ()
    added: bool = True
    """False when the very same record had been kept before."""


def new_row(
    model: type[LogRecord], run: Run, kind: Kind, *, at: datetime, content: Content, note: str
) -> Any:
    """Build an unsaved first version."""
    return model(
        run=run,
        at=at,
        kind=kind.key,
        value=content.value,
        unit=content.unit,
        entered=content.entered,
        detail=content.detail,
        note=note.strip(),
        fingerprint=fingerprint(kind.key, at, content, note.strip()),
    )


def same_again(before: Any, row: Any, *, timed: bool) -> Kept:
    """Accept a record that was sent before; refuse another one under its id."""
    if not timed:
        row.at = before.at
    same = (before.run_id, before.kind, before.at, before.value, before.detail) == (
        row.run_id,
        row.kind,
        row.at,
        row.value,
        row.detail,
    )
    if not same:
        raise NotebookError(
            "This record's id is already in the notebook with other contents; "
            "send a correction if it was written wrong."
        )
    return Kept(before, added=False)


def check_lots(content: Content) -> None:
    """Refuse a charge from a lot that is not in the notebook."""
    for part in content.detail.get("parts", ()):
        if "lot" in part:
            require(
                Lot.objects.filter(pk=part["lot"]).exists(),
                field="what went in",
                value=part["lot"],
                allowed="a lot of this notebook",
                remedy="Pick one of the lots on hand, or add the lot first",
            )


def follow(row: Any, by: Person | None) -> None:
    """Let the run follow its events: a first charge starts it, an end ends it.

    Parameters
    ----------
    row
        A record that was just kept.
    by
        Who wrote it.
    """
    run = row.run
    if not isinstance(row, Event):
        return
    if row.kind == "charge" and run.started_at is None and not row.retracted:
        run.started_at = row.at
        run.save(by=by, why="charged")
    if row.kind == "end":
        run.ended_at = None if row.retracted else row.at
        run.save(by=by, why="the end was retracted" if row.retracted else "ended")
