"""Bringing in a log from a file: its columns as a form, what it would keep, and every bad row."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from marshlight.answers.words import clock
from marshlight.notebook.importing import (
    BadCell,
    Column,
    Layout,
    Table,
    Understood,
    earlier_layout,
    preview,
    suggest_layout,
    understand_table,
)
from marshlight.notebook.importing.columns import DATE_ORDERS, USES
from marshlight.notebook.kinds import EVENTS, READINGS, Kind
from marshlight.notebook.models import ImportBatch, Run

SAMPLES = 3
PREVIEW_ROWS = 5
MOST_BAD_ROWS = 100
_PLAIN_USES = ("skip", "time", "date", "clock", "day", "note", "kind", "value", "unit")
DECIMALS = ((".", "a point: 12.5"), (",", "a comma: 12,5"))
Choices = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class ImportColumn:
    """One column of the file: its heading, first cells, and what it is taken to hold."""

    index: int
    heading: str
    samples: tuple[str, ...]
    holds: str
    unit: str
    takes_unit: bool


@dataclass(frozen=True)
class ImportForm:
    """How a file is understood, as a form."""

    file_name: str
    rows: int
    columns: tuple[ImportColumn, ...]
    groups: tuple[tuple[str, Choices], ...]
    zone: str
    date_order: str
    date_orders: Choices
    decimal: str
    decimals: Choices
    questions: tuple[str, ...]
    remembered: bool


@dataclass(frozen=True)
class ImportCell:
    """One cell of a row that cannot be kept: its heading, what it says, and why not."""

    heading: str
    text: str
    reason: str


@dataclass(frozen=True)
class ImportBadRow:
    """A row that cannot be kept, its cells as they stand in the file, and every reason."""

    number: int
    cells: tuple[tuple[str, str], ...]
    reasons: tuple[ImportCell, ...]


@dataclass(frozen=True)
class Looked:
    """What a file would keep if it were taken in now."""

    rows: int
    records: int
    lines: tuple[Mapping[str, Any], ...]
    bad: tuple[ImportBadRow, ...]
    bad_numbers: tuple[int, ...]
    remarks: tuple[str, ...]

    @property
    def sentence(self) -> str:
        """Say in one sentence what would be kept and what would not."""
        rows = f"{self.rows:,} row{'s' if self.rows != 1 else ''}"
        records = f"{self.records:,} record{'s' if self.records != 1 else ''}"
        if not self.bad_numbers:
            return f"Every row can be read: {rows} give {records}. Nothing is saved yet."
        bad = len(self.bad_numbers)
        which = "1 row cannot be read" if bad == 1 else f"{bad:,} rows cannot be read"
        return f"{which} of {rows}; the rest give {records}. Nothing is saved."


@dataclass(frozen=True)
class ImportBefore:
    """One file that was brought in before."""

    when: str
    file_name: str
    by: str
    added: int
    already: int
    left_out: int


def first_layout(run: Run, table: Table) -> tuple[Layout, bool]:
    """Understand a file as its last like was, else guess from its headings and cells.

    Parameters
    ----------
    run : Run
        The run it belongs to.
    table : Table
        The file.

    Returns
    -------
    Layout
        To look at and change.
    bool
        Whether it is remembered from an earlier file.
    """
    remembered = earlier_layout(run, table)
    if remembered is not None:
        return remembered, True
    return suggest_layout(table, zone=run.site.time_zone), False


def import_form(table: Table, layout: Layout, *, remembered: bool = False) -> ImportForm:
    """Lay out how a file is understood.

    Parameters
    ----------
    table : Table
        The file.
    layout : Layout
        How its columns are taken.
    remembered : bool
        Whether the layout comes from an earlier file.
    """
    return ImportForm(
        file_name=table.name,
        rows=len(table.rows),
        columns=tuple(_column(table, column) for column in layout.columns),
        groups=_groups(),
        zone=layout.zone,
        date_order=layout.date_order,
        date_orders=tuple(DATE_ORDERS.items()),
        decimal=layout.decimal,
        decimals=DECIMALS,
        questions=tuple(question.text for question in layout.questions),
        remembered=remembered,
    )


def _column(table: Table, column: Column) -> ImportColumn:
    cells = (str(row[column.index]) for row in table.rows if column.index < len(row))
    samples: list[str] = []
    for cell in cells:
        if cell and cell not in samples:
            samples.append(cell)
        if len(samples) == SAMPLES:
            break
    holds = f"{column.use}:{column.kind}" if column.kind else column.use
    for name, choice in column.detail.items():
        holds += f":{name}={choice}"
    takes_unit = column.use in {"reading", "event", "day"}
    return ImportColumn(
        column.index, column.heading, tuple(samples), holds, column.unit, takes_unit
    )


def _groups() -> tuple[tuple[str, Choices], ...]:
    """List what a column can hold: time and the like, then readings, then events."""
    plain = tuple((use, USES[use]) for use in _PLAIN_USES)
    readings = tuple(c for kind in READINGS.values() for c in _kind_choices("reading", kind))
    events = tuple(c for kind in EVENTS.values() for c in _kind_choices("event", kind))
    return (("the row itself", plain), ("readings", readings), ("events", events))


def _kind_choices(use: str, kind: Kind) -> Choices:
    """Offer a kind once, or once for each choice that decides its unit (a lab result)."""
    if kind.measure_by:
        asked = kind.detail(kind.measure_by)
        named = asked.choices if asked else {}
        return tuple(
            (f"{use}:{kind.key}:{kind.measure_by}={key}", f"{kind.words}: {words}")
            for key, words in named.items()
        )
    one_column = kind.measure is not None or any(d.choices for d in kind.details)
    needs_more = kind.measure is not None and any(d.required for d in kind.details)
    return ((f"{use}:{kind.key}", kind.words),) if one_column and not needs_more else ()


def layout_from(typed: Mapping[str, str], layout: Layout) -> Layout:
    """Change a layout as the form was filled in.

    Parameters
    ----------
    typed : Mapping[str, str]
        ``holds-INDEX``, ``unit-INDEX``, ``zone``, ``date_order`` and ``decimal``.
    layout : Layout
        What the form was made from.
    """
    columns = tuple(
        _changed(column, typed.get(f"holds-{column.index}"), typed.get(f"unit-{column.index}"))
        for column in layout.columns
    )
    return Layout(
        columns,
        zone=typed.get("zone", layout.zone).strip(),
        date_order=typed.get("date_order", layout.date_order),
        decimal=typed.get("decimal", layout.decimal),
    )


def _changed(column: Column, holds: str | None, unit: str | None) -> Column:
    if holds is None:
        return column
    use, _, rest = holds.partition(":")
    kind, _, choice = rest.partition(":")
    name, _, value = choice.partition("=")
    unit = (unit or "").strip()
    if (use, kind) != (column.use, column.kind) and unit == column.unit:
        unit = ""  # the unit of what the column held before says nothing of what it holds now
    detail = {name: value} if name else {}
    settled = replace(column, use=use, kind=kind, unit=unit, detail=detail)
    if use in {"reading", "event"} and not unit:
        measure = settled.described().measure_for(detail)
        settled = replace(settled, unit=measure.unit if measure else "")
    return replace(settled, unit="d") if use == "day" and not unit else settled


def look(
    run: Run,
    table: Table,
    layout: Layout,
    *,
    progress: Callable[[int, int], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Looked:
    """Read a whole file without keeping anything.

    Parameters
    ----------
    run : Run
        The run it belongs to.
    table : Table
        The file.
    layout : Layout
        How its columns are taken.
    progress : callable, optional
        Told rows done and rows in all.
    cancelled : callable, optional
        Asked now and then whether to stop.

    Returns
    -------
    Looked
        The first rows as they would be kept, every bad row, what is odd.

    Raises
    ------
    InputError
        If the layout cannot be followed.
    ImportCancelledError
        If ``cancelled`` said so.
    """
    understood = understand_table(run, table, layout, progress=progress, cancelled=cancelled)
    return Looked(
        rows=understood.rows,
        records=len(understood.records),
        lines=tuple(
            # On the site's clock: its offset from UTC would only be in the way.
            line | {"at": line["at"][:16]}
            for line in preview(understood, run, rows=PREVIEW_ROWS)
        ),
        bad=bad_rows(table, understood),
        bad_numbers=tuple(understood.bad_rows),
        remarks=tuple(understood.remarks),
    )


def bad_rows(table: Table, understood: Understood) -> tuple[ImportBadRow, ...]:
    """Put every reason beside the row it belongs to; the first hundred rows.

    Parameters
    ----------
    table : Table
        The file.
    understood : Understood
        What was read of it.
    """
    reasons: dict[int, list[BadCell]] = {}
    for cell in understood.bad:
        reasons.setdefault(cell.row, []).append(cell)
    wanted = set(sorted(reasons)[:MOST_BAD_ROWS])
    rows = {n: row for n, row in zip(table.numbers, table.rows, strict=True) if n in wanted}
    return tuple(
        ImportBadRow(
            number,
            tuple((h, str(c)) for h, c in zip(table.headings, rows[number], strict=False)),
            tuple(ImportCell(c.field, c.value, c.reason) for c in reasons[number]),
        )
        for number in sorted(wanted)
    )


def imported_before(run: Run, *, most: int = 10) -> tuple[ImportBefore, ...]:
    """List the files a run took in, newest first.

    Parameters
    ----------
    run : Run
        The run.
    most : int
        How many to list.
    """
    batches = ImportBatch.objects.filter(run=run).select_related("by").order_by("-at")[:most]
    return tuple(
        ImportBefore(
            when=clock(batch.at, run.site.time_zone),
            file_name=batch.file_name,
            by=batch.by.name if batch.by else "",
            added=batch.records_added,
            already=batch.records_already_kept,
            left_out=len({cell["row"] for cell in batch.rows_left_out}),
        )
        for batch in batches
    )
