"""What it takes to keep warm: power, insulation, energy by the month."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from marshlight.apparatus.heat.air import STANDARD_KPA
from marshlight.apparatus.heat.balance import Flows, Outside, losses
from marshlight.apparatus.heat.body import Body
from marshlight.apparatus.heat.heater import Heater
from marshlight.apparatus.heat.weather import MONTH_DAYS
from marshlight.errors import require

_THICKEST_M = 1.0
_CLOSE_M = 1e-5


def power_needed_w(
    body: Body,
    hold_c: float,
    outside: Outside,
    *,
    heater: Heater | None = None,
    flows: Flows | None = None,
    pressure_kpa: float = STANDARD_KPA,
) -> float:
    """Return the rated power that just holds a temperature.

    Parameters
    ----------
    body : Body
        The vessel, laid out for the heater's place.
    hold_c : float
        Temperature to hold [degC].
    outside : Outside
        The coldest to be held against.
    heater : Heater, optional
        Its kind and area say how much of its power reaches the slurry; all of it if left out.
    flows : Flows, optional
        Feed and gas.
    pressure_kpa : float
        Air pressure [kPa].

    Returns
    -------
    float
        Power that runs all the time, zero or more; choose a heater half as strong again [W].

    References
    ----------
    lumped_balance.
    """
    found = losses(body, hold_c, outside, flows, pressure_kpa=pressure_kpa)
    share = 1.0 if heater is None else heater.share_in(body, found.passages)
    return max(found.total_w, 0.0) / share if share > 0.0 else math.inf


def insulation_needed_m(
    body_at: Callable[[float], Body],
    hold_c: float,
    outside: Outside,
    *,
    power_w: float,
    heater: Heater | None = None,
    flows: Flows | None = None,
    pressure_kpa: float = STANDARD_KPA,
) -> float:
    """Return the least insulation with which a power holds a temperature.

    Parameters
    ----------
    body_at : callable
        Makes the body for a thickness [m].
    hold_c : float
        Temperature to hold [degC].
    outside : Outside
        The coldest to be held against.
    power_w : float
        Rated power, zero or more [W].
    heater : Heater, optional
        As in ``power_needed_w``.
    flows : Flows, optional
        Feed and gas; insulation cannot save what they take.
    pressure_kpa : float
        Air pressure [kPa].

    Returns
    -------
    float
        Thickness, 0 if bare does; infinite if a metre would not do [m].

    Raises
    ------
    InputError
        If the power is negative.

    Notes
    -----
    Halves the interval: on vessels wider than a few centimetres more insulation always
    loses less.

    References
    ----------
    incropera_2007, chapter 3.
    """
    require(
        power_w >= 0.0,
        field="power",
        value=power_w,
        allowed="zero or more",
        remedy="Give the heater's rated power in W",
    )

    def needs(thickness_m: float) -> float:
        return power_needed_w(
            body_at(thickness_m),
            hold_c,
            outside,
            heater=heater,
            flows=flows,
            pressure_kpa=pressure_kpa,
        )

    if needs(0.0) <= power_w:
        return 0.0
    if needs(_THICKEST_M) > power_w:
        return math.inf
    low, high = 0.0, _THICKEST_M
    while high - low > _CLOSE_M:
        middle = 0.5 * (low + high)
        if needs(middle) > power_w:
            low = middle
        else:
            high = middle
    return high


@dataclass(frozen=True)
class MonthHeat:
    """Heat of one month [kWh] and the gas energy needed for it as a share of the gas made [-]."""

    days: int
    loss_kwh: float
    feed_kwh: float
    gas_share: float


def monthly_heat(
    body: Body,
    hold_c: float,
    *,
    air_c: Sequence[float],
    ground_c: Sequence[float],
    feed_c: Sequence[float],
    feed_kg_per_d: float,
    gas_kwh_per_d: float,
    boiler: float,
) -> tuple[MonthHeat, ...]:
    """Return the heat that each month of a year needs.

    Parameters
    ----------
    body : Body
        The vessel.
    hold_c : float
        Slurry temperature [degC].
    air_c, ground_c, feed_c : sequence of 12 float
        Monthly means, January first [degC].
    feed_kg_per_d : float
        Feed, zero or more [kg/d].
    gas_kwh_per_d : float
        Energy of the gas made, above zero [kWh/d].
    boiler : float
        Share of the gas's energy that a boiler turns into heat, above 0 to 1 [-].

    Returns
    -------
    tuple of MonthHeat
        Twelve.

    Raises
    ------
    InputError
        If a table has not twelve values, or gas or boiler is impossible.

    References
    ----------
    lumped_balance; water_heat.
    """
    for field, table in (("air", air_c), ("ground", ground_c), ("feed", feed_c)):
        require(
            len(table) == 12,
            field=f"monthly temperatures, {field}",
            value=len(table),
            allowed="12",
            remedy="Give one mean for each month",
        )
    require(
        gas_kwh_per_d > 0.0 and 0.0 < boiler <= 1.0,
        field="gas energy and boiler",
        value=(gas_kwh_per_d, boiler),
        allowed="above zero; above 0 to 1",
        remedy="Give the gas's energy and the boiler's efficiency",
    )
    months = []
    for days, air, ground, feed in zip(MONTH_DAYS, air_c, ground_c, feed_c, strict=True):
        found = losses(body, hold_c, Outside(air, ground), Flows(feed_kg_per_d, feed))
        hours = days * 24.0 / 1000.0
        need = (found.ways_w + found.feed_w) * hours
        share = need / boiler / (gas_kwh_per_d * days)
        months.append(MonthHeat(days, found.ways_w * hours, found.feed_w * hours, share))
    return tuple(months)
