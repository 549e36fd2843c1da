"""A set-up record as a person would read or retype it."""

from typing import Any

from marshlight import units
from marshlight.matter.library import library

from ..models import Feedstock, Lot, Setup
from ..moments import site_zone
from .describe import Field
from .fill_table import write_table
from .kinds import setup_kind


def _kept(record: Any, field: Field) -> Any:
    holder, _, name = field.place.partition(".")
    if field.form == "feedstock":
        return _material(record)
    value = getattr(record, holder)
    if not name:
        return value
    inside = (value or {}).get(name)
    return inside.get("value") if isinstance(inside, dict) else inside


def _material(record: Any) -> str:
    key = record.library_key if isinstance(record, Lot) else record.based_on
    if isinstance(record, Lot) and record.feedstock is not None:
        return str(record.feedstock.name)
    found = library().get(key)
    return found.name if found else key


def _moment(record: Any, value: Any) -> str:
    local = value.astimezone(site_zone(record.site.time_zone))
    return local.replace(tzinfo=None).isoformat(sep=" ", timespec="minutes")


def _text(record: Any, field: Field, value: Any, *, system: str | None) -> str:
    if value is None or value == "":
        return ""
    if field.form == "number":
        if system is None:
            number = units.in_unit(value, field.unit, field.quantity) if field.unit else value
            return f"{number:.10g} {field.unit}".strip()
        return units.show(value, field.quantity, system=system)
    if field.form == "table":
        return write_table(value, system=system)
    if field.form == "choice":
        return field.choices.get(value, str(value)) if system else str(value)
    if field.form == "flag":
        return "yes" if value else "no"
    if field.form == "moment":
        return _moment(record, value)
    return str(value.name) if field.form == "record" else str(value)


def typed(record: Setup) -> dict[str, str]:
    """Give each field the way it could be typed again, in the field's own unit."""
    kind = setup_kind(str(record._meta.model_name))
    texts = {f.name: _text(record, f, _kept(record, f), system=None) for f in kind.fields}
    return {f.name: texts[f.name] for f in kind.fields if texts[f.name] and f.applies(texts)}


def shown(record: Setup, *, system: str = "metric") -> dict[str, str]:
    """Give each filled field under its words, in the reader's units."""
    kind = setup_kind(str(record._meta.model_name))
    keys = typed(record)
    lines = {
        f.words: _text(record, f, _kept(record, f), system=system)
        for f in kind.fields
        if f.name in keys
    }
    if isinstance(record, (Lot, Feedstock)) and record.notes:
        lines["notes"] = record.notes
    return lines
