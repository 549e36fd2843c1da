"""What is refused, what is said instead, and the guards that say it when a number is typed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.apparatus.heat import Danger
from marshlight.decide.safety.cautions import Caution, all_cautions
from marshlight.errors import InputError
from marshlight.packaged import read_toml


@dataclass(frozen=True)
class Refusal:
    """A dangerous act: what is said to it, why, and what to do instead."""

    key: str
    act: str
    also: tuple[str, ...]
    says: str
    why: str
    instead: str
    caution_key: str
    source: str

    @property
    def caution(self) -> Caution:
        """Give the caution that stands at the same hazard."""
        return all_cautions()[self.caution_key]

    def error(self, value: object) -> InputError:
        """Make the error that a page or command shows when this was typed."""
        told = f"{self.says} {self.why}".rstrip(".")
        return InputError(self.act, value, told, self.instead.rstrip("."))


@cache
def refusals() -> Mapping[str, Refusal]:
    """Give every refusal by key."""
    return MappingProxyType(
        {
            key: Refusal(
                key,
                row["act"],
                tuple(row["also"]),
                row["says"],
                row["why"],
                row["instead"],
                row["caution"],
                row["source"],
            )
            for key, row in read_toml("refusals.toml").items()
        }
    )


def refusal_of(act: str) -> Refusal | None:
    """Find the refusal that an act written in plain words meets.

    Parameters
    ----------
    act : str
        What someone means to do, such as "enter the tank".

    Returns
    -------
    Refusal or None
        The refusal that shares most words; None doesn't mean that the act is safe.

    Examples
    --------
    >>> refusal_of("climb into the digester").key
    'entering'
    """
    said = _words(act)
    best: tuple[float, Refusal | None] = (0.0, None)
    for refusal in refusals().values():
        for phrase in (refusal.act, refusal.key.replace("_", " "), *refusal.also):
            asked = _words(phrase)
            share = len(said & asked) / len(asked) if asked else 0.0
            if share > best[0]:
                best = (share, refusal)
    return best[1] if best[0] >= 0.5 else None


_SMALL = frozenset(
    ["a", "an", "the", "in", "into", "at", "of", "to", "with", "or", "and", "my", "on", "it", "i"]
)


def _words(text: str) -> frozenset[str]:
    plain = "".join(c if c.isalnum() else " " for c in text.casefold())
    return frozenset(plain.split()) - _SMALL


def require_relief(*, sealed: bool, relief: bool) -> None:
    """Refuse a closed rigid vessel without a relief.

    Parameters
    ----------
    sealed : bool
        Whether the vessel is rigid and closed.
    relief : bool
        Whether it has a relief or water seal.

    Raises
    ------
    InputError
        When it can't breathe.
    """
    if sealed and not relief:
        raise refusals()["sealed_rigid"].error("closed, no relief")


# Dangers of a heater, as the heat balance finds them, and what refuses each.
_OF_DANGER: Mapping[str, str] = MappingProxyType(
    {
        "runaway": "runaway_heater",
        "set_point_too_high": "hot_set_point",
        "mains_without_residual_current_device": "unprotected_mains",
        "improvised_immersion_heater": "immersion_heater",
    }
)


def require_heater(dangers: Iterable[Danger]) -> None:
    """Refuse a heater for the gravest of its dangers that is refused.

    Parameters
    ----------
    dangers : iterable of Danger
        From ``apparatus.heat.dangers_of`` or ``dangers_of_supply``: the rules are there.

    Raises
    ------
    InputError
        In the words of the list of refusals.
    """
    for danger in dangers:
        if danger.refused:
            raise refusals()[_OF_DANGER[danger.key]].error(danger.text)


def require_outdoors(place: str) -> None:
    """Refuse to let gas out anywhere but in the open.

    Parameters
    ----------
    place : str
        "outdoors", or whatever else was said.

    Raises
    ------
    InputError
        For any other place.
    """
    if place != "outdoors":
        raise refusals()["indoor_venting"].error(place)
