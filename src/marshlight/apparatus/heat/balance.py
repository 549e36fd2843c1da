"""The steady heat balance: what is lost where, and what temperature settles."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from marshlight.apparatus.heat.air import STANDARD_KPA
from marshlight.apparatus.heat.body import WATER_J_KG_K, Body
from marshlight.apparatus.heat.heater import Heater
from marshlight.apparatus.heat.surface import Passage
from marshlight.errors import FitError, require
from marshlight.matter.gas import vapour_carried_kg_m3

DAY_S = 86_400.0
# Above this the water vapour in the gas is that of 90 degC: a vessel that hot is past its use.
_HOTTEST_VAPOUR_C = 90.0
_HIGHEST_C = 350.0
_CLOSE_K = 1e-6


@dataclass(frozen=True)
class Outside:
    """Temperature of the air and of the ground at one moment [degC]."""

    air_c: float
    ground_c: float

    def facing(self, faces: str) -> float:
        """Give the temperature of what a surface faces [degC]."""
        return self.ground_c if faces == "ground" else self.air_c


@dataclass(frozen=True)
class Flows:
    """What goes through the vessel: feed [kg/d] at its temperature [degC], dry normal gas [m3/d].

    As much slurry leaves, at the slurry's own temperature, as feed comes in.
    """

    feed_kg_per_d: float = 0.0
    feed_c: float = 15.0
    gas_m3_per_d: float = 0.0

    def __post_init__(self) -> None:
        """Refuse negative flows.

        Raises
        ------
        InputError
            If feed or gas is negative.
        """
        for field in ("feed_kg_per_d", "gas_m3_per_d"):
            require(
                getattr(self, field) >= 0.0,
                field=field,
                value=getattr(self, field),
                allowed="zero or more",
                remedy="Give what comes in a day",
            )

    @property
    def feed_w_k(self) -> float:
        """Heat that the feed takes for each kelvin it is colder [W/K]."""
        return self.feed_kg_per_d * WATER_J_KG_K / DAY_S


@dataclass(frozen=True)
class Losses:
    """Heat leaving at one moment, by way [W], with feed and vapour; ``passages`` hold details."""

    passages: Mapping[str, Passage]
    feed_w: float
    vapour_w: float

    @property
    def ways_w(self) -> float:
        """Heat through wall, lid and base [W]."""
        return sum(passage.heat_w for passage in self.passages.values())

    @property
    def conductance_w_k(self) -> float:
        """Conductance of all ways together [W/K]."""
        return sum(passage.conductance_w_k for passage in self.passages.values())

    @property
    def total_w(self) -> float:
        """All heat leaving [W]."""
        return self.ways_w + self.feed_w + self.vapour_w


def evaporation_heat_kj_kg(temperature_c: float) -> float:
    """Return the heat of evaporation of water.

    Parameters
    ----------
    temperature_c : float
        0 to 100 [degC].

    Returns
    -------
    float
        Heat of evaporation [kJ/kg].

    References
    ----------
    vapour_heat.

    Examples
    --------
    >>> round(evaporation_heat_kj_kg(38.0), 1)
    2411.3
    """
    return 2501.0 - 2.36 * temperature_c


def vapour_loss_w(
    gas_m3_per_d: float, temperature_c: float, pressure_kpa: float = STANDARD_KPA
) -> float:
    """Return the heat that leaves as water vapour in the gas.

    Parameters
    ----------
    gas_m3_per_d : float
        Dry normal gas, zero or more [m3/d].
    temperature_c : float
        Slurry temperature [degC].
    pressure_kpa : float
        Absolute pressure of the gas [kPa].

    Returns
    -------
    float
        Mean heat flow [W].

    References
    ----------
    vapour_heat; hafner_2020_doc_203.

    Examples
    --------
    >>> round(vapour_loss_w(10.0, 38.0), 1)
    15.8
    """
    if gas_m3_per_d == 0.0:
        return 0.0
    warm = min(temperature_c, _HOTTEST_VAPOUR_C)
    carried = vapour_carried_kg_m3(max(warm, -20.0), pressure_kpa)
    return gas_m3_per_d * carried * evaporation_heat_kj_kg(warm) * 1e3 / DAY_S


def losses(
    body: Body,
    slurry_c: float,
    outside: Outside,
    flows: Flows | None = None,
    *,
    pressure_kpa: float = STANDARD_KPA,
) -> Losses:
    """Return the heat a vessel loses at one temperature.

    Parameters
    ----------
    body : Body
        The vessel.
    slurry_c : float
        Slurry temperature [degC].
    outside : Outside
        Air and ground.
    flows : Flows, optional
        Feed and gas; none if left out.
    pressure_kpa : float
        Air pressure [kPa].

    Returns
    -------
    Losses
        By way, with feed and vapour.

    Notes
    -----
    The heat that digestion itself makes, some percent of the gas's energy, is neglected:
    a little to the safe side.

    References
    ----------
    lumped_balance; water_heat; vapour_heat.
    """
    flows = Flows() if flows is None else flows
    passages = {
        way.name: way.passage(slurry_c, outside.facing(way.faces), pressure_kpa=pressure_kpa)
        for way in body.ways
    }
    return Losses(
        passages,
        flows.feed_w_k * (slurry_c - flows.feed_c),
        vapour_loss_w(flows.gas_m3_per_d, slurry_c, pressure_kpa),
    )


def heat_in_w(heater: Heater, body: Body, slurry_c: float, found: Losses) -> float:
    """Return the heat a heater that is on gives to the slurry.

    Parameters
    ----------
    heater : Heater
        Any kind; the sun at its mean over the day.
    body : Body
        The vessel.
    slurry_c : float
        Slurry temperature [degC].
    found : Losses
        Losses at that temperature.

    Returns
    -------
    float
        Heat flow into the slurry [W].
    """
    if heater.kind in ("bath", "coil"):
        return heater.conductance_w_k * (heater.supply_c - slurry_c)
    return heater.power_w * heater.share_in(body, found.passages)


@dataclass(frozen=True)
class Settled:
    """Where a vessel settles: slurry [degC], heat in [W], power taken [W], duty [-] and losses.

    ``reached`` is False where a thermostat asks for more than its heater can give;
    ``hottest_c`` is the wall at the heater while it is on [degC].
    """

    slurry_c: float
    heat_w: float
    power_w: float
    duty: float
    reached: bool
    hottest_c: float
    losses: Losses


def settle(
    body: Body,
    heater: Heater,
    outside: Outside,
    flows: Flows | None = None,
    *,
    pressure_kpa: float = STANDARD_KPA,
) -> Settled:
    """Return the temperature at which gains and losses balance.

    Parameters
    ----------
    body : Body
        The vessel, laid out for the heater's place.
    heater : Heater
        With or without a thermostat.
    outside : Outside
        Air and ground, held steady.
    flows : Flows, optional
        Feed and gas.
    pressure_kpa : float
        Air pressure [kPa].

    Returns
    -------
    Settled
        Temperature, power and duty.

    Raises
    ------
    FitError
        If heat goes in and none can leave.

    Notes
    -----
    An unregulated answer above 100 degC is arithmetic that says: it boils first.

    References
    ----------
    lumped_balance.
    """

    def at(slurry_c: float) -> tuple[float, Losses]:
        found = losses(body, slurry_c, outside, flows, pressure_kpa=pressure_kpa)
        return heat_in_w(heater, body, slurry_c, found), found

    wanted = heater.set_point_c
    if wanted is not None and heater.kind != "none":
        heat, found = at(wanted)
        if heat >= found.total_w:
            return _held(
                (heat, found), heater, body, wanted, outside=outside, flows=flows,
                pressure_kpa=pressure_kpa,
            )  # fmt: skip
    temperature = _root(at, outside, flows)
    heat, found = at(temperature)
    off = heater.kind == "none"
    power = heater.power_w if heater.power_w > 0.0 else max(heat, 0.0)
    return Settled(
        temperature,
        heat,
        0.0 if off else power,
        0.0 if off else 1.0,
        off or wanted is None,
        heater.hottest_c(body, temperature, heater.share_in(body, found.passages)),
        found,
    )


def _held(
    at_wanted: tuple[float, Losses],
    heater: Heater,
    body: Body,
    wanted: float,
    *,
    outside: Outside,
    flows: Flows | None,
    pressure_kpa: float,
) -> Settled:
    """Settle at a thermostat's set point, or above it where the surroundings are warmer."""
    most, found = at_wanted
    needed = found.total_w
    if needed <= 0.0:
        warm = settle(body, Heater(), outside, flows, pressure_kpa=pressure_kpa)
        return Settled(warm.slurry_c, 0.0, 0.0, 0.0, True, warm.slurry_c, warm.losses)
    duty = min(needed / most, 1.0) if most > 0.0 else 1.0
    share = heater.share_in(body, found.passages)
    power = duty * heater.power_w if heater.power_w > 0.0 else needed
    return Settled(wanted, needed, power, duty, True, heater.hottest_c(body, wanted, share), found)


def _root(
    at: Callable[[float], tuple[float, Losses]], outside: Outside, flows: Flows | None
) -> float:
    """Halve the interval: gains less losses fall steadily with temperature."""
    low = min(outside.air_c, outside.ground_c, flows.feed_c if flows else outside.air_c) - 30.0
    high = _HIGHEST_C
    heat, found = at(high)
    if heat > found.total_w:
        raise FitError(
            "Heat goes in and cannot leave: the balance finds no temperature below "
            f"{_HIGHEST_C:g} degC. Check power, insulation and what the vessel stands on."
        )
    while high - low > _CLOSE_K:
        middle = 0.5 * (low + high)
        heat, found = at(middle)
        if heat > found.total_w:
            low = middle
        else:
            high = middle
    middle = 0.5 * (low + high)
    return middle if math.isfinite(middle) else high
