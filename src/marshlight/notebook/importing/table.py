"""A file as a table: encoding, delimiter and headings found, every cell kept as it is."""

import csv
import hashlib
import io
import re
import zipfile
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any

from marshlight.errors import InputError, require

from ..keepable import keepable

MOST_BYTES = 100_000_000
MOST_ROWS = 1_000_000
_MOST_UNPACKED = 1_000_000_000
_SNIFFED_LINES = 60
_NUMBER = re.compile(r"\s*[+-]?\d[\d.,'\u00a0\u202f ]*([eE][+-]?\d+)?\s*$")

Cell = str | float | datetime | date | time


@dataclass(frozen=True)
class Table:
    """A sheet of cells under headings.

    ``numbers`` holds each row's line in the file, so that an error can point to it.
    """

    name: str
    headings: tuple[str, ...]
    rows: list[list[Cell]]
    numbers: list[int]
    sha256: str
    delimiter: str = ""
    encoding: str = ""

    def column(self, index: int) -> list[Cell]:
        """List the cells of one column, blank where a row is short."""
        return [row[index] if index < len(row) else "" for row in self.rows]


def read_table(data: bytes, name: str) -> Table:
    """Read a CSV or XLSX file.

    Parameters
    ----------
    data
        The whole file.
    name
        Its name; the contents decide what it is.

    Returns
    -------
    Table
        Headings and rows; lines above the headings are skipped.

    Raises
    ------
    InputError
        If it is empty, too large, or neither CSV nor XLSX.
    """
    require(
        0 < len(data) <= MOST_BYTES,
        field="file",
        value=name,
        allowed=f"a file with contents, up to {MOST_BYTES // 1_000_000} MB",
        remedy="Choose another file, or split it",
    )
    if data[:4] == b"PK\x03\x04":
        rows, encoding, delimiter = _sheet(data, name), "", ""
    else:
        text, encoding = _decoded(data, name)
        delimiter = _delimiter(text)
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
        rows = _csv_rows(reader, name)
    require(
        len(rows) <= MOST_ROWS,
        field="file",
        value=name,
        allowed=f"up to {MOST_ROWS:,} rows",
        remedy="Split the file",
    )
    headings, body = _headed([(line, row) for line, row in rows if any(c != "" for c in row)])
    require(
        bool(body),
        field="file",
        value=name,
        allowed="headings and at least one row of values",
        remedy="Look into the file; it has no values",
    )
    return Table(
        name=name,
        headings=headings,
        rows=[row for _, row in body],
        numbers=[line for line, _ in body],
        sha256=hashlib.sha256(data).hexdigest(),
        delimiter=delimiter,
        encoding=encoding,
    )


def _csv_rows(reader: Any, name: str) -> list[tuple[int, list[Cell]]]:
    """Read every row with the line it starts on."""
    rows: list[tuple[int, list[Cell]]] = []
    line = 1
    try:
        for row in reader:
            rows.append((line, [keepable(cell).strip() for cell in row]))
            line = reader.line_num + 1
    except csv.Error as error:
        raise InputError(
            "file", name, "a table of values", f"Look at line {line}: it cannot be read"
        ) from error
    return rows


def _decoded(data: bytes, name: str) -> tuple[str, str]:
    if data[:2] in {b"\xff\xfe", b"\xfe\xff"}:
        return data.decode("utf-16", errors="replace"), "utf-16"
    require(
        b"\x00" not in data[:4096],
        field="file",
        value=name,
        allowed="a CSV or XLSX file",
        remedy="Save it as CSV first",
    )
    try:
        return data.decode("utf-8-sig"), "utf-8"
    except UnicodeDecodeError:
        # What spreadsheets of western Europe write; every byte means something in it.
        return data.decode("cp1252", errors="replace"), "cp1252"


def _delimiter(text: str) -> str:
    """Choose the delimiter that splits the most lines into the same number of cells."""
    lines = [line for line in text.splitlines()[:_SNIFFED_LINES] if line.strip()]

    def score(delimiter: str) -> tuple[int, int]:
        try:
            widths = Counter(len(row) for row in csv.reader(lines, delimiter=delimiter))
        except csv.Error:  # said in full, with its line, when the file is read
            return 0, 0
        most = max(widths.items(), key=lambda item: (item[0] > 1, item[1], item[0]), default=(0, 0))
        width, count = most
        return (count if width > 1 else 0, width)

    return max((";", "\t", ",", "|"), key=score)


def _sheet(data: bytes, name: str) -> list[tuple[int, list[Cell]]]:
    import python_calamine

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            unpacked = sum(item.file_size for item in packed.infolist())
        if unpacked > _MOST_UNPACKED:
            raise InputError("file", name, "up to 1 GB unpacked", "Split the workbook")
        book = python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(data))
        cells = book.get_sheet_by_index(0).to_python(skip_empty_area=False)
    except (python_calamine.CalamineError, zipfile.BadZipFile) as error:
        raise InputError(
            "file", name, "a CSV or XLSX file", "Save it again from the spreadsheet"
        ) from error
    return [(line, [_cell(c) for c in row]) for line, row in enumerate(cells, start=1)]


def _cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value)
    if isinstance(value, int):
        return float(value)
    if isinstance(value, (float, datetime, date, time)):
        return value
    return keepable(str(value)).strip()


def _headed(
    rows: list[tuple[int, list[Cell]]],
) -> tuple[tuple[str, ...], list[tuple[int, list[Cell]]]]:
    """Find the headings: the first full-width row without numbers."""
    if not rows:
        return (), []
    first = rows[:_SNIFFED_LINES]
    width = Counter(_filled(row) for _, row in first).most_common(1)[0][0]
    for index, (_, row) in enumerate(first):
        if _filled(row) < width:
            continue
        if any(_is_value(cell) for cell in row):
            names = tuple(f"column {n}" for n in range(1, len(row) + 1))
            return names, rows[index:]
        return tuple(str(cell) or f"column {n}" for n, cell in enumerate(row, 1)), rows[index + 1 :]
    return tuple(f"column {n}" for n in range(1, width + 1)), rows


def _filled(row: list[Cell]) -> int:
    """Count cells up to the last that is not blank."""
    return max((n for n, cell in enumerate(row, start=1) if cell != ""), default=0)


def _is_value(cell: Cell) -> bool:
    return not isinstance(cell, str) or bool(_NUMBER.match(cell))
