"""Making and changing set-up records from what was typed; every bad field is named at once."""

from collections.abc import Mapping
from datetime import date
from difflib import get_close_matches
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from marshlight import units
from marshlight.errors import InputError, raise_all
from marshlight.matter.library import find, from_mapping, library

from ..bridge.apparatus import vessel_of
from ..models import Feedstock, Lot, Person, Run, Setup, Site, Vessel
from ..moments import moment, site_zone
from .dangers import refuse_dangers
from .describe import Field, SetupKind
from .fill_table import read_table
from .kinds import setup_kind

_YES = {"yes", "y", "true", "1", "on"}
_NO = {"no", "n", "false", "0", "off", ""}


def found(key: str, text: str) -> Any:
    """Find a set-up record by its name, or by its id.

    Raises
    ------
    InputError
        When none, or more than one, goes by that name; near names are listed.
    """
    kind = setup_kind(key)
    rows = list(kind.model._default_manager.filter(retired=False))
    wanted = text.strip().casefold()
    same = [r for r in rows if r.name.casefold() == wanted or str(r.pk) == wanted]
    part = same or [r for r in rows if wanted and wanted in r.name.casefold()]
    if len(part) == 1:
        return part[0]
    names = [r.name for r in part or rows]
    near = names if part else (get_close_matches(text, names, n=5, cutoff=0.4) or names[:12])
    allowed = ", ".join(near) or f"none yet: set up a {kind.words} first"
    raise InputError(kind.words, text, allowed, "Say which one is meant")


def set_up(key: str, given: Mapping[str, str], *, by: Person | None = None) -> Setup:
    """Make a set-up record.

    Parameters
    ----------
    key
        A key of ``SETUPS``.
    given
        Field name to text, as typed; fields left out or empty take their default or stay empty.
    by
        Who sets it up.

    Returns
    -------
    Setup
        The saved row; its first version is kept with it.

    Raises
    ------
    InputError
        If one field cannot be used.
    InputErrors
        If more than one cannot.
    """
    kind = setup_kind(key)
    filled = {f.name: f.default for f in kind.fields if f.default} | _stripped(given)
    return _keep(kind, kind.model(), filled, by=by, why="set up")


def change(
    record: Setup, given: Mapping[str, str], *, by: Person | None = None, why: str = ""
) -> Setup:
    """Change some fields of a set-up record; the state it had stays in its history.

    Raises
    ------
    InputError
        If a field cannot be used, or the reason is missing.
    InputErrors
        If more than one cannot.
    """
    from .showing import typed

    if not why.strip():
        raise InputError("why", why, "a few words", "Say why it changes; the history keeps it")
    kind = setup_kind(str(record._meta.model_name))
    return _keep(kind, record, typed(record) | _stripped(given), by=by, why=why)


def _stripped(given: Mapping[str, str]) -> dict[str, str]:
    return {name: str(text).strip() for name, text in given.items()}


def _keep(kind: SetupKind, row: Any, given: dict[str, str], *, by: Any, why: str) -> Setup:
    problems = [
        InputError(name, text, ", ".join(f.name for f in kind.fields), "Use one of these fields")
        for name, text in given.items()
        if kind.field(name) is None
    ]
    for field in kind.fields:
        if not field.applies(given):
            continue
        try:
            _put(row, field, _read(field, given))
        except InputError as problem:
            problems.append(problem)
    raise_all(problems)
    _drop_strange_sizes(row, kind, given)
    _finish(row, kind)
    with transaction.atomic():
        row.save(by=by, why=why)
    return row  # type: ignore[no-any-return]


def _drop_strange_sizes(row: Any, kind: SetupKind, given: Mapping[str, str]) -> None:
    """Drop sizes of the shape or kind it was before: the engine refuses what it doesn't know."""
    sizes = [f for f in kind.fields if f.place.startswith("dimensions.")]
    belongs = {f.place for f in sizes if f.applies(given)}
    strange = {f.place.partition(".")[2] for f in sizes if f.place not in belongs}
    if strange:
        row.dimensions = {k: v for k, v in row.dimensions.items() if k not in strange}


def _read(field: Field, given: Mapping[str, str]) -> Any:
    """Read one field; empty text means nothing given."""
    text = given.get(field.name, "")
    if field.form == "record" and field.record == "site" and not text:
        return _only_site()
    if not text:
        if field.required:
            allowed = ", ".join(field.choices.values()) or field.help or "something"
            raise InputError(field.words, text, allowed, f"Give the {field.words}")
        return None
    if field.form == "number":
        return units.parse(
            text,
            field.quantity,
            field=field.words,
            unit=field.unit or None,
            minimum=field.lowest,
            maximum=field.highest,
        )
    if field.form == "table":
        return read_table(text)
    readers = {"choice": _choice, "date": _date, "flag": _flag, "record": _record}
    reader = readers.get(field.form)
    if reader:
        return reader(field, text)
    if field.form == "moment":
        return moment(text, _zone(given), field=field.words)
    return find_material(text) if field.form == "feedstock" else text


def _choice(field: Field, text: str) -> str:
    wanted = text.casefold()
    for key, words in field.choices.items():
        if wanted in {key.casefold(), words.casefold()}:
            return key
    raise InputError(field.words, text, ", ".join(field.choices), "Choose one of these")


def _date(field: Field, text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise InputError(
            field.words, text, "a date such as 2026-05-01", "Write year, month and day this way"
        ) from None


def _flag(field: Field, text: str) -> bool:
    if text.casefold() not in _YES | _NO:
        raise InputError(field.words, text, "yes or no", "Answer yes or no")
    return text.casefold() in _YES


def _record(field: Field, text: str) -> Any:
    return found(field.record, text)


def _only_site() -> Site:
    sites = list(Site.objects.in_use()[:2])
    if len(sites) == 1:
        return sites[0]
    allowed = "the name of a site" if sites else "none yet: set up a site first"
    raise InputError("site", "", allowed, "Say which site it belongs to")


def _zone(given: Mapping[str, str]) -> Any:
    try:
        site = found("site", given["site"]) if given.get("site") else _only_site()
    except InputError:
        return site_zone("UTC")
    return site_zone(site.time_zone)


def find_material(text: str) -> Feedstock | str:
    """Find one of the notebook's own feedstocks, or the key of a library one.

    Raises
    ------
    InputError
        When nothing, or more than one thing, goes by that name.
    """
    own = Feedstock.objects.in_use().filter(name__iexact=text).first()
    own = own or Feedstock.objects.in_use().filter(key=text).first()
    return own if own is not None else find(text).key


def _put(row: Any, field: Field, value: Any) -> None:
    holder, _, name = field.place.partition(".")
    if name:
        kept = dict(getattr(row, holder) or {})
        kept.pop(name, None)
        if value is not None:
            kept[name] = _property(field, value) if holder != "dimensions" else value
        setattr(row, holder, kept)
    elif field.form == "feedstock":
        _put_material(row, value)
    elif value is not None or row._meta.get_field(holder).null:
        setattr(row, holder, value)
    elif row._meta.get_field(holder).blank and isinstance(getattr(row, holder), str):
        setattr(row, holder, "")


def _property(field: Field, value: float) -> dict[str, Any]:
    """Keep a measured or stated value the way the engine's loader reads it."""
    source = "measured_by_user" if field.place.startswith("measured") else "stated_by_user"
    return {"value": value, "source": source}


def _put_material(row: Any, value: Feedstock | str | None) -> None:
    if isinstance(row, Lot):
        row.feedstock = value if isinstance(value, Feedstock) else None
        row.library_key = value if isinstance(value, str) else ""
    else:
        row.based_on = value if isinstance(value, str) else ""


def _finish(row: Any, kind: SetupKind) -> None:
    """Fill what follows from the rest, and let the engine refuse what cannot be built."""
    if isinstance(row, Vessel):
        row.volume_m3 = _vessel_volume(row)
    refuse_dangers(row)
    if isinstance(row, Feedstock):
        _check_own_feedstock(row)
    if (
        isinstance(row, Run)
        and row.ended_at
        and (not row.started_at or row.ended_at < row.started_at)
    ):
        raise InputError(
            "ended at", row.ended_at.isoformat(), "after the start", "Check both times"
        )
    try:
        row.clean_fields()
    except ValidationError as error:
        raise_all(
            [
                InputError(name, getattr(row, name, None), " ".join(texts), "Correct it")
                for name, texts in error.message_dict.items()
            ]
        )


def _vessel_volume(row: Vessel) -> float:
    from marshlight import apparatus

    if row.shape == "given":
        sizes = {k: v for k, v in row.dimensions.items() if v is not None}
        return apparatus.Vessel.given(volume_m3=row.volume_m3 or 0.0, **sizes).total_m3
    return vessel_of(row).total_m3


def _check_own_feedstock(row: Feedstock) -> None:
    row.key = row.key or from_mapping({"name": row.name}).key
    base = library().get(row.based_on)
    stated = {n: dict(p) for n, p in row.properties.items()}
    if base is not None:
        from_mapping(
            {"name": row.name}
            | {
                n: {"value": p.value, "low": p.low, "high": p.high, "source": p.source}
                for n, p in base.properties.items()
            }
            | stated
        )
    else:
        from_mapping({"name": row.name} | stated)
