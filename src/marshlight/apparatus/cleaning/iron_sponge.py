"""Iron sponge and iron filings: how large a bed, how long it lasts, and its fire hazard."""

import math
from dataclasses import dataclass
from typing import ClassVar

from marshlight.errors import require
from marshlight.matter.elements import ATOMIC_MASS
from marshlight.matter.gas import GAS_CONSTANT_J_MOL_K, GASES, NORMAL_PRESSURE_KPA
from marshlight.matter.water import KELVIN

_IRON_KG_KMOL = 55.845
_OXIDE_KG_KMOL = 2.0 * _IRON_KG_KMOL + 3.0 * ATOMIC_MASS["O"]
_SULPHIDE_KG_KMOL = 2.0 * 1.008 + ATOMIC_MASS["S"]
# 3 H2S bind to each Fe2O3.
OXIDE_CAPACITY_H2S = 3.0 * _SULPHIDE_KG_KMOL / _OXIDE_KG_KMOL
OXIDE_CAPACITY_S = 3.0 * ATOMIC_MASS["S"] / _OXIDE_KG_KMOL
# 20 g of sulphur per 100 g of home-made filings (source maryland_iron_2018).
FILINGS_CAPACITY_S = 0.20
REGENERATION_LOSS = 0.33
# Gas speed over the empty bed, deposition and contact time (source iron_sponge_design).
SLOWEST_M_MIN, FASTEST_M_MIN = 0.6, 3.0
MOST_DEPOSITION_KG_MIN_M2 = 10.46e-3
CONTACT_S = 60.0
# Oxide in a wood sponge's bed (source sponge_bed_memory).
BED_OXIDE_KG_M3 = 140.0
REGENERATION_HAZARD = (
    "Spent iron sponge heats up in air and can catch fire: never open a bed indoors or dry; wet it"
    " through, take it out in the open, spread it thin on bare ground away from anything that"
    " burns, and keep it wet until it has stayed cold for days."
)


def sulphide_kg_per_d(
    flow_m3_d: float, share: float, *, temperature_c: float, pressure_kpa: float
) -> float:
    """Return the hydrogen sulphide that a gas flow carries.

    Parameters
    ----------
    flow_m3_d : float
        Gas, 0 or more, at its own temperature and pressure [m3/d].
    share : float
        Hydrogen sulphide by volume, 0 to 0.05 (50,000 ppm) [m3/m3].
    temperature_c, pressure_kpa : float
        State of the gas [degC], [kPa absolute].

    Returns
    -------
    float
        Hydrogen sulphide [kg/d].

    Raises
    ------
    InputError
        If the flow or the share lies outside its range.

    References
    ----------
    codata_2018.

    Examples
    --------
    >>> round(sulphide_kg_per_d(10, 2e-3, temperature_c=25, pressure_kpa=101.325) * 1e3, 2)
    27.86
    """
    require(
        0.0 <= share <= 0.05 and flow_m3_d >= 0.0,
        field="hydrogen sulphide",
        value=share,
        allowed="0 to 50,000 ppm, in a flow of 0 or more",
        remedy="Raw biogas holds 80 to 4000 ppm; check the tube's scale",
    )
    moles = pressure_kpa * 1e3 * flow_m3_d * share
    moles /= GAS_CONSTANT_J_MOL_K * (temperature_c + KELVIN)
    return moles * GASES["H2S"].molar_mass_kg_mol


def bed_diameter_m(flow_m3_d: float, speed_m_min: float) -> float:
    """Return the bore of a bed that a gas passes at a given speed, as if the bed were empty.

    Parameters
    ----------
    flow_m3_d : float
        Gas at its own temperature and pressure, above 0 [m3/d].
    speed_m_min : float
        Speed over the empty bed, above 0 [m/min].

    Returns
    -------
    float
        Bore [m].

    Raises
    ------
    InputError
        If either is not above 0.

    References
    ----------
    iron_sponge_design.

    Examples
    --------
    >>> round(bed_diameter_m(10.0, 3.0) * 1e3)
    54
    """
    require(
        flow_m3_d > 0.0 and speed_m_min > 0.0,
        field="flow, speed",
        value=(flow_m3_d, speed_m_min),
        allowed="above 0",
        remedy="Give the gas a day",
    )
    return math.sqrt(4.0 * flow_m3_d / 1440.0 / speed_m_min / math.pi)


@dataclass(frozen=True)
class IronBed:
    """A bed of iron sponge or filings.

    Parameters
    ----------
    h2s_kg_d, sulphur_kg_d : float
        What the gas brings [kg/d].
    oxide_kg_d : float
        Iron oxide used up at full use [kg/d].
    bed_m3 : float
        Bed for the wanted life, or for the contact time if that is more [m3].
    by_capacity_m3, by_contact_m3 : float
        Bed that either asks for [m3].
    narrowest_m, widest_m : float
        Bores between which the gas passes at the right speed [m].
    deposition_area_m2 : float
        Least section so that sulphur doesn't crust the face [m2].
    life_d : float
        Days until the bed is spent [d].
    filings_kg : float
        Home-made iron filings for the wanted days instead [kg].
    """

    SOURCES: ClassVar[tuple[str, ...]] = (
        "iron_sponge_stoichiometry",
        "iron_sponge_design",
        "maryland_iron_2018",
        "sponge_bed_memory",
    )

    h2s_kg_d: float
    sulphur_kg_d: float
    oxide_kg_d: float
    bed_m3: float
    by_capacity_m3: float
    by_contact_m3: float
    narrowest_m: float
    widest_m: float
    deposition_area_m2: float
    life_d: float
    filings_kg: float


def iron_bed(
    flow_m3_d: float,
    share: float,
    *,
    days: float,
    used: float = 0.5,
    temperature_c: float = 25.0,
    pressure_kpa: float = NORMAL_PRESSURE_KPA,
    oxide_kg_m3: float = BED_OXIDE_KG_M3,
) -> IronBed:
    """Size a bed of iron sponge.

    Parameters
    ----------
    flow_m3_d : float
        Gas at its own temperature and pressure, above 0 [m3/d].
    share : float
        Hydrogen sulphide by volume, above 0 to 0.05 [m3/m3].
    days : float
        How long it is to last, 1 to 1000 [d].
    used : float
        Share of the oxide that is used before sulphide breaks through, 0.1 to 1 [-].
    temperature_c, pressure_kpa : float
        State of the gas [degC], [kPa absolute].
    oxide_kg_m3 : float
        Iron oxide in the bed, 10 to 500 [kg/m3].

    Returns
    -------
    IronBed
        Size, bores and life.

    Raises
    ------
    InputError
        If an input lies outside its range.

    Notes
    -----
    ``Fe2O3.H2O + 3 H2S -> Fe2S3 + 4 H2O``. Field beds often do far worse than theory: one
    study of filters with little iron took out 33 % on average.

    References
    ----------
    iron_sponge_stoichiometry; iron_sponge_design; maryland_iron_2018.

    Examples
    --------
    >>> round(iron_bed(10.0, 2e-3, days=90).bed_m3 * 1e3, 1)
    56.0
    """
    require(
        share > 0.0,
        field="hydrogen sulphide",
        value=share,
        allowed="above 0, to 50,000 ppm",
        remedy="Read it with a tube; raw biogas holds 80 to 4000 ppm",
    )
    require(
        1.0 <= days <= 1000.0 and 0.1 <= used <= 1.0 and 10.0 <= oxide_kg_m3 <= 500.0,
        field="days, use, oxide in the bed",
        value=(days, used, oxide_kg_m3),
        allowed="1 to 1000 days, 0.1 to 1, 10 to 500 kg/m3",
        remedy="A bed is usually taken out when about half of it is used",
    )
    sulphide = sulphide_kg_per_d(
        flow_m3_d, share, temperature_c=temperature_c, pressure_kpa=pressure_kpa
    )
    sulphur = sulphide * ATOMIC_MASS["S"] / _SULPHIDE_KG_KMOL
    holds_kg_m3 = oxide_kg_m3 * OXIDE_CAPACITY_H2S * used
    by_capacity = sulphide * days / holds_kg_m3
    by_contact = flow_m3_d / 86400.0 * CONTACT_S
    bed = max(by_capacity, by_contact)
    return IronBed(
        h2s_kg_d=sulphide,
        sulphur_kg_d=sulphur,
        oxide_kg_d=sulphide / OXIDE_CAPACITY_H2S,
        bed_m3=bed,
        by_capacity_m3=by_capacity,
        by_contact_m3=by_contact,
        narrowest_m=bed_diameter_m(flow_m3_d, FASTEST_M_MIN),
        widest_m=bed_diameter_m(flow_m3_d, SLOWEST_M_MIN),
        deposition_area_m2=sulphide / 1440.0 / MOST_DEPOSITION_KG_MIN_M2,
        life_d=bed * holds_kg_m3 / sulphide,
        filings_kg=sulphur * days / FILINGS_CAPACITY_S,
    )
