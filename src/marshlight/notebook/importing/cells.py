"""The cells of one row as contents of records."""

from collections.abc import Callable, Iterator

from marshlight.errors import InputError, MarshlightError

from ..content import Content, understand
from ..kinds import EVENTS, READINGS, Kind
from .columns import Column, Layout
from .numbers import Reader, is_blank, number_reader
from .table import Cell
from .times import cell_of

Item = tuple[bool, str, Content, str]
"""Whether it is an event, its kind, what it says, and its note."""
RowReader = Callable[[list[Cell]], Iterator[Item | MarshlightError]]
CellReader = Callable[[Cell], Content]


def row_reader(layout: Layout) -> RowReader:
    """Make the function that reads a row's cells, one item or error for each.

    Parameters
    ----------
    layout
        How the columns are understood.

    Returns
    -------
    callable
        From a row to its contents; what cannot be read comes as an error, not raised.

    Raises
    ------
    InputError
        If a column's kind or unit does not fit.
    """
    columns = [c for c in layout.columns if c.use in {"reading", "event"}]
    readers = [(c, c.use == "event", _cell_reader(c, layout.decimal)) for c in columns]
    note = layout.using("note")
    named = _Named(layout) if layout.using("kind") else None

    def read(row: list[Cell]) -> Iterator[Item | MarshlightError]:
        for column, is_event, reader in readers:
            cell = cell_of(row, column)
            # In a column of words "none" may be an answer; among numbers it is a gap.
            if cell == "" or (is_blank(cell) and column.described().measure is not None):
                continue
            try:
                yield is_event, column.kind, reader(cell), ""
            except MarshlightError as error:
                yield error
        text = "" if note is None else str(cell_of(row, note)).strip()
        if named is not None:
            yield from named.items(row, text)
        elif text:
            yield True, "note", Content(None, "", "", {}), text

    return read


def _cell_reader(column: Column, decimal: str) -> CellReader:
    kind = column.described()
    fixed = dict(column.detail)
    if kind.measure is None and not kind.measure_by:
        return _choice_reader(kind, column)
    if "lot" in fixed or "feedstock" in fixed:
        return _feed_reader(kind, column, decimal)
    # Understand the fixed details once; every cell of the column shares them.
    detail = understand(kind, _stand_in(kind), unit=None, detail=fixed).detail if fixed else {}
    measure = kind.measure_for(detail)
    if measure is None:
        raise InputError(column.heading, column.kind, "a kind with a number", "Choose another")
    reader = number_reader(measure, field=column.heading, unit=column.unit, decimal=decimal)
    unit = column.unit or measure.unit

    def read(cell: Cell) -> Content:
        return Content(reader(cell), unit, _text(cell), detail)

    return read


def _stand_in(kind: Kind) -> str | None:
    """Give a value that every measure of the kind takes, to have the details checked alone."""
    return "0" if kind.required else None


def _choice_reader(kind: Kind, column: Column) -> CellReader:
    """Read a column of words, such as what the flame did."""
    asked = next((d for d in kind.details if d.choices), None)
    if asked is None:
        raise InputError(
            column.heading, kind.words, "a kind with one number or one word", "Choose another"
        )
    known: dict[str, Content] = {}

    def read(cell: Cell) -> Content:
        text = str(cell)
        if text not in known:
            said = understand(kind, None, unit=None, detail={asked.name: text})
            known[text] = Content(None, "", text[:200], said.detail)
        return known[text]

    return read


def _feed_reader(kind: Kind, column: Column, decimal: str) -> CellReader:
    """Read a column of masses of one lot or library feedstock."""
    whose = {k: column.detail[k] for k in ("lot", "feedstock") if k in column.detail}
    assert kind.measure is not None
    reader = number_reader(kind.measure, field=column.heading, unit=column.unit, decimal=decimal)

    def read(cell: Cell) -> Content:
        parts = [{**whose, "mass_kg": reader(cell)}]
        said = understand(kind, None, unit=None, detail={"parts": parts})
        return Content(said.value, column.unit or "kg", _text(cell), said.detail)

    return read


class _Named:
    """Rows that say themselves which kind they hold (``kind``, ``value``, ``unit``)."""

    def __init__(self, layout: Layout) -> None:
        self.kind, self.value = layout.using("kind"), layout.using("value")
        self.unit, self.decimal = layout.using("unit"), layout.decimal
        self.readers: dict[tuple[str, str], Reader] = {}

    def items(self, row: list[Cell], note: str) -> Iterator[Item | MarshlightError]:
        try:
            yield self._item(row, note)
        except MarshlightError as error:
            yield error

    def _item(self, row: list[Cell], note: str) -> Item:
        assert self.kind is not None
        name = str(cell_of(row, self.kind)).strip()
        kind, is_event = self._find(name)
        cell = cell_of(row, self.value) if self.value is not None else ""
        unit = str(cell_of(row, self.unit)).strip() if self.unit is not None else ""
        if kind.measure is None:
            asked = next((d for d in kind.details if d.choices), None)
            detail = {asked.name: str(cell)} if asked is not None else {}
            said = understand(kind, None, unit=None, detail=detail)
            return is_event, kind.key, Content(None, "", _text(cell), said.detail), note
        if is_blank(cell):
            said = understand(kind, None, unit=None, detail={})
            return is_event, kind.key, said, note
        mark = (kind.key, unit)
        if mark not in self.readers:
            self.readers[mark] = number_reader(
                kind.measure, field=kind.words, unit=unit, decimal=self.decimal
            )
        value = self.readers[mark](cell)
        return is_event, kind.key, Content(value, unit or kind.measure.unit, _text(cell), {}), note

    def _find(self, name: str) -> tuple[Kind, bool]:
        for kinds, is_event in ((READINGS, False), (EVENTS, True)):
            for kind in kinds.values():
                if name.casefold() in {kind.key, kind.words.casefold()}:
                    return kind, is_event
        assert self.kind is not None
        raise InputError(
            self.kind.heading, name, ", ".join([*READINGS, *EVENTS]), "Choose one of these"
        )


def _text(cell: Cell) -> str:
    """Keep a cell as it was entered; a spreadsheet's 310.0 was typed as 310."""
    if isinstance(cell, float):
        return f"{cell:.15g}"
    return str(cell)[:200]
