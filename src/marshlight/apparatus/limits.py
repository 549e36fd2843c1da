"""What a dimension of an apparatus may be."""

import math
from collections.abc import Iterable

from marshlight.errors import require


def positive(owner: object, *names: str) -> None:
    """Require named dimensions of an apparatus to be finite and above zero.

    Parameters
    ----------
    owner : object
        The apparatus.
    *names : str
        Names of its fields.

    Raises
    ------
    InputError
        If one is zero, negative or no number; the error names the field.
    """
    for name in names:
        value = getattr(owner, name)
        require(
            math.isfinite(value) and value > 0.0,
            field=name,
            value=value,
            allowed="above zero",
            remedy="Measure it on the apparatus and give it in metres, kilograms or cubic metres",
        )


def not_negative(owner: object, *names: str) -> None:
    """Require named dimensions of an apparatus to be finite and zero or more.

    Parameters
    ----------
    owner : object
        The apparatus.
    *names : str
        Names of its fields.

    Raises
    ------
    InputError
        If one is negative or no number; the error names the field.
    """
    for name in names:
        value = getattr(owner, name)
        require(
            math.isfinite(value) and value >= 0.0,
            field=name,
            value=value,
            allowed="zero or more",
            remedy="Give zero if it is absent",
        )


def known_way(way: str, ways: Iterable[str]) -> None:
    """Require a way of reading to be one the apparatus has.

    Parameters
    ----------
    way : str
        What was asked for.
    ways : iterable of str
        The ways the apparatus can be read.

    Raises
    ------
    InputError
        If it can't be read that way.
    """
    names = list(ways)
    require(
        way in names,
        field="way",
        value=way,
        allowed=", ".join(names),
        remedy="Choose how the reading was taken",
    )
