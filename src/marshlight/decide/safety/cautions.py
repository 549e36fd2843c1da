"""Cautions as data: what can hurt, why, where it arises, and who decides."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.errors import InputError
from marshlight.packaged import read_toml
from marshlight.sources import Source, source

FILE = "cautions.toml"


@dataclass(frozen=True)
class Caution:
    """One caution: the sentence to show, its reason, and who to ask.

    ``hazard`` is the word that materials and steps name; ``where`` lists the places that must show
    it, as ``plan:<step>``, ``log:<what is logged>`` or ``page:<page>``; ``ask`` may be empty where
    it is the digester and not a person that is at risk.
    """

    key: str
    hazard: str
    text: str
    why: str
    where: tuple[str, ...]
    ask: str
    source: str

    @property
    def record(self) -> Source:
        """Give the source record behind the caution."""
        return source(self.source)


@cache
def all_cautions() -> Mapping[str, Caution]:
    """Give every caution by key, gravest first."""
    return MappingProxyType(
        {
            key: Caution(
                key,
                row["hazard"],
                row["text"],
                row["why"],
                tuple(row["where"]),
                row["ask"],
                row["source"],
            )
            for key, row in read_toml(FILE).items()
        }
    )


def cautions_for(hazards: Iterable[str], *, where: str | None = None) -> tuple[Caution, ...]:
    """Give the cautions for some hazards, gravest first, each once.

    Parameters
    ----------
    hazards : Iterable[str]
        Hazard words, as feedstocks name them.
    where : str, optional
        Only those that arise at this place, for example ``plan:screen``.

    Returns
    -------
    tuple[Caution, ...]
        Empty where no hazard is named.

    Raises
    ------
    InputError
        When a hazard is not known: a hazard without a caution must not pass unseen.

    Examples
    --------
    >>> [caution.key for caution in cautions_for(["souring", "pathogens"])]
    ['pathogens', 'souring']
    """
    wanted = set(hazards)
    known = {caution.hazard for caution in all_cautions().values()}
    if not wanted <= known:
        raise InputError(
            "hazard",
            sorted(wanted - known),
            ", ".join(sorted(known)),
            "Use one of these words, or add a caution for the new one",
        )
    return tuple(
        caution
        for caution in all_cautions().values()
        if caution.hazard in wanted and (where is None or where in caution.where)
    )


def cautions_at(place: str) -> tuple[Caution, ...]:
    """Give every caution that arises at a place, gravest first.

    Parameters
    ----------
    place : str
        ``plan:<step>``, ``log:<what is logged>`` or ``page:<page>``.

    Returns
    -------
    tuple[Caution, ...]
        Empty where nothing can hurt.

    Examples
    --------
    >>> [caution.key for caution in cautions_at("log:flame")]
    ['explosive_gas', 'first_gas', 'pale_flame']
    """
    return tuple(caution for caution in all_cautions().values() if place in caution.where)
