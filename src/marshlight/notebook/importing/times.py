"""When each row of a file was written down."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from marshlight.errors import InputError, require
from marshlight.units import parse

from ..models import Run
from ..moments import placed, site_zone
from .columns import Column, Layout
from .dates import read_clock, read_date
from .numbers import is_blank, settled
from .table import Cell, Table

Clock = Callable[[list[Cell]], datetime]


def cell_of(row: list[Cell], column: Column) -> Cell:
    """Take a column's cell from a row that may be short."""
    return row[column.index] if column.index < len(row) else ""


def clock_for(layout: Layout, table: Table, run: Run) -> Clock:
    """Make the function that tells when a row was written.

    Parameters
    ----------
    layout
        Which columns hold the time.
    table
        The file, for its headings.
    run
        For its start, where rows count days.

    Returns
    -------
    callable
        From a row to a time in UTC; raises InputError.

    Raises
    ------
    InputError
        If rows count days and the run has no start.
    """
    zone = site_zone(layout.zone)
    day = layout.using("day")
    dated = layout.using("time") or layout.using("date")
    if dated is None and day is not None:
        return _since_start(day, layout, run)
    assert dated is not None  # Layout.check has seen to it
    beside = layout.using("clock")
    field = dated.heading

    def when(row: list[Cell]) -> datetime:
        cell = cell_of(row, dated)
        if is_blank(cell):
            raise InputError(field, "", "a date and time", "Fill in when it was read")
        found = read_date(cell, layout.date_order, field=field)
        if beside is not None:
            at = cell_of(row, beside)
            if is_blank(at):
                raise InputError(beside.heading, "", "a time of day", "Fill in when it was read")
            found = datetime.combine(found.date(), read_clock(at, field=beside.heading))
        return placed(found, zone, field=field)

    return when


def _since_start(day: Column, layout: Layout, run: Run) -> Clock:
    require(
        run.started_at is not None,
        field=day.heading,
        value="time since the start",
        allowed="a run with a start",
        remedy="Write down when the run was charged first",
    )
    start = run.started_at

    def when(row: list[Cell]) -> datetime:
        cell = cell_of(row, day)
        if is_blank(cell):
            raise InputError(day.heading, "", "the time since the start", "Fill it in")
        given = settled(cell, layout.decimal) if isinstance(cell, str) else cell
        if not isinstance(given, (str, float)):
            raise InputError(day.heading, str(cell), "the time since the start", "Correct it")
        days = parse(
            given, "time", field=day.heading, unit=day.unit or "d", minimum=0.0, maximum=36_500.0
        )
        # Whole seconds: 1/24 of a day must not become 59 minutes 59.999 s.
        return (start + timedelta(seconds=round(days * 86_400.0, 3))).astimezone(UTC)

    return when
