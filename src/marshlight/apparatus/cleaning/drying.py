"""Drying gas: how much water drops out on cooling, and what a drying bed takes up."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.errors import require
from marshlight.matter.fuels import molar_volume_m3_mol
from marshlight.matter.gas import NORMAL_PRESSURE_KPA, WATER_MOLAR_MASS_KG_MOL
from marshlight.matter.water import saturation_vapour_pressure_kpa

# Water that silica gel takes up before it must be dried again (source silica_gel_memory).
SILICA_CAPACITY = 0.20


def water_in_gas_kg_m3(temperature_c: float, pressure_kpa: float = NORMAL_PRESSURE_KPA) -> float:
    """Return the vapour in saturated gas per dry normal cubic metre.

    Parameters
    ----------
    temperature_c : float
        Temperature at which the gas was last saturated, -20 to 90 [degC].
    pressure_kpa : float
        Absolute pressure there, above the vapour pressure [kPa].

    Returns
    -------
    float
        Water per dry normal gas (0 degC, 101.325 kPa) [kg/m3].

    Raises
    ------
    InputError
        If the vapour alone exceeds the pressure.

    Notes
    -----
    ``M_w p_w / ((p - p_w) V_m)`` with the ideal molar volume.

    References
    ----------
    iapws_sr1_86.

    Examples
    --------
    >>> round(water_in_gas_kg_m3(38.0) * 1e3, 1)
    56.3
    """
    vapour = saturation_vapour_pressure_kpa(temperature_c)
    require(
        vapour < pressure_kpa,
        field="pressure_kpa",
        value=pressure_kpa,
        allowed="above the vapour pressure of water",
        remedy="Give the absolute pressure",
    )
    return WATER_MOLAR_MASS_KG_MOL * vapour / (pressure_kpa - vapour) / molar_volume_m3_mol(0.0)


@dataclass(frozen=True)
class Drying:
    """Water that a gas carries and where it goes.

    ``carried`` before and ``left`` after cooling [kg/m3 dry normal]; ``condensate_kg_d`` drops
    out; ``silica_kg`` takes up what is left for the wanted days.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("iapws_sr1_86", "silica_gel_memory")

    carried_kg_m3: float
    left_kg_m3: float
    condensate_kg_d: float
    silica_kg: float


def dry_gas(
    flow_m3_d: float,
    *,
    from_c: float,
    to_c: float,
    days: float,
    pressure_kpa: float = NORMAL_PRESSURE_KPA,
) -> Drying:
    """Work out the condensate of a cooled gas line and the drying bed for the rest.

    Parameters
    ----------
    flow_m3_d : float
        Dry normal gas, 0 or more [m3/d].
    from_c, to_c : float
        Before and after cooling, falling, -20 to 90 [degC].
    days : float
        Days the drying bed is to last, 0 to 1000 [d].
    pressure_kpa : float
        Absolute pressure [kPa].

    Returns
    -------
    Drying
        Condensate [kg/d] and bed [kg].

    Raises
    ------
    InputError
        If the gas isn't cooled, or an input lies outside its range.

    References
    ----------
    iapws_sr1_86; silica_gel_memory.

    Examples
    --------
    >>> round(dry_gas(10.0, from_c=38.0, to_c=20.0, days=30).condensate_kg_d * 1e3)
    373
    """
    require(
        to_c <= from_c,
        field="temperature after cooling",
        value=to_c,
        allowed="no warmer than before",
        remedy="Give the coldest place of the gas line",
    )
    require(
        flow_m3_d >= 0.0 and 0.0 <= days <= 1000.0,
        field="flow, days",
        value=(flow_m3_d, days),
        allowed="0 or more, to 1000 days",
        remedy="Give the gas a day and how long the bed is to last",
    )
    carried, left = (water_in_gas_kg_m3(t, pressure_kpa) for t in (from_c, to_c))
    return Drying(
        carried, left, flow_m3_d * (carried - left), flow_m3_d * left * days / SILICA_CAPACITY
    )
