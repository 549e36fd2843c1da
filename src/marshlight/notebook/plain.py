"""A row as plain JSON values, and back: used by the set-up history and the open archive."""

import datetime as dt
import uuid
from typing import Any

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


def plain_fields(model: type[models.Model]) -> list[models.Field]:
    """Columns that belong to the notebook: everything but links to accounts."""
    return [f for f in model._meta.concrete_fields if not _links_to_account(f)]


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


def from_plain(model: type[models.Model], values: dict[str, Any]) -> models.Model:
    """An unsaved row from its plain values.

    Parameters
    ----------
    model
        The record's model.
    values
        What `to_plain` made.

    Returns
    -------
    Model
        Not yet saved.

    Raises
    ------
    NotebookError
        If a field is missing, unknown or not of its kind.
    """
    fields = {f.name: f for f in plain_fields(model)}
    strange = set(values) ^ set(fields)
    if strange:
        raise NotebookError(
            f"A {model._meta.verbose_name} row does not have the expected fields "
            f"(check {', '.join(sorted(strange))})."
        )
    row = model()
    for name, field in fields.items():
        try:
            value = field.to_python(values[name]) if field.remote_field is None else values[name]
            if field.remote_field is not None and value is not None:
                value = uuid.UUID(value)
        except (ValueError, TypeError, AttributeError) as error:
            raise NotebookError(f"{name} = {values[name]!r} cannot be read back.") from error
        setattr(row, field.attname, value)
    return row
