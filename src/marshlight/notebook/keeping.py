"""What recording and correcting share: building a row, and knowing it when it comes again."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from marshlight.errors import InputError, NotebookError, require

from .content import Content, fingerprint
from .doubts import Doubt
from .keepable import keepable
from .kinds import Kind
from .models import Event, LogRecord, Lot, Person, Run
from .resting import outdate


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
    note = keepable(note).strip()
    return model(
        run=run,
        at=at,
        kind=kind.key,
        value=content.value,
        unit=content.unit,
        entered=content.entered,
        detail=content.detail,
        note=note,
        fingerprint=fingerprint(kind.key, at, content, note),
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


def as_id(given: uuid.UUID | str | None) -> uuid.UUID | None:
    """Read an id that a client made.

    Raises
    ------
    InputError
        If it is not a UUID.
    """
    try:
        return uuid.UUID(given) if isinstance(given, str) else given
    except ValueError as error:
        raise InputError("id", given, "a UUID", "Let the program make a new one") from error


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
    """Let the run follow its records: a first charge starts it, an end ends it.

    Parameters
    ----------
    row
        A record that was just kept.
    by
        Who wrote it.

    Raises
    ------
    InputError
        If the run would end before it starts.
    """
    outdate(row.run)
    if not isinstance(row, Event):
        return
    run = row.run
    if row.kind == "charge" and not row.retracted:
        was = row.supersedes.at if row.supersedes is not None else None
        if run.started_at is None or (was is not None and run.started_at == was != row.at):
            run.started_at = row.at
            run.save(by=by, why="charged" if was is None else row.reason)
    if row.kind == "end":
        require(
            row.retracted or run.started_at is None or row.at >= run.started_at,
            field="end of the run",
            value=row.at.isoformat(sep=" ", timespec="minutes"),
            allowed=f"after its start, {run.started_at:%Y-%m-%d %H:%M} UTC",
            remedy="Check the date of the end, or correct the start of the run",
        )
        run.ended_at = None if row.retracted else row.at
        run.save(by=by, why="the end was retracted" if row.retracted else "ended")
