"""The properties a feedstock can have: meaning, base unit, limits, and a value with its source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite
from types import MappingProxyType
from typing import NamedTuple

from marshlight.errors import require
from marshlight.estimate import Estimate


class PropertyKind(NamedTuple):
    """What a property means, its base unit and limits, and what cannot be done without it."""

    meaning: str
    unit: str
    minimum: float
    maximum: float
    quantity: str
    needed_for: str


# The ceiling of the methane potential is that of pure fat (1.01 m3/kg, Buswell's equation).
PROPERTIES: Mapping[str, PropertyKind] = MappingProxyType(
    {
        "TS": PropertyKind(
            "total solids: what is left after drying",
            "kg/kg fresh",
            0.0,
            1.0,
            "fraction",
            "how thick the slurry is and how much organic matter goes in",
        ),
        "VS": PropertyKind(
            "volatile solids: the part of the dry matter that burns off",
            "kg/kg TS",
            0.0,
            1.0,
            "fraction",
            "organic load and expected gas",
        ),
        "methane_potential": PropertyKind(
            "methane in the end, dry and normal, per organic matter",
            "m3 CH4/kg VS",
            0.0,
            1.05,
            "yield",
            "expected gas",
        ),
        "rate": PropertyKind(
            "first-order rate at about 35 degC",
            "1/d",
            0.0,
            5.0,
            "rate",
            "how soon the gas comes",
        ),
        "carbohydrate": PropertyKind(
            "sugar, starch, pectin, organic acids and alcohols",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "theoretical methane, oxygen demand and the process model",
        ),
        "protein": PropertyKind(
            "protein",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "theoretical methane, ammonia set free and the process model",
        ),
        "lipid": PropertyKind(
            "fat and oil",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "theoretical methane and the limit on fat",
        ),
        "fibre": PropertyKind(
            "cellulose and hemicellulose",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "theoretical methane and the process model",
        ),
        "lignin": PropertyKind(
            "lignin and what behaves like it: not digested",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "the share that stays undigested",
        ),
        "easily_degraded": PropertyKind(
            "organic matter gone within a few days",
            "kg/kg VS",
            0.0,
            1.0,
            "fraction",
            "the risk of souring and what is lost in storage",
        ),
        "C_to_N": PropertyKind(
            "carbon to nitrogen ratio",
            "kg C/kg N",
            0.0,
            1000.0,
            "dimensionless",
            "the carbon to nitrogen ratio of a mix",
        ),
        "TKN": PropertyKind(
            "total (Kjeldahl) nitrogen",
            "kg N/kg TS",
            0.0,
            0.25,
            "fraction",
            "nitrogen, ammonia and fertiliser value",
        ),
        "TAN": PropertyKind(
            "ammonia and ammonium nitrogen",
            "kg N/kg fresh",
            0.0,
            0.05,
            "fraction",
            "the ammonia present on the first day",
        ),
        "P": PropertyKind("phosphorus", "kg/kg TS", 0.0, 0.1, "fraction", "fertiliser value"),
        "K": PropertyKind("potassium", "kg/kg TS", 0.0, 0.2, "fraction", "fertiliser value"),
        "bulk_density": PropertyKind(
            "mass of a heaped bucketful over its volume",
            "kg/m3",
            10.0,
            2000.0,
            "density",
            "litres and buckets",
        ),
        "alkalinity": PropertyKind(
            "acid it can take up to pH 4.3, as calcium carbonate",
            "kg CaCO3/kg fresh",
            0.0,
            0.2,
            "fraction",
            "the buffer brought along",
        ),
        "methanogenic_activity": PropertyKind(
            "methane the live microbes make when well fed, as oxygen demand",
            "kg CH4-COD/kg VS/d",
            0.0,
            5.0,
            "rate",
            "how fast a charge starts (taken as none)",
        ),
    }
)

SPLIT = ("carbohydrate", "protein", "lipid", "fibre", "lignin")
SPLIT_TOLERANCE = 0.02


@dataclass(frozen=True)
class Property:
    """A value with the range it usually lies in (read as 95 %) and the key of its source.

    ``replaces`` keeps what a measurement or a calculation took the place of.
    """

    value: float
    low: float
    high: float
    source: str
    note: str = ""
    replaces: "Property | None" = field(default=None, compare=False)

    def __post_init__(self) -> None:
        """Refuse numbers that are missing or out of order.

        Raises
        ------
        InputError
            When low, value and high are not finite numbers in that order.
        """
        numbers = (self.low, self.value, self.high)
        require(
            all(isfinite(n) for n in numbers) and self.low <= self.value <= self.high,
            field="property",
            value=numbers,
            allowed="numbers with low <= value <= high",
            remedy="Give the low end, the best value and the high end in that order",
        )

    @property
    def estimate(self) -> Estimate:
        """Give the value with its standard uncertainty: a quarter of the range's width."""
        return Estimate.from_range(self.value, self.low, self.high)


def scaled(held: Property, factor: float, *, note: str, maximum: float) -> Property:
    """Scale a property and its range, noting why and keeping what it replaces."""
    return Property(
        min(held.value * factor, maximum),
        min(held.low * factor, maximum),
        min(held.high * factor, maximum),
        held.source,
        note,
        held,
    )
