"""From a posted log form to what the notebook takes, and back into the form when it is refused."""

import uuid
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from django.http import QueryDict

from marshlight.answers.log import FormField, LogForm
from marshlight.notebook.kinds import Kind
from marshlight.notebook.models import Person


def typed_record(kind: Kind, post: Mapping[str, str]) -> dict[str, Any]:
    """Read a posted form as the arguments of `record_reading` or `record_event`.

    Parameters
    ----------
    kind : Kind
        What the form asked for.
    post : mapping
        The posted fields.

    Returns
    -------
    dict
        ``value``, ``unit``, ``detail``, ``note`` and ``at``; empty times mean now.
    """
    detail: dict[str, Any] = {}
    for asked in kind.details:
        if asked.form == "parts":
            parts = _parts(post)
            if parts:
                detail[asked.name] = parts
        elif post.get(f"detail-{asked.name}", "").strip():
            detail[asked.name] = post[f"detail-{asked.name}"].strip()
    value = post.get("value", "").strip()
    return {
        "value": value or None,
        # A lab value's unit follows from what was measured, unless typed beside the number.
        "unit": (post.get("unit") or None) if value and not kind.measure_by else None,
        "detail": detail,
        "note": post.get("note", ""),
        "at": post.get("at", "").strip() or None,
    }


def _parts(post: Mapping[str, str]) -> list[dict[str, str]]:
    parts = []
    row = 0
    while f"part-{row}-what" in post:
        what, mass = post[f"part-{row}-what"], post.get(f"part-{row}-mass", "").strip()
        if what and mass:
            where, _, key = what.partition(":")
            parts.append({where: key, "mass": mass})
        row += 1
    return parts


def writer(post: Mapping[str, str], person: Person | None, *, alone: bool) -> Person | None:
    """Give who writes: the account's person, or on loopback whoever was picked."""
    chosen = post.get("by", "")
    if not alone or not chosen:
        return person
    try:
        return Person.objects.in_use().filter(pk=uuid.UUID(chosen)).first() or person
    except ValueError:
        return person


def record_id(post: Mapping[str, str]) -> uuid.UUID:
    """Give the id the form was made with, so that sending it twice keeps it once."""
    try:
        return uuid.UUID(post.get("record_id", ""))
    except ValueError:
        return uuid.uuid4()


def keep_typed(form: LogForm, post: QueryDict) -> LogForm:
    """Put what was typed back into a form that could not be kept."""

    def again(field: FormField, name: str) -> FormField:
        return replace(field, value=post.get(name, field.value))

    value = form.value
    if value is not None:
        value = replace(again(value, "value"), unit=post.get("unit", value.unit))
    rows = tuple(
        (post.get(f"part-{i}-what", what), post.get(f"part-{i}-mass", mass))
        for i, (what, mass) in enumerate(form.parts)
    )
    return replace(
        form,
        value=value,
        details=tuple(again(d, f"detail-{d.name}") for d in form.details),
        parts=rows,
        at=post.get("at", form.at),
        note=post.get("note", form.note),
    )
