"""Corrections and retractions: new versions that point to the old ones, with who and why."""

import uuid
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction

from marshlight.errors import NotebookError, require

from .content import Content, understand
from .doubts import doubts_about
from .keepable import keepable
from .keeping import Kept, as_id, check_lots, follow, new_row, same_again
from .kinds import Kind, event_kind, reading_kind
from .models import Event, LogRecord, Person
from .moments import moment, site_zone

_UNCHANGED: Any = object()


def correct(
    record: LogRecord,
    *,
    reason: str,
    value: Any = _UNCHANGED,
    at: datetime | str | None = None,
    unit: str | None = None,
    detail: Mapping[str, Any] | None = None,
    note: str | None = None,
    by: Person | None = None,
    record_id: uuid.UUID | str | None = None,
) -> Kept:
    """Write a new version of a record; the old one stays as it was.

    Parameters
    ----------
    record
        Its newest version, retracted or not.
    reason
        Why it is corrected.
    value, at, unit, detail, note
        What changes; the rest is kept.
    by
        Who corrects it.
    record_id
        Made by the client, so that sending the same correction twice keeps it once.

    Returns
    -------
    Kept
        The new version with plausibility doubts.

    Raises
    ------
    InputError
        If something given cannot be read or cannot be, or no reason is given.
    NotebookError
        If the record has a newer version already.
    """
    kind = _kind_of(record)
    if value is _UNCHANGED and detail is None:
        content = _content_of(record)
    else:
        content = understand(
            kind,
            record.entered if value is _UNCHANGED else value,
            unit=unit or record.unit or None,
            detail=record.detail if detail is None else detail,
            detail_is_kept=detail is None,
        )
    moment_at = record.at if at is None else moment(at, site_zone(record.run.site.time_zone))
    new_note = record.note if note is None else note
    row = new_row(type(record), record.run, kind, at=moment_at, content=content, note=new_note)
    return _next_version(record, row, reason=reason, by=by, record_id=record_id, kind=kind)


def retract(
    record: LogRecord,
    *,
    reason: str,
    by: Person | None = None,
    record_id: uuid.UUID | str | None = None,
) -> Kept:
    """Withdraw a record; it stays in the history and counts no more.

    Parameters
    ----------
    record
        Its newest version.
    reason
        Why it is withdrawn.
    by
        Who withdraws it.
    record_id
        Made by the client, so that sending the same retraction twice keeps it once.

    Returns
    -------
    Kept
        The new version, marked as retracted.

    Raises
    ------
    InputError
        If no reason is given.
    NotebookError
        If the record has a newer version already.
    """
    kind = _kind_of(record)
    row = new_row(
        type(record),
        record.run,
        kind,
        at=record.at,
        content=_content_of(record),
        note=record.note,
    )
    row.retracted = True
    return _next_version(record, row, reason=reason, by=by, record_id=record_id, kind=None)


def _kind_of(record: LogRecord) -> Kind:
    return event_kind(record.kind) if isinstance(record, Event) else reading_kind(record.kind)


def _content_of(record: LogRecord) -> Content:
    return Content(record.value, record.unit, record.entered, dict(record.detail))


def _next_version(
    record: Any,
    row: Any,
    *,
    reason: str,
    by: Person | None,
    record_id: uuid.UUID | str | None,
    kind: Kind | None,
) -> Kept:
    reason = keepable(reason).strip()
    require(
        bool(reason),
        field="reason",
        value=reason,
        allowed="a few words",
        remedy="Say why the record is changed",
    )
    row.id = as_id(record_id) or row.id
    row.supersedes, row.first_id, row.version = record, record.first_id, record.version + 1
    row.reason, row.entered_by, row.batch = reason, by, record.batch
    try:
        with transaction.atomic():
            before = type(record)._base_manager.filter(pk=row.id).first()
            if before is not None:
                return same_again(before, row, timed=True)
            doubts = doubts_about(row, kind) if kind is not None else ()
            check_lots(_content_of(row))
            row.save()
            follow(row, by)
    except IntegrityError as error:
        raise NotebookError(
            "This record was changed by someone else in the meantime; look at its newest version "
            "and correct that one."
        ) from error
    return Kept(row, doubts)


def history(record: LogRecord) -> list[LogRecord]:
    """List every version of a record, oldest first.

    Parameters
    ----------
    record
        Any version of it.

    Returns
    -------
    list
        From the first as it was written to the newest.
    """
    rows = type(record)._base_manager.filter(first_id=record.first_id)
    return list(rows.select_related("entered_by").order_by("version"))
