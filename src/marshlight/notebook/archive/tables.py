"""Everything as CSV files for a spreadsheet, units in the headings."""

import csv
import io
import json
import re
import zipfile
from collections.abc import Iterable, Iterator
from datetime import datetime
from typing import Any, BinaryIO

from marshlight.units import in_unit

from ..content import ENTERED
from ..kinds import EVENTS, READINGS, Detail, Kind
from ..models import Event, LogRecord, Reading, Setup, SetupVersion
from ..moments import site_zone
from ..plain import to_plain
from .layout import TABLES

_UNITS = {
    "m": "m",
    "m3": "m3",
    "kg": "kg",
    "kpa": "kPa",
    "c": "degC",
    "w": "W",
}
# A cell that a spreadsheet would run as a formula.
_FORMULA = re.compile(r"^[=+@\t\r]|^-(?![\d.])")


def export_csv(target: BinaryIO) -> list[str]:
    """Write everything as CSV files into one zip.

    Parameters
    ----------
    target
        Open for writing bytes.

    Returns
    -------
    list of str
        Names of the files.

    Notes
    -----
    One file for each kind of set-up record, of event and of reading; every version is there,
    marked.  Text that a spreadsheet would run as a formula gets an apostrophe in front; the
    archive (`write_archive`) is the faithful copy.
    """
    names = []
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, rows in _files():
            text = io.StringIO()
            writer = csv.writer(text, lineterminator="\r\n")
            for row in rows:
                writer.writerow([_cell(value) for value in row])
            # The mark tells spreadsheets that the file is UTF-8.
            packed.writestr(name, text.getvalue().encode("utf-8-sig"))
            names.append(name)
    return names


def _files() -> Iterator[tuple[str, Iterable[list[Any]]]]:
    for name, model in TABLES.items():
        if issubclass(model, Setup):
            yield f"{name}.csv", _setup_rows(model)
    yield "setup_history.csv", _history_rows()
    for model, kinds in ((Event, EVENTS), (Reading, READINGS)):
        folder = f"{model._meta.model_name}s"
        for kind in kinds.values():
            rows = model._base_manager.filter(kind=kind.key)
            if rows.exists():
                yield f"{folder}/{kind.key}.csv", _log_rows(kind, rows)


def _cell(value: Any) -> Any:
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, (dict, list)):
        return json.dumps(value, ensure_ascii=False) if value else ""
    if isinstance(value, str) and _FORMULA.match(value):
        return f"'{value}"
    return "" if value is None else value


def _heading(field: str) -> str:
    """Turn ``altitude_m`` into ``altitude (m)``."""
    name, _, last = field.rpartition("_")
    if name and last in _UNITS:
        return f"{name.replace('_', ' ')} ({_UNITS[last]})"
    return field.replace("_", " ")


def _setup_rows(model: type[Setup]) -> Iterator[list[Any]]:
    rows = [to_plain(row) for row in model._base_manager.order_by("name", "id")]
    fields = list(rows[0]) if rows else [f.name for f in model._meta.concrete_fields]
    yield [_heading(field) for field in fields]
    for row in rows:
        yield [row[field] for field in fields]


def _history_rows() -> Iterator[list[Any]]:
    yield ["record", "record id", "version", "at", "by", "why", "state"]
    for row in SetupVersion.objects.select_related("by").iterator(chunk_size=2000):
        by = row.by.name if row.by else ""
        at = row.at.isoformat()
        yield [row.record, str(row.record_id), row.version, at, by, row.why, row.state]


def _log_rows(kind: Kind, rows: Any) -> Iterator[list[Any]]:
    details = [d for d in kind.details if d.form == "number" and d.measure]
    others = [d for d in kind.details if d not in details]
    unit = f" ({kind.measure.unit})" if kind.measure else ""
    value = f"{kind.words}{unit}" if kind.measure or kind.measures else "number"
    yield [
        "run", "time", "day of the run", value, "stated unit", "as entered", "unit as entered",
        *(f"{d.words} ({d.measure.unit})" for d in details if d.measure),
        *(d.words for d in others),
        "what else was said", "current", "version", "reason", "retracted",
        "entered at", "entered by", "id", "id of the first version",
    ]  # fmt: skip
    linked = rows.select_related("run__site", "entered_by", "superseded_by")
    for row in linked.order_by("run__name", "at", "first_id", "version"):
        yield _log_row(row, kind, details, others)


def _log_row(row: LogRecord, kind: Kind, details: list[Detail], others: list[Detail]) -> list[Any]:
    run: Any = row.run  # type: ignore[attr-defined]
    measure = kind.measure_for(row.detail)
    shown = row.value
    if row.value is not None and measure is not None:
        shown = in_unit(row.value, measure.unit, measure.quantity)
    by: Any = row.entered_by  # type: ignore[attr-defined]
    return [
        run.name,
        row.at.astimezone(site_zone(run.site.time_zone)).isoformat(sep=" "),
        _day(run.started_at, row.at),
        shown,
        measure.unit if measure else "",
        row.entered,
        row.unit,
        *(_detail_number(row.detail, d) for d in details),
        *(row.detail.get(d.name) for d in others),
        row.note,
        "no" if row.retracted or hasattr(row, "superseded_by") else "yes",
        row.version,
        row.reason,
        "yes" if row.retracted else "no",
        row.entered_at.isoformat(sep=" "),
        by.name if by else "",
        str(row.pk),
        str(row.first_id),
    ]


def _day(start: datetime | None, at: datetime) -> float | None:
    return None if start is None else (at - start).total_seconds() / 86_400.0


def _detail_number(detail: dict[str, Any], asked: Detail) -> float | None:
    value = detail.get(asked.name)
    if value is None or asked.measure is None or asked.name == ENTERED:
        return None
    return in_unit(float(value), asked.measure.unit, asked.measure.quantity)
