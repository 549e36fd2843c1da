"""Water: its vapour pressure, its density, and how much gas it dissolves."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require

Number = TypeVar("Number", float, NDArray[np.float64])

KELVIN = 273.15
COLDEST_C = -20.0
HOTTEST_C = 200.0

_CRITICAL_K = 647.096
_CRITICAL_KPA = 22064.0
_CRITICAL_KG_M3 = 322.0
_VAPOUR = (
    (-7.85951783, 1.0),
    (1.84408259, 1.5),
    (-11.7866497, 3.0),
    (22.6807411, 3.5),
    (-15.9618719, 4.0),
    (1.80122502, 7.5),
)
_LIQUID = (
    (1.99274064, 1 / 3),
    (1.09965342, 2 / 3),
    (-0.510839303, 5 / 3),
    (-1.75493479, 16 / 3),
    (-45.5170352, 43 / 3),
    (-6.74694450e5, 110 / 3),
)
_MOLAR_MASS_KG_MOL = 0.018015268

# IAPWS G7-04: A, B, C of each gas in ordinary water.
_HENRY = {
    "H2": (-4.73284, 6.08954, 6.06066),
    "N2": (-9.67578, 4.72162, 11.70585),
    "O2": (-9.44833, 4.43822, 11.42005),
    "CO2": (-8.55445, 4.01195, 9.52345),
    "H2S": (-4.51499, 5.23538, 4.42126),
    "CH4": (-10.44708, 4.66491, 12.12986),
}


@overload
def as_given(given: float, result: float | NDArray[np.float64]) -> float:
    """Return a plain float."""


@overload
def as_given(
    given: NDArray[np.float64], result: float | NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return an array."""


def as_given(
    given: float | NDArray[np.float64], result: float | NDArray[np.float64]
) -> float | NDArray[np.float64]:
    """Return a result as a plain float if the question was one, else as an array.

    Parameters
    ----------
    given : float or array
        What the caller passed.
    result : float or array
        What numpy made of it.

    Returns
    -------
    float or array
        The result in the caller's own kind.
    """
    return np.asarray(result) if isinstance(given, np.ndarray) else float(result)


def saturation_vapour_pressure_kpa(temperature_c: Number) -> Number:
    """Return the pressure of water vapour in equilibrium with pure liquid water.

    Parameters
    ----------
    temperature_c : float or array
        Temperature of the gas where its volume is read, -20 to 200 [degC].

    Returns
    -------
    float or array
        Saturation pressure [kPa].

    Raises
    ------
    InputError
        If a temperature lies outside the range.

    Notes
    -----
    ``ln(p/pc) = (Tc/T) sum(a_i theta**n_i)``, ``theta = 1 - T/Tc``. The release
    covers 0.01 degC upward; below it the curve is that of supercooled liquid.

    References
    ----------
    iapws_sr1_86, equation 1.

    Examples
    --------
    >>> round(saturation_vapour_pressure_kpa(25.0), 4)
    3.1698
    """
    _require_temperature(temperature_c)
    theta = 1.0 - (temperature_c + KELVIN) / _CRITICAL_K
    total = sum(a * theta**n for a, n in _VAPOUR)
    return as_given(temperature_c, _CRITICAL_KPA * np.exp(total / (1.0 - theta)))


def vapour_pressure_slope_kpa_k(temperature_c: Number) -> Number:
    """Return how fast the saturation pressure rises with temperature.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, -20 to 200 [degC].

    Returns
    -------
    float or array
        Slope of the saturation pressure [kPa/K].

    Raises
    ------
    InputError
        If a temperature lies outside the range.

    Notes
    -----
    The exact derivative of the vapour-pressure equation, needed to carry a
    thermometer's uncertainty through it.

    References
    ----------
    iapws_sr1_86, equation 1, differentiated.

    Examples
    --------
    >>> round(vapour_pressure_slope_kpa_k(25.0), 4)
    0.189
    """
    pressure = saturation_vapour_pressure_kpa(temperature_c)
    kelvin = temperature_c + KELVIN
    theta = 1.0 - kelvin / _CRITICAL_K
    slope = sum(a * n * theta ** (n - 1.0) for a, n in _VAPOUR)
    bracket = np.log(pressure / _CRITICAL_KPA) + slope
    return as_given(temperature_c, -pressure / kelvin * bracket)


def water_density_kg_m3(temperature_c: Number) -> Number:
    """Return the density of pure liquid water.

    Parameters
    ----------
    temperature_c : float or array
        Temperature, -20 to 200 [degC].

    Returns
    -------
    float or array
        Density on the saturation line [kg/m3].

    Raises
    ------
    InputError
        If a temperature lies outside the range.

    Notes
    -----
    At 101.325 kPa the density is higher by less than 0.005 %, which is neglected.

    References
    ----------
    iapws_sr1_86, equation 2.

    Examples
    --------
    >>> round(water_density_kg_m3(20.0), 2)
    998.16
    """
    _require_temperature(temperature_c)
    theta = 1.0 - (temperature_c + KELVIN) / _CRITICAL_K
    total = sum(b * theta**n for b, n in _LIQUID)
    return as_given(temperature_c, _CRITICAL_KG_M3 * (1.0 + total))


def henry_kpa(gas: str, temperature_c: Number) -> Number:
    """Return Henry's constant of a gas in pure water, as pressure per mole fraction.

    Parameters
    ----------
    gas : str
        One of "CO2", "CH4", "N2", "O2", "H2S", "H2".
    temperature_c : float or array
        Temperature of the water, 0 to 200 [degC].

    Returns
    -------
    float or array
        Henry's constant, partial pressure over mole fraction [kPa].

    Raises
    ------
    InputError
        If the gas is unknown or a temperature lies outside the range.

    Notes
    -----
    ``ln(kH/p_sat) = A/Tr + B (1-Tr)**0.355/Tr + C Tr**-0.41 exp(1-Tr)``.
    Dissolved gas only: carbon dioxide bound as bicarbonate comes on top.

    References
    ----------
    iapws_g7_04, equation 1 and table 2.

    Examples
    --------
    >>> round(henry_kpa("CO2", 25.0) / 1e3)
    166
    """
    require(
        gas in _HENRY,
        field="gas",
        value=gas,
        allowed=", ".join(sorted(_HENRY)),
        remedy="Name one of these gases",
    )
    a, b, c = _HENRY[gas]
    reduced = (temperature_c + KELVIN) / _CRITICAL_K
    theta = 1.0 - reduced
    exponent = a / reduced + b * theta**0.355 / reduced + c * reduced**-0.41 * np.exp(theta)
    pressure = saturation_vapour_pressure_kpa(temperature_c)
    return as_given(temperature_c, pressure * np.exp(exponent))


def solubility_mol_m3_kpa(gas: str, temperature_c: Number) -> Number:
    """Return how much of a gas pure water dissolves per unit of partial pressure.

    Parameters
    ----------
    gas : str
        One of "CO2", "CH4", "N2", "O2", "H2S", "H2".
    temperature_c : float or array
        Temperature of the water, 0 to 200 [degC].

    Returns
    -------
    float or array
        Solubility [mol/(m3 kPa)].

    Raises
    ------
    InputError
        If the gas is unknown or a temperature lies outside the range.

    Notes
    -----
    ``c/p = rho_water / (M_water kH)``, for a dilute solution.

    References
    ----------
    iapws_g7_04; iapws_sr1_86; within 5 % of sander_2015 from 10 to 38 degC.

    Examples
    --------
    >>> round(solubility_mol_m3_kpa("CO2", 25.0), 3)
    0.334
    """
    molar_density = water_density_kg_m3(temperature_c) / _MOLAR_MASS_KG_MOL
    return molar_density / henry_kpa(gas, temperature_c)


@dataclass(frozen=True)
class BarrierLiquid:
    """A liquid that closes off gas in a holder.

    Parameters
    ----------
    name : str
        What it is called.
    density_ratio : float
        Density over that of pure water at the same temperature [-].
    water_activity : float
        Relative humidity of gas at rest over it, 0 to 1 [-].
    co2_solubility_ratio : float
        Highest plausible solubility of carbon dioxide over that in pure water [-].
    alkalinity_mol_m3 : float
        Highest plausible carbon dioxide bound chemically [mol/m3].
    source : str
        Key of the source of these values.
    """

    name: str
    density_ratio: float
    water_activity: float
    co2_solubility_ratio: float
    alkalinity_mol_m3: float
    source: str

    def density_kg_m3(self, temperature_c: Number) -> Number:
        """Return the liquid's density.

        Parameters
        ----------
        temperature_c : float or array
            Temperature of the liquid, -20 to 200 [degC].

        Returns
        -------
        float or array
            Density [kg/m3].
        """
        return self.density_ratio * water_density_kg_m3(temperature_c)


FRESH_WATER = BarrierLiquid("fresh water", 1.0, 1.0, 1.0, 6.0, "barrier_fresh_water")
BRINE = BarrierLiquid("saturated brine", 1.197 / 0.9982, 0.753, 0.4, 6.0, "barrier_brine")
ACIDIFIED_BRINE = BarrierLiquid(
    "acidified saturated brine", 1.197 / 0.9982, 0.753, 0.4, 0.0, "barrier_brine"
)
BARRIER_LIQUIDS: Mapping[str, BarrierLiquid] = MappingProxyType(
    {"water": FRESH_WATER, "brine": BRINE, "acidified_brine": ACIDIFIED_BRINE}
)


def _require_temperature(temperature_c: float | NDArray[np.float64]) -> None:
    values = np.asarray(temperature_c, dtype=np.float64)
    inside = (values >= COLDEST_C) & (values <= HOTTEST_C)
    require(
        bool(np.all(inside)),
        field="temperature_c",
        value=float(values[~inside].flat[0]) if not np.all(inside) else temperature_c,
        allowed=f"{COLDEST_C:g} to {HOTTEST_C:g} degC",
        remedy="Give the temperature in degrees Celsius",
    )
