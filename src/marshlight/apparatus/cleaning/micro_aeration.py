"""Micro-aeration: a little air against hydrogen sulphide, and how much is too much."""

from dataclasses import dataclass
from typing import ClassVar

from marshlight.errors import InputError, require
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR

# Practice doses 2 to 6 % air (source zicari_2003); above 10 % we refuse (source air_dose_memory).
USUAL_AIR = (0.02, 0.06)
MOST_AIR = 0.10
# Gas poorer than this is a starting or failing digester's, and gets no air at all.
LEAST_METHANE = 0.40
# 2 H2S + O2 -> 2 S + 2 H2O.
_OXYGEN_PER_SULPHIDE = 0.5


@dataclass(frozen=True)
class AirDose:
    """What a dose of air does.

    Parameters
    ----------
    air_share : float
        Air per biogas, by volume [m3/m3].
    needed_share : float
        Air that the sulphide needs in theory [m3/m3].
    oxygen_left : float
        Oxygen in the gas afterwards if all sulphide is turned to sulphur [m3/m3].
    nitrogen : float
        Nitrogen brought into the gas [m3/m3].
    methane_after : float
        Methane share of the gas afterwards [m3/m3].
    gas_share : float
        Biogas in the mixture [m3/m3].
    unusual : bool
        Above what practice doses.
    """

    SOURCES: ClassVar[tuple[str, ...]] = (
        "micro_aeration_stoichiometry",
        "zicari_2003",
        "air_dose_memory",
        "energies_2020_4793",
    )

    air_share: float
    needed_share: float
    oxygen_left: float
    nitrogen: float
    methane_after: float
    gas_share: float
    unusual: bool


def air_needed(h2s_share: float) -> float:
    """Return the air that turns all sulphide to sulphur, in theory.

    Parameters
    ----------
    h2s_share : float
        Hydrogen sulphide in the gas, 0 to 0.05 [m3/m3].

    Returns
    -------
    float
        Air per biogas [m3/m3].

    Raises
    ------
    InputError
        If the share lies outside its range.

    References
    ----------
    micro_aeration_stoichiometry.

    Examples
    --------
    >>> round(air_needed(2e-3) * 100, 3)
    0.477
    """
    require(
        0.0 <= h2s_share <= 0.05,
        field="hydrogen sulphide",
        value=h2s_share,
        allowed="0 to 50,000 ppm",
        remedy="Read it with a tube; raw biogas holds 80 to 4000 ppm",
    )
    return _OXYGEN_PER_SULPHIDE * h2s_share / OXYGEN_SHARE_OF_AIR


def air_dose(air_share: float, *, h2s_share: float, methane: float) -> AirDose:
    """Say what a dose of air does to the gas.

    Parameters
    ----------
    air_share : float
        Air per biogas by volume, 0 to 0.10 [m3/m3].
    h2s_share : float
        Hydrogen sulphide in the raw gas, 0 to 0.05 [m3/m3].
    methane : float
        Methane in the raw gas, 0.4 to 1 [m3/m3].

    Returns
    -------
    AirDose
        Oxygen left, dilution, theory's need.

    Raises
    ------
    InputError
        Above 10 % air: too near to making an explosive gas inside the vessel; and for a
        gas too poor to be aerated at all.

    Notes
    -----
    Oxygen also goes to the slurry; what is left is an upper bound. The mixture itself stays
    far too rich to burn, but only while gas keeps coming: a pump that runs on when the gas
    stops walks the gas space into the explosive range.

    References
    ----------
    zicari_2003; air_dose_memory for the refusal.

    Examples
    --------
    >>> dose = air_dose(0.06, h2s_share=2e-3, methane=0.60)
    >>> round(dose.gas_share, 3), round(dose.oxygen_left * 100, 2)
    (0.943, 1.09)
    """
    if not 0.0 <= air_share <= MOST_AIR:
        raise InputError(
            "air dose",
            f"{100 * air_share:g} %",
            "0 to 10 % of the biogas",
            "Do not dose so much air: it brings the gas in the vessel towards an explosive"
            " mixture. Practice doses 2 to 6 %, by a pump that cannot deliver more",
        )
    if not LEAST_METHANE <= methane <= 1.0:
        raise InputError(
            "methane",
            methane,
            "40 % and more",
            "Do not aerate gas of a starting or failing digester: it may be near its explosive"
            " range already",
        )
    needed = air_needed(h2s_share)
    used = min(_OXYGEN_PER_SULPHIDE * h2s_share, air_share * OXYGEN_SHARE_OF_AIR)
    whole = 1.0 + air_share
    after = whole - used - used / _OXYGEN_PER_SULPHIDE
    return AirDose(
        air_share=air_share,
        needed_share=needed,
        oxygen_left=(air_share * OXYGEN_SHARE_OF_AIR - used) / after,
        nitrogen=air_share * (1.0 - OXYGEN_SHARE_OF_AIR) / after,
        methane_after=methane / after,
        gas_share=1.0 / whole,
        unusual=air_share > USUAL_AIR[1],
    )
