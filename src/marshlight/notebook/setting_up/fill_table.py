"""A vessel's fill table as a person types it: pairs of level and volume."""

import re
from collections.abc import Sequence

from marshlight import units
from marshlight.errors import InputError

_PART = re.compile(r"[;\n]+")
# A level and a volume, each a number with or without a unit.
_PAIR = re.compile(r"^\s*(\S+?\s*[A-Za-z]*)[\s,]+(\d\S*\s*[A-Za-z0-9³]*)\s*$")


def read_table(text: str) -> list[list[float]]:
    """Read a fill table; a bare level is in centimetres, a bare volume in litres.

    Parameters
    ----------
    text
        Pairs parted by semicolons or lines.

    Returns
    -------
    list of list of float
        Level [m] and volume below it [m3].

    Raises
    ------
    InputError
        If a pair cannot be read.

    Examples
    --------
    >>> read_table("0 0; 10 cm 4 L; 25 12")
    [[0.0, 0.0], [0.1, 0.004], [0.25, 0.012]]
    """
    return [_pair(part) for part in _PART.split(text) if part.strip()]


def _pair(text: str) -> list[float]:
    found = _PAIR.match(text)
    if found is None:
        raise InputError(
            "fill table", text.strip(), "a level and a volume, such as 10 cm 4 L",
            "Write one pair after another, parted by semicolons",
        )  # fmt: skip
    level, volume = found.groups()
    return [
        round(units.parse(level, "length", field="fill table", unit="cm", minimum=0.0), 9),
        round(units.parse(volume, "volume", field="fill table", unit="L", minimum=0.0), 9),
    ]


def write_table(rows: Sequence[Sequence[float]], *, system: str | None = None) -> str:
    """Write a fill table as it could be typed again, or in the reader's units.

    Examples
    --------
    >>> write_table([[0.0, 0.0], [0.1, 0.004]])
    '0 cm 0 L; 10 cm 4 L'
    """
    if system is None:
        return "; ".join(f"{100 * level:.10g} cm {1e3 * volume:.10g} L" for level, volume in rows)
    return "; ".join(
        f"{units.show(level, 'length', system=system)}"
        f" {units.show(volume, 'volume', system=system)}"
        for level, volume in rows
    )
