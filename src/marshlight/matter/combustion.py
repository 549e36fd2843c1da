"""Burning biogas: heat with its reference state named, Wobbe index, air, dew point."""

from dataclasses import dataclass

from marshlight.errors import InputError, require
from marshlight.matter.fuels import VAPORISATION_KJ_MOL, molar_volume_m3_mol
from marshlight.matter.gas import (
    GAS_CONSTANT_J_MOL_K,
    GASES,
    OXYGEN_SHARE_OF_AIR,
    WATER_MOLAR_MASS_KG_MOL,
)
from marshlight.matter.water import KELVIN, saturation_vapour_pressure_kpa

# Molar gross heat of methane [kJ/mol] by the temperature of combustion [degC],
# source iso_6976_2016.
_METHANE_GROSS = {0.0: 892.92, 15.0: 891.51, 15.55: 891.46, 20.0: 891.05, 25.0: 890.58}
# Compression factor of methane at 101.325 kPa by temperature [degC], source coolprop_2014.
_METHANE_Z = {0.0: 0.99761, 15.0: 0.99802}
COMBUSTION_C = tuple(_METHANE_GROSS)
_DEW_STEPS = 60


def methane_heat_kj_mol(combustion_c: float = 25.0, *, net: bool = True) -> float:
    """Return the heat of burning a mole of methane.

    Parameters
    ----------
    combustion_c : float
        Temperature that fuel and burnt gas are brought to: 0, 15, 15.55, 20 or 25 [degC].
    net : bool
        Whether the water leaves as vapour (net) or is condensed (gross).

    Returns
    -------
    float
        Molar heat [kJ/mol].

    Raises
    ------
    InputError
        At a temperature the standard doesn't tabulate.

    References
    ----------
    iso_6976_2016.

    Examples
    --------
    >>> round(methane_heat_kj_mol(25.0), 2), methane_heat_kj_mol(15.0, net=False)
    (802.55, 891.51)
    """
    require(
        combustion_c in _METHANE_GROSS,
        field="combustion_c",
        value=combustion_c,
        allowed=", ".join(f"{t:g}" for t in COMBUSTION_C),
        remedy="Choose one of the standard's reference temperatures",
    )
    gross = _METHANE_GROSS[combustion_c]
    return gross - 2.0 * VAPORISATION_KJ_MOL[combustion_c] if net else gross


def require_methane_share(methane: float) -> None:
    """Refuse what cannot be a share of methane.

    Parameters
    ----------
    methane : float
        Share in the dry gas [m3/m3].

    Raises
    ------
    InputError
        Outside 0 to 1.
    """
    require(
        0.0 <= methane <= 1.0,
        field="methane",
        value=methane,
        allowed="0 to 1",
        remedy="Give the share of methane in the dry gas",
    )


def heating_value_mj_m3(
    methane: float,
    *,
    combustion_c: float,
    volume_c: float,
    net: bool = True,
    real_gas: bool = False,
) -> float:
    """Return the heat of a cubic metre of dry gas, in the reference state that is named.

    Parameters
    ----------
    methane : float
        Volume share of methane, 0 to 1; the rest doesn't burn [m3/m3].
    combustion_c : float
        Reference temperature of combustion: 0, 15, 15.55, 20 or 25 [degC].
    volume_c : float
        Temperature at which the cubic metre is measured, at 101.325 kPa [degC].
    net : bool
        Net (water leaves as vapour) or gross.
    real_gas : bool
        Pure methane only, at 0 or 15 degC: by its compression factor.

    Returns
    -------
    float
        Heat per volume [MJ/m3].

    Raises
    ------
    InputError
        For a share outside 0 to 1, an untabulated temperature, or a real-gas mixture.

    Notes
    -----
    The same methane has 35.9, 34.0 or 37.7 MJ/m3 in three usual states: name the state
    with the number. A real mixture differs from the ideal by up to 0.4 %, neglected.

    References
    ----------
    iso_6976_2016; coolprop_2014 for the compression factor.

    Examples
    --------
    >>> round(heating_value_mj_m3(0.60, combustion_c=25.0, volume_c=0.0), 3)
    21.484
    """
    require_methane_share(methane)
    heat = methane * methane_heat_kj_mol(combustion_c, net=net)
    ideal = heat / molar_volume_m3_mol(volume_c) / 1e3
    if not real_gas:
        return ideal
    require(
        methane == 1.0 and volume_c in _METHANE_Z,
        field="real_gas",
        value=(methane, volume_c),
        allowed="pure methane measured at 0 or 15 degC",
        remedy="Leave real_gas off for mixtures: the difference is 0.4 % at the most",
    )
    return ideal / _METHANE_Z[volume_c]


# Net heat of a real dry normal cubic metre of methane [kWh/m3]: what a ledger's gas holds.
METHANE_KWH_PER_NORMAL_M3 = (
    heating_value_mj_m3(1.0, combustion_c=25.0, volume_c=0.0, real_gas=True) / 3.6
)


@dataclass(frozen=True)
class GasQuality:
    """Biogas as a fuel; shares are dry unless the name says moist.

    Parameters
    ----------
    methane : float
        Dry volume share of methane [m3/m3].
    vapour : float
        Share of water vapour in the moist gas [m3/m3].
    relative_density : float
        Density of the dry gas over that of air [-].
    density_kg_m3 : float
        Density of the moist gas as it is [kg/m3].
    net_mj_m3, gross_mj_m3 : float
        Dry gas, combustion and volume at 15 degC [MJ/m3].
    net_normal_kwh_m3 : float
        Dry gas, combustion at 25 degC, volume at 0 degC [kWh/m3].
    net_as_is_mj_m3 : float
        A cubic metre of the moist gas at its own temperature and pressure, net [MJ/m3].
    net_mj_kg : float
        Dry gas, net [MJ/kg].
    wobbe_gross_mj_m3, wobbe_net_mj_m3 : float
        Dry gas, 15/15 degC [MJ/m3].
    air_need_m3_m3, air_need_kg_kg : float
        Dry air for complete burning, per dry gas [m3/m3], [kg/kg].
    dew_point_c : float
        Temperature at which water begins to drop out of the gas [degC].
    """

    methane: float
    vapour: float
    relative_density: float
    density_kg_m3: float
    net_mj_m3: float
    gross_mj_m3: float
    net_normal_kwh_m3: float
    net_as_is_mj_m3: float
    net_mj_kg: float
    wobbe_gross_mj_m3: float
    wobbe_net_mj_m3: float
    air_need_m3_m3: float
    air_need_kg_kg: float
    dew_point_c: float

    SOURCES = ("iso_6976_2016", "iapws_sr1_86", "codata_2018")


def gas_quality(
    methane: float,
    *,
    temperature_c: float,
    pressure_kpa: float,
    relative_humidity: float = 1.0,
) -> GasQuality:
    """Work out what a gas of methane, carbon dioxide and water vapour is worth as a fuel.

    Parameters
    ----------
    methane : float
        Dry volume share of methane, 0 to 1; the rest is carbon dioxide [m3/m3].
    temperature_c : float
        Temperature of the gas, -20 to 90 [degC].
    pressure_kpa : float
        Absolute pressure of the gas, above its vapour pressure [kPa].
    relative_humidity : float
        Moisture, above 0 (nearly dry) to 1 (saturated, as it leaves a digester) [-].

    Returns
    -------
    GasQuality
        Heat, density, Wobbe index, air and dew point.

    Raises
    ------
    InputError
        For a share, humidity or pressure outside its range.

    Notes
    -----
    Ideal gas; ``Wobbe = heat / sqrt(relative density)``; air ``2 x / 0.2095``.

    References
    ----------
    iso_6976_2016; iapws_sr1_86.

    Examples
    --------
    >>> gas = gas_quality(0.60, temperature_c=35.0, pressure_kpa=101.325)
    >>> round(gas.wobbe_gross_mj_m3, 2), round(gas.air_need_m3_m3, 2), round(gas.dew_point_c, 1)
    (23.33, 5.73, 35.0)
    """
    require_methane_share(methane)
    vapour = _vapour_share(temperature_c, pressure_kpa, relative_humidity)
    molar = _dry_molar_mass(methane)
    density = molar / GASES["air"].molar_mass_kg_mol
    net = heating_value_mj_m3(methane, combustion_c=15.0, volume_c=15.0)
    gross = heating_value_mj_m3(methane, combustion_c=15.0, volume_c=15.0, net=False)
    per_mol = GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN) / (pressure_kpa * 1e3)
    moist = molar * (1.0 - vapour) + WATER_MOLAR_MASS_KG_MOL * vapour
    heat = methane * methane_heat_kj_mol(25.0)
    air = 2.0 * methane / OXYGEN_SHARE_OF_AIR
    return GasQuality(
        methane=methane,
        vapour=vapour,
        relative_density=density,
        density_kg_m3=moist / per_mol,
        net_mj_m3=net,
        gross_mj_m3=gross,
        net_normal_kwh_m3=heating_value_mj_m3(methane, combustion_c=25.0, volume_c=0.0) / 3.6,
        net_as_is_mj_m3=heat * (1.0 - vapour) / per_mol / 1e3,
        net_mj_kg=heat / molar / 1e3,
        wobbe_gross_mj_m3=gross / density**0.5,
        wobbe_net_mj_m3=net / density**0.5,
        air_need_m3_m3=air,
        air_need_kg_kg=air * GASES["air"].molar_mass_kg_mol / molar,
        dew_point_c=dew_point_c(vapour * pressure_kpa),
    )


def dew_point_c(vapour_kpa: float) -> float:
    """Return the temperature at which vapour of this partial pressure begins to condense.

    Parameters
    ----------
    vapour_kpa : float
        Partial pressure of the water vapour, 0.13 to 100 [kPa].

    Returns
    -------
    float
        Dew point [degC].

    Raises
    ------
    InputError
        Outside -20 to 100 degC.

    References
    ----------
    iapws_sr1_86.

    Examples
    --------
    >>> round(dew_point_c(5.6290), 2)
    35.0
    """
    low, high = -20.0, 100.0
    if not saturation_vapour_pressure_kpa(low) <= vapour_kpa <= 101.5:
        raise InputError("vapour_kpa", vapour_kpa, "0.13 to 101.4 kPa", "Check the moisture")
    for _ in range(_DEW_STEPS):
        middle = 0.5 * (low + high)
        if saturation_vapour_pressure_kpa(middle) < vapour_kpa:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _vapour_share(temperature_c: float, pressure_kpa: float, humidity: float) -> float:
    require(
        0.0 < humidity <= 1.0,
        field="relative_humidity",
        value=humidity,
        allowed="above 0, to 1",
        remedy="Use 1 for gas straight from the digester",
    )
    share = humidity * saturation_vapour_pressure_kpa(temperature_c) / pressure_kpa
    require(
        0.0 < share < 1.0,
        field="pressure_kpa",
        value=pressure_kpa,
        allowed="above the vapour pressure of water at the gas's temperature",
        remedy="Give the absolute pressure: barometer plus gauge",
    )
    return share


def _dry_molar_mass(methane: float) -> float:
    light, heavy = GASES["CH4"].molar_mass_kg_mol, GASES["CO2"].molar_mass_kg_mol
    return methane * light + (1.0 - methane) * heavy
