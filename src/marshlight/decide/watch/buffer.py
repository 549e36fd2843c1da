"""Bicarbonate: how much lifts the pH, how much sodium allows, how much gas it makes itself."""

from dataclasses import dataclass

import numpy as np

from marshlight.errors import require
from marshlight.matter.water import solubility_mol_m3_kpa

MOLAR_MASS_KG = 0.0840066  # NaHCO3, per mol (source `iupac_2021_masses`)
SODIUM_SHARE = 0.27367
# Spoon of practice: 14 g in 6 to 8 L (source `first_dose_practice`).
FIRST_DOSE_KG = 0.014
FIRST_DOSE_KG_M3 = FIRST_DOSE_KG / 0.007
# Sodium moderately inhibits from here (source `epa_1979_sodium`).
SODIUM_LIMIT_KG_M3 = 3.5
# The dose can set free no more than one CO2 per bicarbonate, 22.26 L/mol at 0 degC.
CO2_M3_PER_KG = 22.263e-3 / MOLAR_MASS_KG
TARGET_PH = 6.9


@dataclass(frozen=True)
class Dose:
    """A bicarbonate dose [kg], what would be needed in all, what sodium still allows [kg]."""

    now_kg: float
    need_kg: float | None
    allowed_kg: float
    co2_m3: float


def bicarbonate_mol_m3(ph: float, temperature_c: float, co2_kpa: float) -> float:
    """Bicarbonate in equilibrium with carbon dioxide at a pH.

    Parameters
    ----------
    ph : float
        pH of the slurry, 4 to 9.
    temperature_c : float
        Slurry temperature [degC], 0 to 60.
    co2_kpa : float
        Partial pressure of carbon dioxide in the gas [kPa], above 0.

    Returns
    -------
    float
        Bicarbonate [mol/m3].

    Raises
    ------
    InputError
        If the pH is outside 4 to 9 or the gas holds no carbon dioxide.

    Notes
    -----
    pH = pK1 + log10(gamma [HCO3-] / (K_H pCO2)), gamma by Davies at an ionic
    strength equal to the bicarbonate (sodium bicarbonate alone); other salts
    lower gamma further. Volatile acids are not in it.

    References
    ----------
    plummer_busenberg_1982, iapws_g7_04

    Examples
    --------
    >>> round(bicarbonate_mol_m3(7.0, 35.0, 35.0), 0)
    55.0
    """
    require(
        4.0 <= ph <= 9.0,
        field="pH",
        value=ph,
        allowed="4 to 9",
        remedy="Check the meter against a buffer and read again",
    )
    require(
        co2_kpa > 0,
        field="carbon dioxide",
        value=co2_kpa,
        allowed="above 0 kPa",
        remedy="Give the carbon dioxide share of the gas",
    )
    kelvin = temperature_c + 273.15
    log_k1 = (
        -356.3094
        - 0.06091964 * kelvin
        + 21834.37 / kelvin
        + 126.8339 * np.log10(kelvin)
        - 1684915.0 / kelvin**2
    )
    dissolved = float(solubility_mol_m3_kpa("CO2", temperature_c)) * co2_kpa
    ideal = dissolved * 10.0 ** (ph + log_k1)
    a = 1.82e6 * (78.54 * np.exp(-0.0046 * (temperature_c - 25.0)) * kelvin) ** -1.5
    salt = ideal
    for _ in range(60):
        root = np.sqrt(salt / 1000.0)
        gamma = 10.0 ** (-a * (root / (1 + root) - 0.3 * salt / 1000.0))
        salt = 0.5 * (salt + ideal / gamma)
    return float(salt)


def bicarbonate_dose(
    liquid_m3: float,
    *,
    ph: float | None,
    temperature_c: float,
    co2_kpa: float,
    given_kg: float,
    sodium_kg_m3: float,
) -> Dose:
    """How much bicarbonate to give now.

    Parameters
    ----------
    liquid_m3 : float
        Slurry [m3], above 0.
    ph : float or None
        pH now; None if not read (then the usual first dose).
    temperature_c : float
        Slurry temperature [degC].
    co2_kpa : float
        Carbon dioxide in the gas [kPa].
    given_kg : float
        Bicarbonate given before [kg].
    sodium_kg_m3 : float
        Sodium before any dose [kg/m3].

    Returns
    -------
    Dose
        Never more than the usual first dose at once, nor more than the sodium
        limit leaves.

    Raises
    ------
    InputError
        If there is no liquid.

    References
    ----------
    first_dose_practice, epa_1979_sodium, plummer_busenberg_1982

    Examples
    --------
    >>> dose = bicarbonate_dose(0.007, ph=6.3, temperature_c=37.0, co2_kpa=40.0,
    ...                         given_kg=0.0, sodium_kg_m3=0.2)
    >>> round(1000 * dose.now_kg, 1)
    14.0
    """
    require(
        liquid_m3 > 0,
        field="liquid",
        value=liquid_m3,
        allowed="above 0",
        remedy="Say how much slurry is in the vessel",
    )
    need = None
    if ph is not None:
        low = bicarbonate_mol_m3(float(np.clip(ph, 4.0, 9.0)), temperature_c, co2_kpa)
        high = bicarbonate_mol_m3(TARGET_PH, temperature_c, co2_kpa)
        need = max(high - low, 0.0) * MOLAR_MASS_KG * liquid_m3
    room = (SODIUM_LIMIT_KG_M3 - sodium_kg_m3) * liquid_m3 / SODIUM_SHARE - given_kg
    allowed = max(room, 0.0)
    usual = FIRST_DOSE_KG_M3 * liquid_m3
    now = min(usual, allowed) if need is None else min(usual, allowed, need)
    return Dose(now_kg=now, need_kg=need, allowed_kg=allowed, co2_m3=now * CO2_M3_PER_KG)
