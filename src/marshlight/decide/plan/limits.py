"""Limits of a charge: the rules as shipped, by aim, and as the user changes them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from math import inf, isfinite
from types import MappingProxyType
from typing import Any

from marshlight.errors import InputError, require
from marshlight.packaged import read_toml

FILE = "plan_limits.toml"
USER_SOURCE = "set_by_user"
# Never past three quarters, whatever is asked: foam and slurry must not reach the gas line.
MOST_FILL = 0.75


@dataclass(frozen=True)
class Limit:
    """One limit: its two ends, which of them are firm, and where each end comes from.

    ``unit`` is a quantity of the units module; an open end is infinite. ``step`` is how far an end
    is moved to show what that would give; none for limits that nobody should move.
    """

    key: str
    name: str
    meaning: str
    unit: str
    low: float = -inf
    high: float = inf
    low_firm: bool = True
    high_firm: bool = True
    step: float | None = None
    source_low: str = ""
    source_high: str = ""


@dataclass(frozen=True)
class Aim:
    """What the mix should be best at."""

    key: str
    name: str
    words: str


@cache
def aims() -> Mapping[str, Aim]:
    """Give the aims a charge can have, by key."""
    table = read_toml(FILE)["aims"]
    return MappingProxyType(
        {key: Aim(key, row["name"], row["words"]) for key, row in table.items()}
    )


def limits_for(
    aim: str, changes: Mapping[str, tuple[float | None, float | None]] | None = None
) -> dict[str, Limit]:
    """Give the limits for an aim, with the user's own ends in place.

    Parameters
    ----------
    aim : str
        A key of ``aims``.
    changes : Mapping[str, tuple[float | None, float | None]], optional
        New (low, high) by limit key, in the limit's base unit; None leaves an end as it is. An end
        set by the user is firm.

    Returns
    -------
    dict[str, Limit]
        By key, in the order in which they are shown [units in each limit].

    Raises
    ------
    InputError
        When the aim or a limit is unknown, the ends are out of order, or the vessel would be
        filled past three quarters.

    Examples
    --------
    >>> limits_for("surest_start")["inoculum"].low
    4.0
    >>> limits_for("most_gas", {"solids": (None, 0.12)})["solids"].high
    0.12
    """
    require(
        aim in aims(),
        field="aim",
        value=aim,
        allowed=", ".join(aims()),
        remedy="Choose one of these",
    )
    table = read_toml(FILE)
    special: Mapping[str, Any] = table["aims"][aim].get("limits", {})
    found = {
        key: Limit(key, **(row | special.get(key, {})))
        for key, row in table.items()
        if key != "aims"
    }
    for key, ends in (changes or {}).items():
        require(
            key in found,
            field="limit",
            value=key,
            allowed=", ".join(found),
            remedy="Use one of these names",
        )
        found[key] = _changed(found[key], *ends)
    return found


def _changed(limit: Limit, low: float | None, high: float | None) -> Limit:
    new = limit
    if low is not None:
        new = replace(new, low=low, low_firm=True, source_low=USER_SOURCE)
    if high is not None:
        new = replace(new, high=high, high_firm=True, source_high=USER_SOURCE)
    given = [end for end in (low, high) if end is not None]
    if not all(isfinite(end) and end >= 0.0 for end in given) or new.low > new.high:
        raise InputError(
            f"limit on {limit.name}",
            (low, high),
            "numbers from zero up, the low end below the high end",
            "Correct the ends",
        )
    if limit.key == "fill" and new.high > MOST_FILL:
        raise InputError(
            "how full",
            high,
            f"{MOST_FILL:.0%} of the vessel at the most",
            "Leave room for foam: slurry in a gas line blocks it and builds pressure",
        )
    if limit.key == "gas_space" and new.low < 1.0 - MOST_FILL:
        raise InputError(
            "gas space",
            low,
            f"{1.0 - MOST_FILL:.0%} of the vessel at the least",
            "Leave room for foam: slurry in a gas line blocks it and builds pressure",
        )
    return new
