"""The feedstock library: packaged tables, forgiving look-up, and feedstocks a user describes."""

import re
from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Any

from marshlight.errors import InputError, MarshlightError
from marshlight.matter.feedstock import (
    PROPERTIES,
    Feedstock,
    Property,
    PropertyKind,
    all_problems,
    property_problems,
)
from marshlight.packaged import read_toml, toml_names
from marshlight.sources import all_sources

# A bare number says nothing of its doubt; a quarter either way is what most rows of the library
# span. The record behind the key says so.
UNSTATED_SPREAD = 0.25
UNSTATED_NOTE = "range not stated: a quarter either way is assumed"

_FIELDS = ("key", "name", "group", "cautions", "notes", "aliases", "hazards")


@cache
def library() -> Mapping[str, Feedstock]:
    """Read every packaged feedstock, by key, in the order of the files.

    Returns
    -------
    Mapping[str, Feedstock]
        Read-only; the same object at every call.

    Raises
    ------
    MarshlightError
        When a packaged row is malformed or names a source that does not exist: a defect of the
        package.

    Examples
    --------
    >>> library()["goat_manure_straw"].name
    'goat manure with straw bedding'
    """
    found: dict[str, Feedstock] = {}
    for file in toml_names("feedstocks"):
        for row in read_toml(file)["feedstock"]:
            stock = from_mapping(row)
            if stock.key in found:
                raise MarshlightError(f"feedstock {stock.key!r} is defined twice, again in {file}")
            lost = set(stock.sources) - set(all_sources())
            if lost:
                raise MarshlightError(f"feedstock {stock.key!r} names unknown sources: {lost}")
            found[stock.key] = stock
    return MappingProxyType(found)


def find(text: str, *, among: Mapping[str, Feedstock] | None = None) -> Feedstock:
    """Find a feedstock by key, name, alias or part of a name; case and order don't matter.

    Parameters
    ----------
    text : str
        What the user typed.
    among : Mapping[str, Feedstock], optional
        Where to look; the library if not given (a notebook adds its own feedstocks here).

    Returns
    -------
    Feedstock
        The only match, or the only exact one.

    Raises
    ------
    InputError
        When nothing matches (near names are listed) or several do (all are listed).

    Examples
    --------
    >>> find("Stale Bread").key
    'bread_stale'
    """
    shelf = library() if among is None else among
    wanted = _plain(text)
    names = {stock.key: _names(stock) for stock in shelf.values()}
    exact = [key for key, held in names.items() if wanted and wanted in held]
    if len(exact) == 1:
        return shelf[exact[0]]
    words = set(wanted.split())
    part = exact or [
        key for key, held in names.items() if words and any(words <= set(n.split()) for n in held)
    ]
    if len(part) == 1:
        return shelf[part[0]]
    if part:
        raise InputError(
            "feedstock",
            text,
            "one of " + ", ".join(shelf[key].name for key in part),
            "Say which one is meant",
        )
    raise InputError("feedstock", text, _near(wanted, names, shelf), "Choose one of these")


def from_mapping(data: Mapping[str, Any], *, source: str = "stated_by_user") -> Feedstock:
    """Build a feedstock from a table: the packaged files', or one a user fills in.

    Parameters
    ----------
    data : Mapping[str, Any]
        ``name`` and, if wanted, ``key``, ``group``, ``cautions``, ``notes``, ``aliases``, and any
        of ``PROPERTIES`` in base units: a number, or a table with ``value`` and, if known,
        ``low``, ``high``, ``source`` and ``note``. Properties may be missing; see
        ``Feedstock.missing`` for what then cannot be computed.
    source : str
        Key of the source of the properties that name none.

    Returns
    -------
    Feedstock
        With a range a quarter either way, and a note, where none was stated.

    Raises
    ------
    InputError
        Once, naming every bad field.

    Examples
    --------
    >>> mash = from_mapping({"name": "acorn mash", "TS": 0.4, "VS": {"value": 0.97}})
    >>> mash.key, round(mash.properties["TS"].low, 2)
    ('acorn_mash', 0.3)
    >>> mash.missing["P"]
    'P is not known: cannot compute fertiliser value'
    """
    problems: list[InputError] = []
    name = data.get("name")
    if not isinstance(name, str) or not name.strip():
        problems.append(InputError("name", name, "a few words", "Name the material"))
        name = "feedstock"
    unknown = [f for f in data if f not in PROPERTIES and f not in _FIELDS]
    for field in unknown:
        near = get_close_matches(field, [*PROPERTIES, *_FIELDS], n=1)
        hint = f"Did you mean {near[0]}" if near else "Leave it out"
        problems.append(InputError(field, data[field], "a known field", hint))
    properties: dict[str, Property] = {}
    for field, kind in PROPERTIES.items():
        if data.get(field) is not None:
            try:
                properties[field] = _property(data[field], kind, source)
            except InputError as error:
                problems.append(InputError(field, error.value, error.allowed, error.remedy))
    complaint = all_problems(name, [*problems, *property_problems(properties)])
    if complaint is not None:
        raise complaint
    return Feedstock(
        key=str(data.get("key") or _plain(name).replace(" ", "_")),
        name=name.strip(),
        group=str(data.get("group") or "own"),
        properties=properties,
        cautions=tuple(data.get("cautions") or ()),
        notes=str(data.get("notes") or ""),
        aliases=tuple(data.get("aliases") or ()),
        hazards=tuple(data.get("hazards") or ()),
    )


def _property(given: Any, kind: PropertyKind, source: str) -> Property:
    table: Mapping[str, Any] = given if isinstance(given, Mapping) else {"value": given}
    extra = set(table) - {"value", "low", "high", "source", "note"}
    numbers = {part: _number(table[part]) for part in ("value", "low", "high") if part in table}
    if extra or "value" not in numbers or None in numbers.values():
        raise InputError(
            "property",
            given,
            f"a number in {kind.unit}, or value with low and high",
            "Give a plain number in the unit stated",
        )
    value = numbers["value"] or 0.0
    note = str(table.get("note") or "")
    if "low" not in numbers or "high" not in numbers:
        note = "; ".join(filter(None, (note, UNSTATED_NOTE)))
    spread = UNSTATED_SPREAD * abs(value)
    low = numbers.get("low", max(value - spread, min(kind.minimum, value)))
    high = numbers.get("high", min(value + spread, max(kind.maximum, value)))
    return Property(value, low or 0.0, high or 0.0, str(table.get("source") or source), note)


def _number(given: Any) -> float | None:
    if isinstance(given, bool) or not isinstance(given, int | float):
        return None
    return float(given)


def _plain(text: str) -> str:
    return " ".join(_stem(word) for word in re.findall(r"[a-z0-9]+", text.casefold()))


def _stem(word: str) -> str:
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _names(stock: Feedstock) -> set[str]:
    return {_plain(name) for name in (stock.key, stock.name, *stock.aliases)}


def _near(wanted: str, names: Mapping[str, set[str]], shelf: Mapping[str, Feedstock]) -> str:
    every = {name: key for key, held in names.items() for name in held}
    close = get_close_matches(wanted, every, n=6, cutoff=0.5)
    words = set(wanted.split())
    sharing = [name for name in every if words & set(name.split())]
    keys = dict.fromkeys(every[name] for name in [*close, *sharing])
    shown = list(keys)[:6] or list(shelf)[:6]
    return "near names are " + ", ".join(shelf[key].name for key in shown)
