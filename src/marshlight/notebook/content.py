"""From what was typed to what is kept: numbers in base units beside the text as entered."""

import hashlib
import json
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from marshlight.errors import InputError, require
from marshlight.matter.library import find
from marshlight.units import parse

from .keepable import keepable
from .kinds import Detail, Kind, Measure

ENTERED = "entered"


@dataclass(frozen=True)
class Content:
    """What one event or reading says, ready to keep."""

    value: float | None
    unit: str
    entered: str
    detail: dict[str, Any]


def understand(
    kind: Kind,
    given: str | float | None,
    *,
    unit: str | None,
    detail: Mapping[str, Any],
    detail_is_kept: bool = False,
) -> Content:
    """Read a value and its details as the kind describes them.

    Parameters
    ----------
    kind
        A description from `kinds`.
    given
        The value as typed, with or without a unit, or None where the kind allows it.
    unit
        Unit of a bare number; the kind's stated unit if left out.
    detail
        Details by name; numbers may carry units, bare ones take the detail's stated unit.
    detail_is_kept
        The details come from a kept record: already understood and in base units.

    Returns
    -------
    Content
        Value in base units, with the text as entered.

    Raises
    ------
    InputError
        Naming the field, what was given, what is allowed and what to do.
    """
    details = dict(detail) if detail_is_kept else _details(kind, detail)
    measure = kind.measure_for(details)
    if given is None or (isinstance(given, str) and not given.strip()):
        if kind.detail("parts") is not None and "parts" in details:
            return Content(_parts_mass(details), "kg", "", details)
        require(
            measure is None or not kind.required,
            field=kind.words,
            value="",
            allowed="a number" + (f" in {measure.unit}" if measure else ""),
            remedy="Write what you read",
        )
        return Content(None, "", "", details)
    require(
        measure is not None,
        field=kind.words,
        value=given,
        allowed="no number",
        remedy="Write it under the details or as a note",
    )
    assert measure is not None
    value = _number(given, measure, field=kind.words, unit=unit)
    entered = keepable(str(given)).strip()[:200]
    return Content(value, _stated_unit(measure, unit), entered, details)


def _stated_unit(measure: Measure, unit: str | None) -> str:
    return unit if unit else measure.unit


def _number(given: str | float, measure: Measure, *, field: str, unit: str | None = None) -> float:
    low, high = measure.possible or (None, None)
    return parse(
        given,
        measure.quantity,
        field=field,
        unit=_stated_unit(measure, unit),
        minimum=low,
        maximum=high,
    )


def _parts_mass(details: Mapping[str, Any]) -> float:
    """Add up a charge or feed whose parts say it all; water at 1000 kg/m3."""
    parts = sum(float(part["mass_kg"]) for part in details["parts"])
    return parts + 1000.0 * float(details.get("water", 0.0))


def _details(kind: Kind, given: Mapping[str, Any]) -> dict[str, Any]:
    """Read every detail, keeping the numbers' text under ``entered``."""
    kept: dict[str, Any] = {}
    texts: dict[str, str] = dict(given.get(ENTERED, {}))
    names = [d.name for d in kind.details]
    for name in given:
        require(
            name in names or name == ENTERED,
            field=kind.words,
            value=name,
            allowed=", ".join(names) or "no details",
            remedy="Leave this detail out or write it as a note",
        )
    for asked in kind.details:
        value = given.get(asked.name)
        if value is None or value in ("", []):
            require(
                not asked.required,
                field=asked.words,
                value="",
                allowed=", ".join(asked.choices) or "a value",
                remedy=f"Give the {asked.words}",
            )
            continue
        kept[asked.name] = _detail(asked, value)
        if asked.form == "number" and isinstance(value, str):
            texts[asked.name] = value.strip()
    if texts:
        kept[ENTERED] = {name: text for name, text in texts.items() if name in kept}
    return kept


def _detail(asked: Detail, value: Any) -> Any:
    if asked.form == "number" and asked.measure is not None:
        return _number(value, asked.measure, field=asked.words)
    if asked.form == "choice":
        return _chosen(asked, value)
    if asked.form == "parts":
        return [_part(part, asked.words) for part in value]
    return keepable(str(value)).strip()[:400]


def _chosen(asked: Detail, value: Any) -> str:
    """Match a choice by its key or its words, however they are spaced and capitalised."""
    wanted = " ".join(str(value).replace("_", " ").casefold().split())
    for key, words in asked.choices.items():
        if wanted in {key.replace("_", " ").casefold(), words.casefold()}:
            return key
    raise InputError(asked.words, value, ", ".join(asked.choices.values()), "Choose one of these")


def _part(part: Any, field: str) -> dict[str, Any]:
    """Read one part of a charge: a lot or a library feedstock, and its mass."""
    require(
        isinstance(part, Mapping) and bool(part.get("lot")) != bool(part.get("feedstock")),
        field=field,
        value=part,
        allowed="a lot or a library feedstock, with a mass",
        remedy="Name one of the two for each part",
    )
    mass = part.get("mass", part.get("mass_kg"))
    require(
        mass is not None,
        field=field,
        value=part,
        allowed="a mass for each part",
        remedy="Write how much of it went in",
    )
    kept: dict[str, Any] = {"mass_kg": parse(mass, "mass", field=field, unit="kg")}
    if isinstance(mass, str):
        kept["mass"] = mass.strip()
    if part.get("lot"):
        try:
            kept["lot"] = str(uuid.UUID(str(part["lot"])))
        except ValueError as error:
            raise InputError(field, part["lot"], "a lot of this notebook", "Pick a lot") from error
    else:
        kept["feedstock"] = find(str(part["feedstock"])).key
    return kept


def fingerprint(kind: str, at: datetime, content: Content, note: str) -> str:
    """Make a short mark that is equal for records that say the same about the same moment.

    Parameters
    ----------
    kind
        Kind of the record.
    at
        When it was seen or done, with a time zone.
    content
        What it says.
    note
        Counts only where there is neither value nor detail.

    Returns
    -------
    str
        64 hexadecimal digits.
    """
    detail = {k: v for k, v in content.detail.items() if k != ENTERED}
    says = (
        kind,
        at.astimezone(UTC).isoformat(),
        "" if content.value is None else f"{content.value:.12g}",
        json.dumps(detail, sort_keys=True) if detail else "",
        note if content.value is None and not detail else "",
    )
    return hashlib.sha256("\x1f".join(says).encode()).hexdigest()
