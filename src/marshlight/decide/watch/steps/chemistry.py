"""How much bicarbonate a slurry takes to reach a pH, by acid-base chemistry alone."""

from dataclasses import dataclass

from marshlight.errors import InputError, require
from marshlight.process.model import Liquid, dose, equilibrium

BICARBONATE = "sodium bicarbonate"
# Twice what brings sodium to its strongly inhibiting 8 g/L (source `epa_1979_sodium`): beyond it
# no dose is worth looking for.
MOST_KG_M3 = 60.0
# Half a gram in a cubic metre; no scale in a shed shows it.
_NEAR = 5e-4
ACETIC_KG_PER_KMOL, ACETATE_COD_PER_KMOL = 60.052, 64.0
NITROGEN_KG_PER_KMOL = 14.007
# Net charge looked for between the anions of strong acid and much alkali [kmol/m3]; our choice.
_MOST_CHARGE = 1.5


@dataclass(frozen=True)
class Liquor:
    """A slurry as acid-base chemistry sees it, per cubic metre.

    ``ph`` as read; ``acids_kg_m3`` volatile acids as acetic acid, ``ammonia_kg_m3`` total ammonia
    nitrogen, both 0 where unknown; ``carbon_dioxide_kpa`` of the gas above it.
    """

    ph: float
    temperature_c: float
    carbon_dioxide_kpa: float
    acids_kg_m3: float = 0.0
    ammonia_kg_m3: float = 0.0


def liquor_as_read(liquor: Liquor) -> Liquid:
    """Make up a cubic metre of liquid that has the pH that was read.

    Parameters
    ----------
    liquor : Liquor
        What is known; pH 4 to 8.5.

    Returns
    -------
    Liquid
        One cubic metre; strong ions that nobody measured stand in for what closes the charge.

    Raises
    ------
    InputError
        If the pH is outside 4 to 8.5, or no strong ions give it.
    FitError
        If no equilibrium is found.

    Notes
    -----
    Bisection on the net charge of strong ions: pH rises with it.

    References
    ----------
    plummer_busenberg_1982, davies_1962, hafner_bisogni_2009

    Examples
    --------
    >>> from marshlight.process.model import equilibrium
    >>> made = liquor_as_read(Liquor(6.2, 35.0, 40.0, acids_kg_m3=3.0, ammonia_kg_m3=1.0))
    >>> round(equilibrium(made, temperature_c=35.0, carbon_dioxide_kpa=40.0).ph, 2)
    6.2
    """
    require(
        4.0 <= liquor.ph <= 8.5,
        field="pH",
        value=liquor.ph,
        allowed="4 to 8.5",
        remedy="Check the meter against a buffer and read again",
    )
    low, high = -_MOST_CHARGE, _MOST_CHARGE
    for _ in range(24):
        middle = 0.5 * (low + high)
        if _ph(_with_charge(liquor, middle), liquor) < liquor.ph:
            low = middle
        else:
            high = middle
    if min(high, -low) <= -_MOST_CHARGE + 1e-3:
        raise InputError(
            "pH", liquor.ph, "a pH that these acids and this ammonia can have", "Read it again"
        )
    return _with_charge(liquor, 0.5 * (low + high))


def _with_charge(liquor: Liquor, charge: float) -> Liquid:
    return Liquid(
        1.0,
        {
            "acetate": liquor.acids_kg_m3 / ACETIC_KG_PER_KMOL * ACETATE_COD_PER_KMOL,
            "inorganic_nitrogen": liquor.ammonia_kg_m3 / NITROGEN_KG_PER_KMOL,
            "cations": max(charge, 0.0),
            "anions": max(-charge, 0.0),
        },
    )


def _ph(liquid: Liquid, at: Liquor) -> float:
    return equilibrium(
        liquid, temperature_c=at.temperature_c, carbon_dioxide_kpa=at.carbon_dioxide_kpa
    ).ph


def ph_after(liquor: Liquor, kg_m3: float) -> float:
    """Tell the pH after a dose of sodium bicarbonate, once its carbon dioxide has left.

    Parameters
    ----------
    liquor : Liquor
        The slurry before.
    kg_m3 : float
        The dose [kg/m3], 0 or more.

    Returns
    -------
    float
        pH under gas of the same carbon dioxide.

    Raises
    ------
    InputError
        If the pH read is impossible, or the dose negative.
    FitError
        If no equilibrium is found.
    """
    return _ph(liquor_as_read(liquor) + dose(BICARBONATE, kg_m3), liquor)


def dose_to_reach(liquor: Liquor, target_ph: float) -> float:
    """Find the dose of sodium bicarbonate that lifts a slurry to a pH.

    Parameters
    ----------
    liquor : Liquor
        The slurry as it is.
    target_ph : float
        The pH wanted, 4 to 8.

    Returns
    -------
    float
        Dose [kg/m3]; 0 where it is there already.

    Raises
    ------
    InputError
        If the pH read is impossible, or even 60 kg/m3 does not reach the target.
    FitError
        If no equilibrium is found.

    Notes
    -----
    Equilibrium with gas of unchanged carbon dioxide: what the dose sets free has left. Acid that
    is still to come, and acid that bacteria take up, are not in it. Acids other than acetic count
    as acetic; unmeasured strong ions close the charge at the pH read.

    References
    ----------
    plummer_busenberg_1982, davies_1962, hafner_bisogni_2009

    Examples
    --------
    >>> sour = Liquor(5.4, 35.0, 40.0, acids_kg_m3=5.0, ammonia_kg_m3=1.0)
    >>> 4.5 < dose_to_reach(sour, 6.85) < 5.5
    True
    """
    if liquor.ph >= target_ph:
        return 0.0
    start = liquor_as_read(liquor)
    if _ph(start + dose(BICARBONATE, MOST_KG_M3), liquor) < target_ph:
        raise InputError(
            "pH wanted",
            target_ph,
            f"what {MOST_KG_M3:.0f} kg/m3 of bicarbonate can reach",
            "Choose a lower one; with so much carbon dioxide above it, it stays sour",
        )
    low, high = 0.0, MOST_KG_M3
    while high - low > _NEAR:
        middle = 0.5 * (low + high)
        if _ph(start + dose(BICARBONATE, middle), liquor) < target_ph:
            low = middle
        else:
            high = middle
    return high
