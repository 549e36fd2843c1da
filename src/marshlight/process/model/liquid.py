"""Liquids that go into a digester: a volume and what it carries."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from marshlight.errors import require
from marshlight.process.model.kernel import Reals, layout

MODEL = "small"


@dataclass(frozen=True)
class Liquid:
    """A volume [m3] with amounts of the model's liquid components, in kg COD or kmol each."""

    volume_m3: float
    amounts: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Check and freeze.

        Raises
        ------
        InputError
            When the volume or an amount is negative, or a component is unknown.
        """
        known = layout(MODEL).liquid
        for name, amount in (("volume_m3", self.volume_m3), *self.amounts.items()):
            require(
                name == "volume_m3" or name in known,
                field="component",
                value=name,
                allowed=", ".join(known),
                remedy="Name a component of the liquid",
            )
            require(
                bool(np.isfinite(amount)) and amount >= 0.0,
                field=name,
                value=amount,
                allowed="zero or more",
                remedy="Give the amount that goes in",
            )
        object.__setattr__(self, "amounts", MappingProxyType(dict(self.amounts)))

    def __reduce__(self) -> tuple[type["Liquid"], tuple[float, dict[str, float]]]:
        """Travel to another process: a read-only view of the amounts cannot."""
        return Liquid, (self.volume_m3, dict(self.amounts))

    def __add__(self, other: "Liquid") -> "Liquid":
        """Pour together; volumes add."""
        names = dict.fromkeys((*self.amounts, *other.amounts))
        amounts = {n: self.amounts.get(n, 0.0) + other.amounts.get(n, 0.0) for n in names}
        return Liquid(self.volume_m3 + other.volume_m3, amounts)

    def scaled(self, factor: float) -> "Liquid":
        """Take a multiple."""
        return Liquid(self.volume_m3 * factor, {n: a * factor for n, a in self.amounts.items()})

    def vector(self) -> Reals:
        """Give the amounts in the order of the model's states."""
        place = layout(MODEL)
        found = np.zeros(len(place.states))
        found[place.state_at["volume"]] = self.volume_m3
        for name, amount in self.amounts.items():
            found[place.state_at[name]] = amount
        return found


def water(volume_m3: float, *, alkalinity: float = 0.1) -> Liquid:
    """Give tap water.

    Parameters
    ----------
    volume_m3 : float
        Volume [m3].
    alkalinity : float
        Bicarbonate alkalinity [kg CaCO3/m3]; drinking water holds 0.02 to 0.4.
    """
    equivalents = volume_m3 * alkalinity / CACO3_KG_PER_EQUIVALENT
    return Liquid(volume_m3, {"inorganic_carbon": 1.05 * equivalents, "cations": equivalents})


CACO3_KG_PER_EQUIVALENT = 50.043  # kg/kmol of charge

# Kilograms a kmol, and what a kmol of each brings.
DOSES: Mapping[str, tuple[float, Mapping[str, float]]] = MappingProxyType(
    {
        "sodium bicarbonate": (84.007, {"sodium": 1.0, "inorganic_carbon": 1.0}),
        "soda ash": (105.988, {"sodium": 2.0, "inorganic_carbon": 1.0}),
        "potassium bicarbonate": (100.115, {"cations": 1.0, "inorganic_carbon": 1.0}),
        "slaked lime": (74.093, {"cations": 2.0}),
        "urea": (60.056, {"inorganic_nitrogen": 2.0, "inorganic_carbon": 1.0}),
        "table salt": (58.443, {"sodium": 1.0, "anions": 1.0}),
        "gypsum": (172.17, {"sulfate": 1.0, "cations": 2.0}),
    }
)


def dose(kind: str, mass_kg: float) -> Liquid:
    """Give a chemical as what it brings to the liquid, its own volume neglected.

    Parameters
    ----------
    kind : str
        One of ``DOSES``.
    mass_kg : float
        Pure dry mass [kg].

    Notes
    -----
    Lime and gypsum are taken to dissolve whole; carbonate that falls out with calcium is not
    followed, so lime is shown stronger than it is when bicarbonate is plenty.

    Raises
    ------
    InputError
        When the kind is unknown or the mass negative.

    Examples
    --------
    >>> round(dose("sodium bicarbonate", 0.084).amounts["sodium"], 4)
    0.001
    """
    require(
        kind in DOSES,
        field="dose",
        value=kind,
        allowed=", ".join(DOSES),
        remedy="Name one of these",
    )
    per_kmol, brings = DOSES[kind]
    return Liquid(0.0, {name: share * mass_kg / per_kmol for name, share in brings.items()})
