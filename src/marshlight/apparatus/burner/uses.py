"""What the gas does: heat of a burner, time for a pot, litres for a meal, hours on a lamp."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from marshlight.errors import require
from marshlight.packaged import read_toml

WATER_KJ_KG_K = 4.186
# Share of the gas's heat that reaches the pot: planning value (source stove_efficiency_memory).
POT_EFFICIENCY = 0.50


@dataclass(frozen=True)
class GasUse:
    """One published figure of gas use, low and high, in ``unit`` (per hour or per portion)."""

    key: str
    name: str
    low: float
    high: float
    unit: str
    source: str
    note: str = ""

    @property
    def hourly(self) -> bool:
        """Say whether the figure is gas per hour."""
        return self.unit == "m3/h"


@cache
def gas_uses() -> Mapping[str, GasUse]:
    """Give every published gas use by key, as taken from its source."""
    rows = read_toml("gas_uses.toml")
    return MappingProxyType({key: GasUse(key, **row) for key, row in rows.items()})


def heat_input_w(flow_m3_h: float, *, net_mj_m3: float) -> float:
    """Return the heat a burner gives off.

    Parameters
    ----------
    flow_m3_h : float
        Gas it takes, 0 or more [m3/h].
    net_mj_m3 : float
        Net heat of the gas in the same state as the flow [MJ/m3].

    Returns
    -------
    float
        Heat [W].

    References
    ----------
    iso_6976_2016.

    Examples
    --------
    >>> round(heat_input_w(0.45, net_mj_m3=20.37))
    2546
    """
    return flow_m3_h * net_mj_m3 * 1e6 / 3600.0


def gas_for_water_m3(
    water_kg: float,
    *,
    from_c: float,
    to_c: float,
    net_mj_m3: float,
    efficiency: float = POT_EFFICIENCY,
) -> float:
    """Return the gas that heats water on a burner.

    Parameters
    ----------
    water_kg : float
        Water, 0 or more [kg].
    from_c, to_c : float
        Before and after, rising, to 100 [degC].
    net_mj_m3 : float
        Net heat of the gas, above 0 [MJ/m3].
    efficiency : float
        Share of the heat that reaches the water, 0.1 to 0.9 [-].

    Returns
    -------
    float
        Gas in the state that the heat is given for [m3].

    Raises
    ------
    InputError
        If an input lies outside its range.

    Notes
    -----
    Keeping it boiling costs more; the pot's own heat is within the efficiency.

    References
    ----------
    gtz_gas_use for the measured 30 to 40 L a litre; stove_efficiency_memory.

    Examples
    --------
    >>> round(gas_for_water_m3(1.0, from_c=20, to_c=100, net_mj_m3=20.368) * 1e3, 1)
    32.9
    """
    require(
        water_kg >= 0.0 and from_c <= to_c <= 100.0,
        field="water",
        value=(water_kg, from_c, to_c),
        allowed="some water, warmed to 100 degC at the most",
        remedy="Give the temperature before and after",
    )
    require(
        0.1 <= efficiency <= 0.9 and net_mj_m3 > 0.0,
        field="efficiency",
        value=efficiency,
        allowed="0.1 to 0.9",
        remedy="A biogas stove brings 0.4 to 0.6 of the heat into the pot",
    )
    return water_kg * WATER_KJ_KG_K * (to_c - from_c) / efficiency / (net_mj_m3 * 1e3)


def hours_from(volume_m3: float, flow_m3_h: float) -> float:
    """Return how long a store of gas lasts.

    Parameters
    ----------
    volume_m3 : float
        Gas held, 0 or more [m3].
    flow_m3_h : float
        Gas taken, above 0, in the same state [m3/h].

    Returns
    -------
    float
        Hours [h].

    Raises
    ------
    InputError
        If nothing is taken.

    Examples
    --------
    >>> round(hours_from(0.010, 0.45) * 3600)
    80
    """
    require(
        flow_m3_h > 0.0 and volume_m3 >= 0.0,
        field="flow",
        value=(volume_m3, flow_m3_h),
        allowed="a flow above 0",
        remedy="Give the gas the burner takes an hour",
    )
    return volume_m3 / flow_m3_h
