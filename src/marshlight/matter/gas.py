"""Gases: pure and mixed, at normal conditions and at any other."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from marshlight.errors import require
from marshlight.matter.water import (
    KELVIN,
    Number,
    saturation_vapour_pressure_kpa,
)

NORMAL_PRESSURE_KPA = 101.325
GAS_CONSTANT_J_MOL_K = 8.314462618
GRAVITY_M_S2 = 9.80665
IDEAL_MOLAR_VOLUME_M3_MOL = GAS_CONSTANT_J_MOL_K * KELVIN / (NORMAL_PRESSURE_KPA * 1e3)
WATER_MOLAR_MASS_KG_MOL = 0.018015
OXYGEN_SHARE_OF_AIR = 0.20946


@dataclass(frozen=True)
class PureGas:
    """A gas at 0 degC and 101.325 kPa.

    Parameters
    ----------
    name : str
        Plain name.
    molar_mass_kg_mol : float
        Molar mass [kg/mol].
    density_kg_m3 : float
        Real-gas density at 0 degC, 101.325 kPa [kg/m3].
    source : str
        Key of the source.
    """

    name: str
    molar_mass_kg_mol: float
    density_kg_m3: float
    source: str = "coolprop_2014"

    @property
    def molar_volume_m3_mol(self) -> float:
        """Real molar volume at 0 degC, 101.325 kPa [m3/mol]."""
        return self.molar_mass_kg_mol / self.density_kg_m3


GASES: Mapping[str, PureGas] = MappingProxyType(
    {
        "CH4": PureGas("methane", 0.0160428, 0.71746),
        "CO2": PureGas("carbon dioxide", 0.0440098, 1.97681),
        "N2": PureGas("nitrogen", 0.0280134, 1.25040),
        "O2": PureGas("oxygen", 0.0319988, 1.42900),
        "H2S": PureGas("hydrogen sulfide", 0.03408088, 1.53610),
        "H2": PureGas("hydrogen", 0.00201588, 0.089882),
        "air": PureGas("air", 0.02896546, 1.29307),
    }
)


def dry_normal_factor(
    temperature_c: Number, pressure_kpa: Number, relative_humidity: float = 1.0
) -> Number:
    """Return dry normal volume per volume of moist gas as it is read.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the gas where it is read, -20 to 200 [degC].
    pressure_kpa : float or array
        Absolute pressure of the gas, above its vapour pressure [kPa].
    relative_humidity : float
        Moisture of the gas, 0 (dried) to 1 (saturated, the case over water) [-].

    Returns
    -------
    float or array
        Volume at 0 degC, 101.325 kPa, dry, over volume as read [-].

    Raises
    ------
    InputError
        If an input lies outside its range or the vapour alone exceeds the pressure.

    Notes
    -----
    ``(p - RH p_sat)/101.325 * 273.15/T``: Boyle, Charles and Dalton. The gas is
    ideal between the two states, as the cited method has it; a real-gas treatment
    of biogas read at 35 degC would give about 0.25 % less, neglected.

    References
    ----------
    hafner_2020_doc_201, equation 1.

    Examples
    --------
    >>> round(dry_normal_factor(25.0, 101.325), 5)
    0.88749
    """
    require(
        0.0 <= relative_humidity <= 1.0,
        field="relative_humidity",
        value=relative_humidity,
        allowed="0 to 1",
        remedy="Use 1 for gas over water and 0 for dried gas",
    )
    dry_kpa = pressure_kpa - relative_humidity * saturation_vapour_pressure_kpa(temperature_c)
    require(
        bool(np.all(np.asarray(dry_kpa) > 0.0)),
        field="pressure_kpa",
        value=float(np.min(np.asarray(pressure_kpa))),
        allowed="above the vapour pressure of water at the gas's temperature",
        remedy="Give the absolute pressure (barometer plus gauge), in kPa",
    )
    return dry_kpa / NORMAL_PRESSURE_KPA * KELVIN / (temperature_c + KELVIN)


def water_vapour_fraction(temperature_c: Number, pressure_kpa: Number) -> Number:
    """Return the volume share of water vapour in saturated gas.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the gas, -20 to 200 [degC].
    pressure_kpa : float or array
        Absolute pressure, above zero [kPa].

    Returns
    -------
    float or array
        Share of vapour, 0 to 1 [m3/m3].

    References
    ----------
    iapws_sr1_86.

    Examples
    --------
    >>> round(water_vapour_fraction(35.0, 101.325), 5)
    0.05555
    """
    return saturation_vapour_pressure_kpa(temperature_c) / pressure_kpa


def dry_normal_density_kg_m3(methane: Number, *, air: float = 0.0) -> Number:
    """Return the density of dry biogas at 0 degC and 101.325 kPa.

    Parameters
    ----------
    methane : float or array
        Dry volume share of methane, 0 to 1 - air [m3/m3].
    air : float
        Dry volume share of air; the rest is carbon dioxide, 0 to 1 [m3/m3].

    Returns
    -------
    float or array
        Density [kg/m3].

    Raises
    ------
    InputError
        If a share lies outside its range.

    Notes
    -----
    Real-gas densities of the parts, mixed by volume.

    References
    ----------
    coolprop_2014 for the pure gases; hafner_2020_doc_203 for the rule.

    Examples
    --------
    >>> round(dry_normal_density_kg_m3(0.60), 4)
    1.2212
    """
    shares = np.asarray(methane, dtype=np.float64)
    require(
        bool(np.all((shares >= 0.0) & (shares <= 1.0 - air + 1e-12))) and 0.0 <= air <= 1.0,
        field="methane",
        value=methane,
        allowed="0 to 1, and with the air no more than 1",
        remedy="Give the shares as fractions of the dry gas",
    )
    rest = 1.0 - air - methane
    fixed = air * GASES["air"].density_kg_m3
    return methane * GASES["CH4"].density_kg_m3 + rest * GASES["CO2"].density_kg_m3 + fixed


def biogas_density_kg_m3(
    methane: Number,
    *,
    temperature_c: float,
    pressure_kpa: float,
    relative_humidity: float = 1.0,
    air: float = 0.0,
) -> Number:
    """Return the density of moist biogas at its own temperature and pressure.

    Parameters
    ----------
    methane : float or array
        Dry volume share of methane, 0 to 1 - air [m3/m3].
    temperature_c : float
        Temperature of the gas, -20 to 200 [degC].
    pressure_kpa : float
        Absolute pressure, above its vapour pressure [kPa].
    relative_humidity : float
        Moisture, 0 (dried) to 1 (saturated) [-].
    air : float
        Dry volume share of air, 0 to 1 [m3/m3].

    Returns
    -------
    float or array
        Density [kg/m3].

    Raises
    ------
    InputError
        If a share lies outside its range.

    Notes
    -----
    The departure from an ideal gas at 0 degC, 101.325 kPa is scaled with pressure and
    with the inverse cube of temperature: within 0.25 % of a reference equation of
    state from 0 to 60 degC and to 200 kPa.

    References
    ----------
    coolprop_2014; iapws_sr1_86; codata_2018 for the gas constant.

    Examples
    --------
    >>> round(biogas_density_kg_m3(0.60, temperature_c=35.0, pressure_kpa=101.325), 3)
    1.06
    """
    kelvin = temperature_c + KELVIN
    vapour_kpa = relative_humidity * saturation_vapour_pressure_kpa(temperature_c)
    normal = dry_normal_density_kg_m3(methane, air=air)
    molar_mass = (
        methane * GASES["CH4"].molar_mass_kg_mol
        + (1.0 - air - methane) * GASES["CO2"].molar_mass_kg_mol
        + air * GASES["air"].molar_mass_kg_mol
    )
    normal_z = molar_mass / (normal * IDEAL_MOLAR_VOLUME_M3_MOL)
    z = 1.0 + (normal_z - 1.0) * (pressure_kpa / NORMAL_PRESSURE_KPA) * (KELVIN / kelvin) ** 3
    moist_mass = (pressure_kpa - vapour_kpa) * molar_mass + vapour_kpa * WATER_MOLAR_MASS_KG_MOL
    return 1e3 * moist_mass / (z * GAS_CONSTANT_J_MOL_K * kelvin)


def vapour_carried_kg_m3(temperature_c: Number, pressure_kpa: Number) -> Number:
    """Return the water vapour that leaves with each dry normal cubic metre of gas.

    Parameters
    ----------
    temperature_c : float or array
        Temperature at which the gas was last saturated, -20 to 200 [degC].
    pressure_kpa : float or array
        Absolute pressure there, above the vapour pressure [kPa].

    Returns
    -------
    float or array
        Vapour per dry normal gas [kg/m3].

    Notes
    -----
    ``M_w p_w / ((p - p_w) V_m)`` with the biogas molar volume of 22.3 L/mol.
    The published text subtracts this from the gas density where a mass balance
    adds it; the sign here is the mass balance's.

    References
    ----------
    hafner_2020_doc_203; hafner_2020_doc_204, equation 1.

    Examples
    --------
    >>> round(vapour_carried_kg_m3(30.0, 150.0), 4)
    0.0235
    """
    vapour = saturation_vapour_pressure_kpa(temperature_c)
    return WATER_MOLAR_MASS_KG_MOL * vapour / ((pressure_kpa - vapour) * 0.0223)


def neutral_methane_share() -> float:
    """Return the methane share at which dry biogas weighs the same as air.

    Returns
    -------
    float
        Dry volume share of methane; richer gas rises, poorer gas sinks [m3/m3].

    References
    ----------
    coolprop_2014.

    Examples
    --------
    >>> round(neutral_methane_share(), 4)
    0.5429
    """
    heavy, light = GASES["CO2"].density_kg_m3, GASES["CH4"].density_kg_m3
    return (heavy - GASES["air"].density_kg_m3) / (heavy - light)


def dissolved_normal_m3_per_m3(
    gas: str, molar_solubility: Number, *, partial_pressure_kpa: Number
) -> Number:
    """Return the normal volume of gas dissolved in a volume of water.

    Parameters
    ----------
    gas : str
        Name of the gas in ``GASES``.
    molar_solubility : float or array
        Solubility, zero or more [mol/(m3 kPa)].
    partial_pressure_kpa : float or array
        Partial pressure of the gas, zero or more [kPa].

    Returns
    -------
    float or array
        Dissolved gas at 0 degC, 101.325 kPa, per volume of water [m3/m3].

    References
    ----------
    coolprop_2014 for the molar volume.

    Examples
    --------
    >>> round(dissolved_normal_m3_per_m3("CO2", 0.33, partial_pressure_kpa=39.262), 5)
    0.28845

    Raises
    ------
    InputError
        If the gas is unknown.
    """
    require(
        gas in GASES,
        field="gas",
        value=gas,
        allowed=", ".join(GASES),
        remedy="Name one of these gases",
    )
    return molar_solubility * partial_pressure_kpa * GASES[gas].molar_volume_m3_mol
