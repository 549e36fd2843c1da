"""What was read at a holder, what was done to it, and how well one reads."""

import math
from dataclasses import dataclass

from marshlight.errors import require
from marshlight.estimate import Estimate

EVENT_KINDS: dict[str, str] = {
    "started": "the run begins; the holder stands empty or at the stated level",
    "emptied": "all gas let out or burnt",
    "used": "some gas burnt or let out",
    "reset": "set to a stated level, or a counter set to a stated count",
    "vented": "a bottle's pressure let off, or gas let out of a holder",
    "overflowed": "gas escaped because the holder could take no more",
    "seal_opened": "the gas space stood open to the air",
    "leak_noted": "gas was seen to escape from here on",
    "leak_mended": "the leak was closed",
    "slurry_changed": "liquid went in or out with the gas space kept closed",
}


@dataclass(frozen=True)
class HolderReading:
    """One look at a holder.

    Parameters
    ----------
    day : float
        Days since the run began [d].
    value : float
        What the ruler, eye, register, gauge or scale showed, in the unit of ``way``.
    way : str
        How it was read, one of the holder's ``WAYS``; empty means its first.
    temperature_c : float, optional
        Temperature of the gas in the holder, or of a bottle's gas [degC].
    vessel_temperature_c : float, optional
        Temperature of the gas in the vessel's head-space [degC].
    air_pressure_kpa : float, optional
        Barometer at the place, absolute and not reduced to sea level [kPa].
    after_event : bool
        True if taken just after an event that bears the same time.
    """

    day: float
    value: float
    way: str = ""
    temperature_c: float | None = None
    vessel_temperature_c: float | None = None
    air_pressure_kpa: float | None = None
    after_event: bool = False


@dataclass(frozen=True)
class HolderEvent:
    """Something done to a holder or its vessel.

    Parameters
    ----------
    day : float
        Days since the run began [d].
    kind : str
        One of ``EVENT_KINDS``.
    level_before, level_after : float, optional
        Reading just before and just after, in the unit of ``way``.
    way : str
        How those levels were read; empty means the holder's first way.
    metered_m3 : float, optional
        Gas that left through a meter, at the meter's own state, zero or more [m3].
    meter_temperature_c : float, optional
        Temperature of the gas in that meter; the holder's if not given [degC].
    u_metered_relative : float
        Relative standard uncertainty of that meter [-].
    slurry_change_m3 : float
        Liquid put in (positive) or drawn off (negative) [m3].

    Raises
    ------
    InputError
        If the kind is unknown or an amount impossible.
    """

    day: float
    kind: str
    level_before: float | None = None
    level_after: float | None = None
    way: str = ""
    metered_m3: float | None = None
    meter_temperature_c: float | None = None
    u_metered_relative: float = 0.02
    slurry_change_m3: float = 0.0

    def __post_init__(self) -> None:
        require(
            self.kind in EVENT_KINDS,
            field="kind",
            value=self.kind,
            allowed=", ".join(EVENT_KINDS),
            remedy="Choose what was done to the holder",
        )
        require(
            math.isfinite(self.day),
            field="day",
            value=self.day,
            allowed="a number of days",
            remedy="Give the time of the event",
        )
        require(
            self.metered_m3 is None or (math.isfinite(self.metered_m3) and self.metered_m3 >= 0.0),
            field="metered_m3",
            value=self.metered_m3,
            allowed="zero or more",
            remedy="Give the gas that left the holder as a positive volume",
        )


@dataclass(frozen=True)
class Instruments:
    """How well thermometers and barometer are read: standard uncertainties.

    Parameters
    ----------
    u_temperature_c, u_temperature_shared_c : float
        Holder thermometer, fresh at each reading and shared by all [K].
    u_vessel_c, u_vessel_shared_c : float
        Head-space thermometer, likewise [K].
    u_pressure_kpa, u_pressure_shared_kpa : float
        Barometer read with each reading, likewise [kPa].
    u_filled_in_c : float
        Extra for a temperature that was not read but filled in from others [K].

    References
    ----------
    instrument_practice.
    """

    u_temperature_c: float = 1.0
    u_temperature_shared_c: float = 0.5
    u_vessel_c: float = 1.0
    u_vessel_shared_c: float = 0.5
    u_pressure_kpa: float = 0.1
    u_pressure_shared_kpa: float = 0.2
    u_filled_in_c: float = 2.0


@dataclass(frozen=True)
class Headspace:
    """The gas space of the vessel itself, in line with the holder.

    Parameters
    ----------
    volume_m3 : Estimate
        Its volume at the start, above zero [m3].
    temperature_c : Estimate
        Its temperature where no reading gives one [degC].
    starts_as_air : bool
        False if it was flushed with biogas or an inert gas before the start.

    Raises
    ------
    InputError
        If the volume is not above zero.
    """

    volume_m3: Estimate
    temperature_c: Estimate
    starts_as_air: bool = True

    def __post_init__(self) -> None:
        require(
            self.volume_m3.value > 0.0,
            field="headspace",
            value=self.volume_m3.value,
            allowed="above zero",
            remedy="Give the vessel's volume less its slurry, or leave the gas space out",
        )
