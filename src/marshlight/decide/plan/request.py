"""What a charge is planned from: the vessel, the lots at hand, the place and the aim."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isfinite

from marshlight.errors import require
from marshlight.matter.feedstock import Feedstock

# Half the activity range of digested cattle manure reaches down to here, source
# inoculum_activity: a lot this lively is taken for a live inoculum.
INOCULUM_FROM = 0.02
ROLES = ("auto", "food", "inoculum")


@dataclass(frozen=True)
class LotAtHand:
    """One lot that may go in: how much there is, what it costs, what the user insists on.

    Parameters
    ----------
    feedstock : Feedstock
        As it is now: aged or measured where that is known.
    available_kg : float
        What there is [kg], zero or more; infinite if there is more than can be used.
    key : str
        Name of the lot in the answer; the feedstock's key if not given.
    price_per_kg : float
        What a kilogram costs, any currency; negative for a fee earned for taking it.
    fixed_kg : float, optional
        Exactly this much goes in [kg].
    least_kg, most_kg : float, optional
        At least and at the most this much goes in [kg].
    role : {"auto", "food", "inoculum"}
        Whether it is there for its live microbes; by default told from its activity.
    waste : bool, optional
        Whether it counts for "most waste used"; all but inoculum if not given.

    Raises
    ------
    InputError
        When an amount is negative or the amounts contradict each other.
    """

    feedstock: Feedstock
    available_kg: float
    key: str = ""
    price_per_kg: float = 0.0
    fixed_kg: float | None = None
    least_kg: float = 0.0
    most_kg: float | None = None
    role: str = "auto"
    waste: bool | None = None

    def __post_init__(self) -> None:
        """Name the lot and refuse amounts that cannot be."""
        name = self.feedstock.name
        if not self.key:
            object.__setattr__(self, "key", self.feedstock.key)
        amounts = (self.available_kg, self.least_kg, self.fixed_kg or 0.0, self.most_kg or 0.0)
        require(
            all(amount >= 0.0 for amount in amounts) and isfinite(self.price_per_kg),
            field=f"amounts of {name}",
            value=amounts,
            allowed="zero or more kilograms",
            remedy="Correct the amount",
        )
        require(
            self.most_kg is None or self.least_kg <= self.most_kg,
            field=f"amounts of {name}",
            value=(self.least_kg, self.most_kg),
            allowed="at least no more than at the most",
            remedy="Swap or correct the two amounts",
        )
        wanted = max(self.least_kg, self.fixed_kg or 0.0)
        require(
            wanted <= self.available_kg,
            field=f"amount of {name}",
            value=wanted,
            allowed=f"what is at hand: {self.available_kg:g} kg",
            remedy="Lower the amount or enter more at hand",
        )
        require(
            self.role in ROLES,
            field=f"role of {name}",
            value=self.role,
            allowed=", ".join(ROLES),
            remedy="Choose one of these",
        )

    @property
    def is_inoculum(self) -> bool:
        """Say whether the lot is there for its live microbes."""
        if self.role != "auto":
            return self.role == "inoculum"
        activity = self.feedstock.get("methanogenic_activity")
        return activity is not None and activity.value >= INOCULUM_FROM

    @property
    def is_waste(self) -> bool:
        """Say whether taking the lot in counts for "most waste used"."""
        return not self.is_inoculum if self.waste is None else self.waste


@dataclass(frozen=True)
class ChargeRequest:
    """All that the planner needs to know.

    Parameters
    ----------
    vessel_m3 : float
        Whole inner volume of the vessel [m3], above zero.
    lots : tuple[LotAtHand, ...]
        What is at hand, keys all different.
    slurry_c : float
        Temperature the slurry will be kept at [degC], 4 to 60.
    aim : str
        "most_gas", "most_waste" or "surest_start".
    water_available_kg : float, optional
        Water at hand [kg]; as much as needed if not given.
    water_fixed_kg : float, optional
        Exactly this much water [kg].
    limits : Mapping[str, tuple[float | None, float | None]]
        The user's own (low, high) by limit, see ``limits_for``.
    bucket_m3 : float
        The bucket used for measuring out [m3].
    holder_m3 : float, optional
        Volume of the gas holder [m3], to say how often it fills.
    materials_c : float
        Temperature of the materials and the tap water [degC], to say how warm the mixing water
        should be.
    system : {"metric", "us"}
        Units of the sentences; every number stays in base units.

    Raises
    ------
    InputError
        When something is out of range or two lots share a key.
    """

    vessel_m3: float
    lots: tuple[LotAtHand, ...]
    slurry_c: float
    aim: str = "most_gas"
    water_available_kg: float | None = None
    water_fixed_kg: float | None = None
    limits: Mapping[str, tuple[float | None, float | None]] = field(default_factory=dict)
    bucket_m3: float = 0.010
    holder_m3: float | None = None
    materials_c: float = 15.0
    system: str = "metric"

    def __post_init__(self) -> None:
        """Refuse what cannot be planned."""
        require(
            isfinite(self.vessel_m3) and self.vessel_m3 > 0.0,
            field="vessel volume",
            value=self.vessel_m3,
            allowed="more than zero",
            remedy="Give the whole inner volume of the vessel",
        )
        require(
            4.0 <= self.slurry_c <= 60.0,
            field="slurry temperature",
            value=self.slurry_c,
            allowed="4 to 60 degC",
            remedy="Give the temperature the slurry will be kept at; near 38 degC is usual",
        )
        require(
            -5.0 <= self.materials_c <= 60.0,
            field="temperature of the materials",
            value=self.materials_c,
            allowed="-5 to 60 degC",
            remedy="Give the temperature of the place where they stand",
        )
        keys = [lot.key for lot in self.lots]
        require(
            bool(keys) and len(set(keys)) == len(keys),
            field="lots at hand",
            value=keys,
            allowed="at least one lot, each with its own key",
            remedy="Give each lot its own key",
        )
        water = (self.water_available_kg or 0.0, self.water_fixed_kg or 0.0)
        require(
            min(water) >= 0.0
            and (self.water_available_kg is None or water[1] <= self.water_available_kg),
            field="water",
            value=water,
            allowed="zero or more, no more than is at hand",
            remedy="Correct the amount of water",
        )
        require(
            self.bucket_m3 > 0.0 and (self.holder_m3 is None or self.holder_m3 > 0.0),
            field="bucket and gas holder",
            value=(self.bucket_m3, self.holder_m3),
            allowed="more than zero",
            remedy="Give their volumes",
        )
