"""Every row of a file as the records it would become, and every cell that cannot be read."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from django.utils import timezone

from marshlight.errors import InputError, MarshlightError, NotebookError
from marshlight.units import show

from ..content import ENTERED, fingerprint
from ..kinds import EVENTS, READINGS
from ..models import Run
from ..moments import shown_twice, site_zone
from .cells import RowReader, row_reader
from .columns import Layout
from .table import Table
from .times import Clock, clock_for

Progress = Callable[[int, int], None]
_STEP = 2000
_CLOCKS_DIFFER = timedelta(minutes=5)


class ImportCancelledError(NotebookError):
    """The person stopped the import; nothing was kept."""


class NewRecord(NamedTuple):
    """One record that a row would become."""

    row: int
    is_event: bool
    at: datetime
    kind: str
    value: float | None
    unit: str
    entered: str
    detail: dict[str, Any]
    note: str
    fingerprint: str


@dataclass(frozen=True)
class BadCell:
    """A cell that cannot be kept as it is, and why."""

    row: int
    field: str
    value: str
    reason: str


@dataclass
class Understood:
    """What a whole file says: the records, the bad cells and what is worth a look."""

    records: list[NewRecord] = field(default_factory=list)
    bad: list[BadCell] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    rows: int = 0

    @property
    def bad_rows(self) -> list[int]:
        """Numbers of the rows with something bad in them."""
        return sorted({cell.row for cell in self.bad})


def understand_table(
    run: Run,
    table: Table,
    layout: Layout,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Understood:
    """Read every row of a file without keeping anything.

    Parameters
    ----------
    run
        The run the file belongs to.
    table
        The file.
    layout
        How its columns are understood.
    progress
        Told rows done and rows in all, now and then.
    cancelled
        Asked now and then whether to stop.

    Returns
    -------
    Understood
        All records, and every bad cell with its row, field, value and reason.

    Raises
    ------
    InputError
        If the layout itself cannot be followed.
    ImportCancelledError
        If ``cancelled`` said so.
    """
    layout.check()
    clock = clock_for(layout, table, run)
    reader = row_reader(layout)
    understood = Understood(rows=len(table.rows))
    blank = 0
    for done, (number, row) in enumerate(zip(table.numbers, table.rows, strict=True)):
        if done % _STEP == 0:
            _report(done, len(table.rows), progress=progress, cancelled=cancelled)
        found = _row_records(number, row, clock, reader=reader, bad=understood.bad)
        blank += not found
        understood.records += found
    spoiled = set(understood.bad_rows)
    if spoiled:
        # A row is kept whole or not at all: half of it would hide that the rest was bad.
        blank -= len(spoiled)
        understood.records = [r for r in understood.records if r.row not in spoiled]
    understood.remarks = list(_remarks(run, understood, layout, blank))
    _report(len(table.rows), len(table.rows), progress=progress, cancelled=cancelled)
    return understood


def _report(
    done: int, total: int, *, progress: Progress | None, cancelled: Callable[[], bool] | None
) -> None:
    if cancelled is not None and cancelled():
        raise ImportCancelledError("The import was stopped; nothing was kept.")
    if progress is not None:
        progress(done, total)


def _row_records(
    number: int, row: list[Any], clock: Clock, *, reader: RowReader, bad: list[BadCell]
) -> list[NewRecord]:
    """Read one row; a bad cell spoils the whole row."""
    problems: list[BadCell] = []
    contents = []
    for item in reader(row):
        if isinstance(item, MarshlightError):
            problems.append(_bad(number, item))
        else:
            contents.append(item)
    if not contents and not problems:
        return []
    try:
        at = clock(row)
    except MarshlightError as error:
        problems.insert(0, _bad(number, error))
    if problems:
        bad += problems
        return []
    records = []
    for is_event, kind, content, note in contents:
        mark = fingerprint(kind, at, content, note)
        records.append(
            NewRecord(
                number,
                is_event,
                at,
                kind,
                content.value,
                content.unit,
                content.entered,
                content.detail,
                note,
                mark,
            )
        )
    return records


def _bad(number: int, error: MarshlightError) -> BadCell:
    if isinstance(error, InputError):
        reason = f"allowed: {error.allowed}. {error.remedy}."
        return BadCell(number, error.field, str(error.value), reason)
    return BadCell(number, "row", "", str(error))


def _remarks(run: Run, understood: Understood, layout: Layout, blank: int) -> Iterator[str]:
    """Say what is odd without being wrong."""
    records = understood.records
    if blank:
        yield f"{_so_many(blank, 'row')} without a reading, which add nothing."
    soon = timezone.now() + _CLOCKS_DIFFER
    odd: Counter[str] = Counter()
    zone = site_zone(layout.zone)
    for record in records:
        odd["in the future"] += record.at > soon
        odd["from before the run started"] += bool(run.started_at and record.at < run.started_at)
        odd["from after the run ended"] += bool(run.ended_at and record.at > run.ended_at)
    for text, count in odd.items():
        if count:
            yield f"{_so_many(count, 'record')} {text}."
    twice = {r.row for r in records[:200_000] if _in_doubled_hour(r.at, zone)}
    if twice:
        rows = _so_many(len(twice), "row")
        yield f"{rows} in the hour that the clock showed twice; taken as the first time."
    yield from _unusual(records)


def _so_many(count: int, noun: str) -> str:
    return f"{count:,} {noun}" + ("" if count == 1 else "s")


def _in_doubled_hour(at: datetime, zone: Any) -> bool:
    # Clocks go back in the small hours of a few days a year; only then ask the slow question.
    return at.minute % 15 == 0 and shown_twice(at.astimezone(zone).replace(tzinfo=None), zone)


def _unusual(records: list[NewRecord]) -> Iterator[str]:
    outside: dict[str, list[NewRecord]] = {}
    for record in records:
        kind = (EVENTS if record.is_event else READINGS)[record.kind]
        measure = kind.measure
        if measure is None or measure.usual is None or record.value is None:
            continue
        if not measure.usual[0] <= record.value <= measure.usual[1]:
            outside.setdefault(record.kind, []).append(record)
    for key, odd in outside.items():
        kind = (EVENTS if odd[0].is_event else READINGS)[key]
        if kind.measure is None or kind.measure.usual is None:
            continue
        low, high = (show(end, kind.measure.quantity) for end in kind.measure.usual)
        numbers = list(dict.fromkeys(record.row for record in odd))
        rows = ", ".join(map(str, numbers[:5])) + (" ..." if len(numbers) > 5 else "")
        count = _so_many(len(odd), "value")
        yield f"{kind.words}: {count} outside the usual {low} to {high} (row {rows})."


def preview(understood: Understood, run: Run, *, rows: int = 10) -> list[dict[str, Any]]:
    """Show the first records as they would be kept.

    Parameters
    ----------
    understood
        What `understand_table` found.
    run
        The run, for its site's clock and units.
    rows
        How many rows to show.

    Returns
    -------
    list of dict
        ``row``, ``at`` (site's clock), ``kind``, ``words``, ``shown`` and ``entered``.
    """
    zone, system = site_zone(run.site.time_zone), run.site.units
    first = list(dict.fromkeys(r.row for r in understood.records))[:rows]
    lines = []
    for record in understood.records:
        if record.row not in first:
            break
        lines.append(
            {
                "row": record.row,
                "at": record.at.astimezone(zone).isoformat(sep=" ", timespec="minutes"),
                "kind": record.kind,
                "words": (EVENTS if record.is_event else READINGS)[record.kind].words,
                "shown": _shown(record, system),
                "entered": record.entered,
            }
        )
    return lines


def _shown(record: NewRecord, system: str) -> str:
    kind = (EVENTS if record.is_event else READINGS)[record.kind]
    if record.value is None:
        said = [str(v) for k, v in record.detail.items() if k != ENTERED]
        return record.note or ", ".join(said).replace("_", " ")
    measure = kind.measure_for(record.detail)
    return show(record.value, measure.quantity, system=system) if measure else ""
