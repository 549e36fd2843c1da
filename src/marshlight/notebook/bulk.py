"""Writing many log rows at once, straight through the database's own fast path."""

import uuid
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from django.db import connections, models, router
from django.db.backends.base.base import BaseDatabaseWrapper

from .models import LogRecord


def insert_many(
    model: type[LogRecord], rows: Iterable[Mapping[str, Any]], same: Mapping[str, Any]
) -> int:
    """Insert first versions of log records.

    Parameters
    ----------
    model
        `Event` or `Reading`.
    rows
        Field values that differ from row to row.
    same
        Field values that all rows share; links as ids.

    Returns
    -------
    int
        How many were inserted.

    Notes
    -----
    A prepared statement run once per row: Django's own bulk insert builds a statement of all
    values, about 60 rows at a time on SQLite, and takes several times as long
    (benchmarks/bench_import.py).
    """
    first = {"version": 1, "supersedes": None, "reason": "", "retracted": False, **same}
    values = []
    for row in rows:
        new = uuid.uuid4()
        values.append({"id": new, "first_id": new, **row})
    write_rows(model, values, first)
    return len(values)


def _as_it_is(value: Any, connection: BaseDatabaseWrapper) -> Any:
    return value


def _preparer(field: models.Field) -> Callable[[Any, BaseDatabaseWrapper], Any]:
    """Give what readies a field's values; both databases take texts and numbers as they are."""
    plain = (
        models.CharField,
        models.TextField,
        models.FloatField,
        models.IntegerField,
        models.BooleanField,
    )
    return _as_it_is if isinstance(field, plain) else field.get_db_prep_save


def write_rows(
    model: type[Any], rows: Sequence[Mapping[str, Any]], same: Mapping[str, Any]
) -> None:
    """Insert rows given as values under field names.

    Parameters
    ----------
    model
        A notebook model.
    rows
        Field values that differ from row to row, under the same names in every row.
    same
        Field values that all rows share; links as ids.  Fields named in neither stay empty.
    """
    if not rows:
        return
    connection = connections[router.db_for_write(model)]
    fields = {f.name: f for f in model._meta.concrete_fields if f.name in {**same, **rows[0]}}
    quote = connection.ops.quote_name
    table, marks = quote(model._meta.db_table), ", ".join(["%s"] * len(fields))
    # Shared values are prepared once, the others once a row: that is most of the time.
    fixed = [fields[n].get_db_prep_save(v, connection) for n, v in same.items() if n in fields]
    order = [n for n in same if n in fields]
    varying = [(n, _preparer(f)) for n, f in fields.items() if n not in same]
    order += [n for n, _ in varying]
    names = ", ".join(quote(fields[n].column) for n in order)
    values = (fixed + [ready(row[n], connection) for n, ready in varying] for row in rows)
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {table} ({names}) VALUES ({marks})", list(values))
