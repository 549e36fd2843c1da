"""Taking a file in: whole, or not at all, and never twice."""

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from itertools import islice

from django.db import transaction

from marshlight.errors import NotebookError

from ..bulk import insert_many
from ..models import Event, ImportBatch, Person, Reading, Run
from ..resting import outdate
from .columns import Layout
from .table import Table
from .understanding import (
    BadCell,
    ImportCancelledError,
    NewRecord,
    Progress,
    Understood,
    understand_table,
)

__all__ = ["ImportCancelledError", "ImportRefusedError", "Taken", "take_in"]
_STEP = 5000


class ImportRefusedError(NotebookError):
    """The file has bad rows, so nothing was kept; ``understood`` says which and why."""

    def __init__(self, message: str, understood: Understood) -> None:
        self.understood = understood
        super().__init__(message)


@dataclass(frozen=True)
class Taken:
    """What became of a file."""

    batch: ImportBatch | None
    """None when every record was in the notebook already."""
    added: int
    already_kept: int
    repeated_in_file: int
    left_out: tuple[BadCell, ...]
    remarks: tuple[str, ...]


def take_in(
    run: Run,
    table: Table,
    layout: Layout,
    *,
    by: Person | None = None,
    leave_out: Collection[int] = (),
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Taken:
    """Keep everything a file says, or nothing.

    Parameters
    ----------
    run
        The run it belongs to.
    table
        The file.
    layout
        How its columns are understood.
    by
        Who brings the file.
    leave_out
        Numbers of the bad rows that are to be left out, named one by one by the person.
    progress
        Told rows done and rows in all, now and then.
    cancelled
        Asked now and then whether to stop; what was written so far is taken back.

    Returns
    -------
    Taken
        How many records were added, and how many were in the notebook before.

    Raises
    ------
    ImportRefusedError
        If a row is bad and was not named in ``leave_out``; nothing is kept.
    ImportCancelledError
        If ``cancelled`` said so; nothing is kept.
    InputError
        If the layout itself cannot be followed.
    """
    understood = understand_table(run, table, layout, progress=progress, cancelled=cancelled)
    unsettled = [row for row in understood.bad_rows if row not in set(leave_out)]
    if unsettled:
        raise ImportRefusedError(
            f"{len(unsettled)} of {understood.rows:,} rows cannot be read, so nothing was kept. "
            "Correct them, or say which rows to leave out.",
            understood,
        )
    with transaction.atomic():
        # Two people bringing the same file at once: the second waits and finds it all there.
        Run.objects.select_for_update().get(pk=run.pk)
        fresh, already, repeated = _fresh(run, understood.records)
        batch = None
        if fresh:
            batch = _batch(run, table, layout, by=by)
            batch.records_added, batch.records_already_kept = len(fresh), already
            batch.rows_left_out = [vars(cell) for cell in understood.bad]
            batch.save()
            _write(fresh, batch, by, cancelled=cancelled)
            outdate(run)
    return Taken(
        batch, len(fresh), already, repeated, tuple(understood.bad), tuple(understood.remarks)
    )


def _fresh(run: Run, records: list[NewRecord]) -> tuple[list[NewRecord], int, int]:
    """Keep apart what the notebook has (in any version) and what the file says twice."""
    kept: set[str] = set()
    for model in (Reading, Event):
        rows = model._base_manager.filter(run=run).values_list("fingerprint", flat=True)
        kept.update(rows.iterator(chunk_size=20_000))
    seen: set[str] = set()
    fresh, already, repeated = [], 0, 0
    for record in records:
        if record.fingerprint in kept:
            already += 1
        elif record.fingerprint in seen:
            repeated += 1
        else:
            seen.add(record.fingerprint)
            fresh.append(record)
    return fresh, already, repeated


def _batch(run: Run, table: Table, layout: Layout, *, by: Person | None) -> ImportBatch:
    return ImportBatch(
        run=run,
        file_name=table.name[:255],
        file_sha256=table.sha256,
        columns=layout.as_data(),
        rows_in_file=len(table.rows),
        by=by,
    )


def _write(
    records: list[NewRecord],
    batch: ImportBatch,
    by: Person | None,
    *,
    cancelled: Callable[[], bool] | None,
) -> None:
    same = {
        "run": batch.run_id,
        "batch": batch.pk,
        "entered_by": by.pk if by else None,
        "entered_at": batch.at,
    }
    for is_event, model in ((False, Reading), (True, Event)):
        rows = (r for r in records if r.is_event == is_event)
        while chunk := list(islice(rows, _STEP)):
            if cancelled is not None and cancelled():
                raise ImportCancelledError("The import was stopped; nothing was kept.")
            insert_many(model, _columns(chunk), same)


def _columns(records: list[NewRecord]) -> Iterator[dict[str, object]]:
    for r in records:
        yield {
            "at": r.at,
            "kind": r.kind,
            "value": r.value,
            "unit": r.unit,
            "entered": r.entered,
            "detail": r.detail,
            "note": r.note,
            "fingerprint": r.fingerprint,
        }
