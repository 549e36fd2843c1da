"""What still air does to heat: conductivity, viscosity and buoyancy at the film's temperature."""

import math
from dataclasses import dataclass

from marshlight.errors import require
from marshlight.matter.gas import GRAVITY_M_S2
from marshlight.matter.water import KELVIN

STANDARD_KPA = 101.325
AIR_GAS_CONSTANT_J_KG_K = 287.05287
# Nearly constant from -40 to 100 degC; CoolProp gives 1006 to 1010.
_HEAT_CAPACITY_J_KG_K = 1006.0
COLDEST_C, HOTTEST_C = -60.0, 200.0


@dataclass(frozen=True)
class Air:
    """Dry air at one temperature: what convection correlations need.

    ``conductivity_w_mk`` in [W/(m K)], ``viscosity_m2_s`` kinematic [m2/s], ``prandtl`` [-],
    ``expansion_1_k`` thermal expansion [1/K].
    """

    conductivity_w_mk: float
    viscosity_m2_s: float
    prandtl: float
    expansion_1_k: float

    def rayleigh(self, difference_k: float, length_m: float) -> float:
        """Give the Rayleigh number of a film [-]."""
        driving = GRAVITY_M_S2 * self.expansion_1_k * abs(difference_k) * length_m**3
        return driving * self.prandtl / self.viscosity_m2_s**2


def air_at(temperature_c: float, pressure_kpa: float = STANDARD_KPA) -> Air:
    """Return the properties of dry air.

    Parameters
    ----------
    temperature_c : float
        Temperature of the film, -60 to 200 [degC].
    pressure_kpa : float
        Air pressure, above zero [kPa].

    Returns
    -------
    Air
        Conductivity, kinematic viscosity, Prandtl number and expansion.

    Raises
    ------
    InputError
        If the temperature or pressure lies outside its range.

    Notes
    -----
    Viscosity by Sutherland's law, conductivity by the empirical law of the U.S.
    Standard Atmosphere; density of an ideal gas. Moisture is neglected: at 38 degC
    saturated air differs by about 2 %.

    References
    ----------
    ussa_1976, equations 51 and 53.

    Examples
    --------
    >>> round(air_at(29.0).conductivity_w_mk, 5)
    0.02642
    """
    require(
        COLDEST_C <= temperature_c <= HOTTEST_C,
        field="air temperature",
        value=temperature_c,
        allowed=f"{COLDEST_C:g} to {HOTTEST_C:g} degC",
        remedy="Check the temperatures on both sides of the wall",
    )
    require(
        pressure_kpa > 0.0,
        field="air pressure",
        value=pressure_kpa,
        allowed="above zero",
        remedy="Give the absolute pressure in kPa",
    )
    return film_air(temperature_c, pressure_kpa)


def film_air(temperature_c: float, pressure_kpa: float) -> Air:
    """Give the properties without looking at the range: for loops that stay inside it."""
    kelvin = temperature_c + KELVIN
    viscosity = 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)
    conductivity = 2.64638e-3 * kelvin**1.5 / (kelvin + 245.4 * math.exp(-27.63102 / kelvin))
    density = 1e3 * pressure_kpa / (AIR_GAS_CONSTANT_J_KG_K * kelvin)
    return Air(
        conductivity,
        viscosity / density,
        viscosity * _HEAT_CAPACITY_J_KG_K / conductivity,
        1.0 / kelvin,
    )
