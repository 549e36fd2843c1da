"""Washing carbon dioxide out with water: how much water, and what methane goes with it."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.errors import require
from marshlight.matter.fuels import molar_volume_m3_mol
from marshlight.matter.gas import NORMAL_PRESSURE_KPA
from marshlight.matter.water import solubility_mol_m3_kpa

# Real columns take 1.2 to 2 times the least water (source scrubber_memory).
REAL_OVER_LEAST = (1.2, 2.0)


@dataclass(frozen=True)
class Scrubbing:
    """Water to hold all carbon dioxide of a gas, per dry normal cubic metre.

    Parameters
    ----------
    least_water_m3 : float
        At equilibrium [m3/m3].
    real_water_m3 : tuple of float
        What real columns take [m3/m3].
    methane_lost : float
        Share of the methane that dissolves with it [-].
    jar_gas_m3_per_m3 : float
        Gas after which a jar of still water is saturated, per volume of water [m3/m3].
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("iapws_g7_04", "scrubber_memory")

    least_water_m3: float
    real_water_m3: tuple[float, float]
    methane_lost: float
    jar_gas_m3_per_m3: float


def scrub(
    methane: float, *, temperature_c: float, pressure_kpa: float = NORMAL_PRESSURE_KPA
) -> Scrubbing:
    """Work out the water that washes a gas.

    Parameters
    ----------
    methane : float
        Dry methane share, above 0 and below 1; the rest is carbon dioxide [m3/m3].
    temperature_c : float
        Water, 1 to 60 [degC].
    pressure_kpa : float
        Absolute pressure of the gas, 80 to 2000 [kPa].

    Returns
    -------
    Scrubbing
        Least and real water, methane lost.

    Raises
    ------
    InputError
        If an input lies outside its range.

    Notes
    -----
    Henry's law at the pressure with which the gas comes in, no chemistry. The water gives
    everything off again where it is let out: methane, and hydrogen sulphide.

    References
    ----------
    iapws_g7_04; scrubber_memory.

    Examples
    --------
    >>> round(scrub(0.60, temperature_c=10.0).least_water_m3, 2)
    0.85
    """
    require(
        0.0 < methane < 1.0,
        field="methane",
        value=methane,
        allowed="above 0 and below 1",
        remedy="Give the share of methane in the dry gas",
    )
    require(
        1.0 <= temperature_c <= 60.0 and 80.0 <= pressure_kpa <= 2000.0,
        field="water temperature, pressure",
        value=(temperature_c, pressure_kpa),
        allowed="1 to 60 degC, 80 to 2000 kPa absolute",
        remedy="Pressure above a few kPa is an engineer's work",
    )
    carbon = 1.0 - methane
    moles = carbon / molar_volume_m3_mol(0.0)
    held = solubility_mol_m3_kpa("CO2", temperature_c) * carbon * pressure_kpa
    least = moles / held
    methane_held = solubility_mol_m3_kpa("CH4", temperature_c) * methane * pressure_kpa * least
    low, high = REAL_OVER_LEAST
    return Scrubbing(
        least_water_m3=least,
        real_water_m3=(low * least, high * least),
        methane_lost=methane_held / (methane / molar_volume_m3_mol(0.0)),
        jar_gas_m3_per_m3=1.0 / least,
    )
