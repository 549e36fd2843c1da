"""A row as plain JSON values, and back: used by the set-up history and the open archive."""

import datetime as dt
import uuid
from collections.abc import Iterator
from functools import cache
from typing import Any

from django.core.exceptions import ValidationError
from django.db import models

from marshlight.errors import NotebookError


def _plain(value: Any) -> Any:
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, dt.datetime):
        return value.astimezone(dt.UTC).isoformat().replace("+00:00", "Z")
    if isinstance(value, dt.date):
        return value.isoformat()
    return value


@cache
def plain_fields(model: type[models.Model]) -> tuple[models.Field, ...]:
    """Columns that belong to the notebook: everything but links to accounts."""
    return tuple(f for f in model._meta.concrete_fields if not _links_to_account(f))


def _links_to_account(field: models.Field) -> bool:
    target = field.remote_field.model if field.remote_field else None
    return target is not None and target._meta.app_label != "notebook"


def to_plain(row: models.Model) -> dict[str, Any]:
    """A row as JSON-able values under its field names.

    Parameters
    ----------
    row
        Any notebook record as read from the database.

    Returns
    -------
    dict
        UUIDs and times as text (times in UTC, ISO 8601); links as the id they point to.

    Notes
    -----
    Links to log-in accounts are left out: accounts and passwords never leave the server.
    """
    return {f.name: _plain(getattr(row, f.attname)) for f in plain_fields(type(row))}


def plain_rows(rows: models.QuerySet[Any], *, chunk: int) -> Iterator[dict[str, Any]]:
    """Give many rows as `to_plain` does, without making an object of each.

    Parameters
    ----------
    rows
        A query, in the order wanted.
    chunk
        How many to fetch at a time.

    Yields
    ------
    dict
        One for each row.
    """
    fields = plain_fields(rows.model)
    names = [f.name for f in fields]
    found = rows.values_list(*(f.attname for f in fields))
    for values in found.iterator(chunk_size=chunk):
        yield dict(zip(names, map(_plain, values), strict=True))


def plain_values(model: type[models.Model], values: dict[str, Any]) -> dict[str, Any]:
    """Python values of a row's fields from its plain values.

    Parameters
    ----------
    model
        The record's model.
    values
        What `to_plain` made.

    Returns
    -------
    dict
        Under the same names; links as ids.

    Raises
    ------
    NotebookError
        If a field is unknown, not of its kind, or missing though it may not be empty.

    Notes
    -----
    A field that may be empty may be missing: the row was written before there was such a field.
    """
    fields = {f.name: f for f in plain_fields(model)}
    values = {f.name: _plain(f.get_default()) for f in fields.values() if _may_lack(f)} | values
    strange = set(values) ^ set(fields)
    if strange:
        raise NotebookError(
            f"A {model._meta.verbose_name} row does not have the expected fields "
            f"(check {', '.join(sorted(strange))})."
        )
    return {name: _read_back(field, values[name]) for name, field in fields.items()}


def _may_lack(field: models.Field) -> bool:
    return field.blank or isinstance(field, models.BooleanField)


def _read_back(field: models.Field, value: Any) -> Any:
    try:
        if value is None:
            found = None
        elif field.remote_field is not None:
            found = uuid.UUID(value)
        else:
            found = field.to_python(value)
    except (ValueError, TypeError, AttributeError, ValidationError) as error:
        raise NotebookError(f"{field.name} = {value!r} cannot be read back.") from error
    if found is None and not field.null:
        raise NotebookError(f"{field.name} is missing.")
    return found
