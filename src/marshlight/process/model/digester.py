"""A digester as the process model sees it: vessel, gas holder, warmth, mixing."""

from dataclasses import dataclass

from marshlight.errors import require
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet

KPA_PER_BAR = 100.0
KINDS = ("floating", "bag", "sealed", "open")


@dataclass(frozen=True)
class Holder:
    """Where the gas goes.

    ``floating``: a cylinder that holds ``gauge_kpa`` over the room's pressure until ``capacity_m3``
    is full, then bubbles out. ``bag``: slack at the room's pressure until full, then lets out at
    ``gauge_kpa``. ``sealed``: no holder and no way out, so the pressure rises. ``open``: no holder;
    gas leaves and air comes in through an opening, ``air_m3_per_d`` of it at all times.
    """

    kind: str
    capacity_m3: float = 0.0
    gauge_kpa: float = 0.0
    air_m3_per_d: float = 0.0

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When the kind is unknown or a number is out of its limits.
        """
        require(
            self.kind in KINDS,
            field="holder",
            value=self.kind,
            allowed=", ".join(KINDS),
            remedy="Name one of these",
        )
        require(
            self.capacity_m3 >= 0.0 and self.air_m3_per_d >= 0.0 and 0.0 <= self.gauge_kpa <= 300.0,
            field="holder",
            value=(self.capacity_m3, self.gauge_kpa, self.air_m3_per_d),
            allowed="capacity and air zero or more, gauge pressure 0 to 300 kPa",
            remedy="Check the holder's numbers",
        )


@dataclass(frozen=True)
class Digester:
    """A vessel of ``vessel_m3`` inside, liquid and gas together, kept at ``temperature_c``.

    ``gas_release`` slows the way of gas out of the liquid (1 well mixed, 0.1 hardly ever mixed:
    gas is held up ten times as long). ``access`` is the share of the solids that the liquid
    reaches: below 1 with a floating layer or a settled bed.
    """

    vessel_m3: float
    holder: Holder
    temperature_c: float = 35.0
    atmosphere_kpa: float = 101.325
    gas_release: float = 1.0
    access: float = 1.0

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When a number is out of its limits.
        """
        limits = {
            "vessel_m3": (1e-6, 1e6, "m3"),
            "temperature_c": (1.0, 65.0, "degC"),
            "atmosphere_kpa": (50.0, 110.0, "kPa"),
            "gas_release": (0.01, 10.0, "times the usual"),
            "access": (0.0, 1.0, "of the solids"),
        }
        for name, (low, high, unit) in limits.items():
            value = getattr(self, name)
            require(
                low <= value <= high,
                field=name,
                value=value,
                allowed=f"{low:g} to {high:g} {unit}",
                remedy="Check the digester's numbers",
            )

    def settings(self, parameters: ParameterSet = SMALL_DIGESTER) -> dict[str, float]:
        """Give the model's settings that describe this digester."""
        return {
            "vessel_m3": self.vessel_m3,
            "temperature_c": self.temperature_c,
            "atmosphere_bar": self.atmosphere_kpa / KPA_PER_BAR,
            "kLa": parameters["kLa"] * self.gas_release,
            "access": self.access * parameters["access"],
            # Width over which the corners of the pressure law are rounded.
            "holder_softness_m3": 1e-4 * self.vessel_m3,
            "outlet_softness_bar": 1e-6,
            **holder_settings(self.holder, self),
        }


def holder_settings(holder: Holder, digester: Digester) -> dict[str, float]:
    """Give the pressure law of a holder on this digester."""
    room = digester.atmosphere_kpa / KPA_PER_BAR
    held = room + holder.gauge_kpa / KPA_PER_BAR
    # A way out that passes the vessel's volume of gas each day for a few pascals.
    way_out = 2e4 * digester.vessel_m3
    law = {
        "floating": {"holder_bar": held, "outlet_bar": held + 2e-4},
        "bag": {"holder_bar": room, "outlet_bar": max(held, room + 2e-4)},
        "sealed": {"holder_bar": room, "outlet_bar": held},
        "open": {"holder_bar": room, "outlet_bar": room},
    }[holder.kind]
    has_holder = holder.kind in ("floating", "bag")
    return {
        **law,
        "holder_m3": holder.capacity_m3 if has_holder else 0.0,
        "outlet_m3_per_d_bar": 0.0 if holder.kind == "sealed" else way_out,
        "lets_air_in": 1.0 if holder.kind == "open" else 0.0,
        "air_exchange_m3_per_d": holder.air_m3_per_d,
    }
