"""Cited sources as data: every constant, library value and equation names one by key."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from marshlight.errors import InputError, MarshlightError
from marshlight.packaged import read_toml, toml_names

HOW_SEEN: Mapping[str, str] = MappingProxyType(
    {
        "read": "read in the source itself",
        "abstract": "read in the source's abstract or one of its tables",
        "quoted": "read as quoted by another publication",
        "computed": "computed with a general reference library",
        "derived": "derived from definitions; no source needed",
        "practice": "common practice, no source",
        "memory": "from memory, not read again: a documented default, not a checked fact",
    }
)


@dataclass(frozen=True)
class Source:
    """Where a value comes from, and how sure we are that it says so.

    ``citation`` holds authors, year, title and place; ``how`` is one of ``HOW_SEEN``.
    """

    key: str
    citation: str
    how: str
    note: str = ""
    link: str = ""

    @property
    def how_in_words(self) -> str:
        """Say how the source was seen, in words."""
        return HOW_SEEN[self.how]

    @property
    def short(self) -> str:
        """Give authors and year: the citation up to its first colon or full stop after a year."""
        return self.citation.split(":", 1)[0].strip()


@cache
def all_sources() -> Mapping[str, Source]:
    """Collect every source record shipped with the package, by key.

    Raises
    ------
    MarshlightError
        When two records share a key or a record is malformed: a defect of the package.
    """
    found: dict[str, Source] = {}
    for name in toml_names("sources"):
        for key, row in read_toml(name).items():
            if key in found:
                raise MarshlightError(f"source {key!r} is defined twice, again in {name}")
            found[key] = _record(key, row, name)
    return MappingProxyType(found)


def _record(key: str, row: Mapping[str, Any], name: str) -> Source:
    unknown = set(row) - {"citation", "how", "note", "link"}
    if unknown or row.get("how") not in HOW_SEEN or not row.get("citation"):
        raise MarshlightError(f"source {key!r} in {name} is malformed: {dict(row)!r}")
    return Source(key=key, **row)


def source(key: str) -> Source:
    """Look up one source record.

    Raises
    ------
    InputError
        When no source has that key.
    """
    try:
        return all_sources()[key]
    except KeyError:
        raise InputError(
            "source", key, "a key of the source records", "Look the key up on the sources page"
        ) from None
