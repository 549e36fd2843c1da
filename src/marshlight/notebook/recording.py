"""Writing in the notebook: readings, events, corrections and retractions."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils import timezone

from marshlight.errors import require

from .content import understand
from .correcting import correct, history, retract
from .doubts import Doubt, doubts_about
from .keepable import keepable
from .keeping import Kept, as_id, check_lots, follow, new_row, same_again
from .kinds import Kind, event_kind, reading_kind
from .models import Event, LogRecord, Person, Reading, Run
from .moments import moment, site_zone

__all__ = [
    "Doubt",
    "Kept",
    "correct",
    "history",
    "record_event",
    "record_reading",
    "retract",
]


def record_reading(
    run: Run,
    kind: str,
    value: str | float | None = None,
    *,
    at: datetime | str | None = None,
    unit: str | None = None,
    detail: Mapping[str, Any] | None = None,
    note: str = "",
    by: Person | None = None,
    record_id: uuid.UUID | str | None = None,
) -> Kept:
    """Keep something that was seen.

    Parameters
    ----------
    run
        The run it was seen on.
    kind
        A key of `kinds.READINGS`.
    value
        As typed, with or without a unit.
    at
        When it was seen; now if left out.  Without a zone, the site's clock.
    unit
        Unit of a bare number; the kind's own if left out.
    detail
        What the kind asks for beside the value.
    note
        Anything else.
    by
        Who saw it.
    record_id
        Made by the client, so that sending the same reading twice keeps it once.

    Returns
    -------
    Kept
        The saved reading with plausibility doubts; a doubt never stops it being kept.

    Raises
    ------
    InputError
        If the value, a detail or the time cannot be read or cannot be.
    NotebookError
        If ``record_id`` already belongs to a different record.
    """
    said = _Said(value, at, unit, detail or {}, note)
    return _keep(Reading, run, reading_kind(kind), said, by=by, record_id=as_id(record_id))


def record_event(
    run: Run,
    kind: str,
    value: str | float | None = None,
    *,
    at: datetime | str | None = None,
    unit: str | None = None,
    detail: Mapping[str, Any] | None = None,
    note: str = "",
    by: Person | None = None,
    record_id: uuid.UUID | str | None = None,
) -> Kept:
    """Keep something that was done.

    Parameters
    ----------
    run
        The run it was done to.
    kind
        A key of `kinds.EVENTS`.
    value
        As typed, with or without a unit.
    at
        When it was done; now if left out.  Without a zone, the site's clock.
    unit
        Unit of a bare number; the kind's own if left out.
    detail
        What the kind asks for beside the value; a charge or feed lists its ``parts``.
    note
        Anything else.
    by
        Who did it.
    record_id
        Made by the client, so that sending the same event twice keeps it once.

    Returns
    -------
    Kept
        The saved event with plausibility doubts.

    Raises
    ------
    InputError
        If the value, a detail or the time cannot be read or cannot be.
    NotebookError
        If ``record_id`` already belongs to a different record.
    """
    said = _Said(value, at, unit, detail or {}, note)
    return _keep(Event, run, event_kind(kind), said, by=by, record_id=as_id(record_id))


@dataclass(frozen=True)
class _Said:
    """What a person gave, before it is understood."""

    value: str | float | None
    at: datetime | str | None
    unit: str | None
    detail: Mapping[str, Any]
    note: str


def _keep(
    model: type[LogRecord],
    run: Run,
    kind: Kind,
    said: _Said,
    *,
    by: Person | None,
    record_id: uuid.UUID | None,
) -> Kept:
    at = timezone.now() if said.at is None else moment(said.at, site_zone(run.site.time_zone))
    content = understand(kind, said.value, unit=said.unit, detail=said.detail)
    require(
        bool(keepable(said.note).strip()) or not kind.says_in_words,
        field=kind.words,
        value=said.note,
        allowed="a few words",
        remedy="Write down what you saw",
    )
    row = new_row(model, run, kind, at=at, content=content, note=said.note)
    row.entered_by = by
    row.id = record_id or row.id
    timed = said.at is not None
    try:
        with transaction.atomic():
            check_lots(content)
            before = model._base_manager.filter(pk=row.id).first() if record_id else None
            if before is not None:
                # An offline client that leaves the time out sends the same reading later.
                return same_again(before, row, timed=timed)
            doubts = doubts_about(row, kind)
            row.save()
            follow(row, by)
    except IntegrityError:
        # The same record arriving twice at once: PostgreSQL lets both look before one is there.
        before = model._base_manager.filter(pk=row.id).first()
        if before is None:
            raise
        return same_again(before, row, timed=timed)
    return Kept(row, doubts)
