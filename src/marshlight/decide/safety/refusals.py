"""What is refused, what is said instead, and the guards that say it when a number is typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.apparatus.heat import HOTTEST_SAFE_C
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
        return InputError(self.act, value, f"{self.says} {self.why}", self.instead.rstrip("."))


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


def require_no_runaway(settles_c: float, *, cut_out: bool) -> None:
    """Refuse a heater that runs a vessel past 60 degC with its thermostat stuck.

    Parameters
    ----------
    settles_c : float
        Where the vessel settles with the heater always on [degC].
    cut_out : bool
        Whether a second, independent cut-out is fitted.

    Raises
    ------
    InputError
        When nothing would stop it.
    """
    if settles_c > HOTTEST_SAFE_C and not cut_out:
        raise refusals()["runaway_heater"].error(f"{settles_c:.0f} degC")


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
