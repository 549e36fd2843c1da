"""Converting a burner made for bottled or natural gas: the jet that gives the same heat."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from marshlight.apparatus.burner.drills import Drills, nearest_drills
from marshlight.errors import require
from marshlight.matter.combustion import gas_quality
from marshlight.matter.fuels import FUELS

# Usual pressures at a household burner [kPa]; common practice, marked so.
USUAL_KPA: Mapping[str, float] = MappingProxyType({"CH4": 2.0, "C3H8": 3.7, "C4H10": 2.9})
FROM_FUELS = tuple(USUAL_KPA)


@dataclass(frozen=True)
class Conversion:
    """A converted burner.

    Parameters
    ----------
    ratio : float
        New jet over old jet, by diameter, for the same heat [-].
    drills : Drills or None
        Drills for the new hole, where the old one is known.
    air_before, air_after : float
        Air for complete burning per gas, before and after [m3/m3].
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("iso_6976_2016", "fulford_1996", "practice_gas_pressure")

    ratio: float
    drills: Drills | None
    air_before: float
    air_after: float


def jet_ratio(
    wobbe_before: float, wobbe_after: float, *, before_kpa: float, after_kpa: float
) -> float:
    """Return new jet over old jet, by diameter, for the same heat.

    Parameters
    ----------
    wobbe_before, wobbe_after : float
        Gross Wobbe indices of both gases in one reference state, above 0 [MJ/m3].
    before_kpa, after_kpa : float
        Gas pressures above the air's, above 0 [kPa].

    Returns
    -------
    float
        Ratio of diameters [-].

    Raises
    ------
    InputError
        If an input is not above 0.

    Notes
    -----
    ``d2/d1 = sqrt(W1/W2) (p1/p2)**0.25``.

    References
    ----------
    iso_6976_2016 for the Wobbe index; fulford_1996 for flow through a jet.

    Examples
    --------
    >>> round(jet_ratio(50.66, 23.33, before_kpa=2.0, after_kpa=1.0), 3)
    1.752
    """
    require(
        min(wobbe_before, wobbe_after, before_kpa, after_kpa) > 0.0,
        field="Wobbe index, pressure",
        value=(wobbe_before, wobbe_after, before_kpa, after_kpa),
        allowed="above 0",
        remedy="Give pressures above the air's",
    )
    return float((wobbe_before / wobbe_after) ** 0.5 * (before_kpa / after_kpa) ** 0.25)


def convert_burner(
    fuel: str,
    methane: float,
    *,
    after_kpa: float,
    before_kpa: float | None = None,
    jet_m: float | None = None,
) -> Conversion:
    """Size the jet of a burner that was made for another gas.

    Parameters
    ----------
    fuel : str
        What it was made for: "CH4", "C3H8" or "C4H10".
    methane : float
        Dry methane share of the biogas, above 0 to 1 [m3/m3].
    after_kpa : float
        Biogas pressure at the burner, above 0 [kPa].
    before_kpa : float, optional
        Pressure it was made for; the usual one if left out [kPa].
    jet_m : float, optional
        Old hole, where it can be measured [m].

    Returns
    -------
    Conversion
        Ratio, drills, and the air both gases need.

    Raises
    ------
    InputError
        If the fuel is unknown or a number lies outside its range.

    Notes
    -----
    The same heat through the same ports. Biogas burns slower, so the ports must be larger
    or the flame held; the air shutter is closed further. A burner with a safety valve or a
    regulator is a licensed gas fitter's to alter.

    References
    ----------
    iso_6976_2016; practice_gas_pressure.

    Examples
    --------
    >>> done = convert_burner("C3H8", 0.60, before_kpa=2.9, after_kpa=0.8, jet_m=0.8e-3)
    >>> round(done.ratio, 3), done.drills.metric.name
    (2.491, '2 mm')
    """
    require(
        fuel in USUAL_KPA,
        field="fuel",
        value=fuel,
        allowed=", ".join(USUAL_KPA),
        remedy="Say what gas the burner was made for",
    )
    require(
        methane > 0.0,
        field="methane",
        value=methane,
        allowed="above 0, to 1",
        remedy="Gas without methane doesn't burn",
    )
    gas = gas_quality(methane, temperature_c=20.0, pressure_kpa=101.325)
    before = USUAL_KPA[fuel] if before_kpa is None else before_kpa
    ratio = jet_ratio(
        FUELS[fuel].wobbe_gross_mj_m3,
        gas.wobbe_gross_mj_m3,
        before_kpa=before,
        after_kpa=after_kpa,
    )
    drills = None if jet_m is None else nearest_drills(jet_m * ratio)
    return Conversion(ratio, drills, FUELS[fuel].air_need_m3_m3, gas.air_need_m3_m3)
