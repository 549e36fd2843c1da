"""The jet of a burner: gas through a drilled hole, and the hole for a wanted flow."""

import math

from marshlight.errors import require

# 3600e-6 * sqrt(2 * 100 / 1.1885): m3/h from mm2, mbar and density relative to air.
_FULFORD = 0.0467
# Drilled jets discharge 0.85 to 0.95 of the ideal; the middle is our default (fulford_1996_memory).
DISCHARGE = 0.90
_MOST_KPA = 10.0


def jet_flow_m3_h(
    diameter_m: float,
    *,
    pressure_kpa: float,
    relative_density: float,
    discharge: float = DISCHARGE,
) -> float:
    """Return the gas that passes a drilled jet.

    Parameters
    ----------
    diameter_m : float
        Hole, above 0 [m].
    pressure_kpa : float
        Gas pressure above the air's, above 0 to 10 [kPa].
    relative_density : float
        Density of the gas over that of air, above 0 [-].
    discharge : float
        Discharge coefficient, above 0 to 1 [-].

    Returns
    -------
    float
        Gas flow at about 20 degC [m3/h].

    Raises
    ------
    InputError
        If an input lies outside its range.

    Notes
    -----
    ``Q = 0.0467 Cd A sqrt(p/s)`` with mm2 and mbar. Incompressible: within 0.5 % at 10 mbar.

    References
    ----------
    fulford_1996.

    Examples
    --------
    >>> round(jet_flow_m3_h(2.044e-3, pressure_kpa=1.0, relative_density=0.94), 3)
    0.45
    """
    require(
        diameter_m > 0.0,
        field="diameter_m",
        value=diameter_m,
        allowed="above 0",
        remedy="Give the hole of the jet",
    )
    speed = _speed(pressure_kpa, relative_density, discharge)
    return speed * math.pi / 4.0 * (diameter_m * 1e3) ** 2


def jet_diameter_m(
    flow_m3_h: float,
    *,
    pressure_kpa: float,
    relative_density: float,
    discharge: float = DISCHARGE,
) -> float:
    """Return the jet that passes a wanted gas flow.

    Parameters
    ----------
    flow_m3_h : float
        Gas flow at about 20 degC, above 0 [m3/h].
    pressure_kpa : float
        Gas pressure above the air's, above 0 to 10 [kPa].
    relative_density : float
        Density of the gas over that of air, above 0 [-].
    discharge : float
        Discharge coefficient, above 0 to 1 [-].

    Returns
    -------
    float
        Diameter of the hole [m].

    Raises
    ------
    InputError
        If an input lies outside its range.

    References
    ----------
    fulford_1996.

    Examples
    --------
    >>> round(jet_diameter_m(0.45, pressure_kpa=1.0, relative_density=0.94) * 1e3, 2)
    2.04
    """
    require(
        flow_m3_h > 0.0,
        field="flow_m3_h",
        value=flow_m3_h,
        allowed="above 0",
        remedy="Give the gas the burner is to take",
    )
    area_mm2 = flow_m3_h / _speed(pressure_kpa, relative_density, discharge)
    return math.sqrt(4.0 * area_mm2 / math.pi) / 1e3


def _speed(pressure_kpa: float, relative_density: float, discharge: float) -> float:
    """Flow per hole area [m3/h per mm2]."""
    require(
        0.0 < pressure_kpa <= _MOST_KPA,
        field="pressure_kpa",
        value=pressure_kpa,
        allowed=f"above 0 to {_MOST_KPA:g} kPa",
        remedy="Give the pressure at the burner, above the air's; a floating holder has 0.3 to 2",
    )
    require(
        relative_density > 0.0 and 0.0 < discharge <= 1.0,
        field="relative_density, discharge",
        value=(relative_density, discharge),
        allowed="above 0, and a coefficient to 1",
        remedy="Biogas has 0.85 to 1.15; a drilled jet 0.85 to 0.95",
    )
    return _FULFORD * discharge * math.sqrt(10.0 * pressure_kpa / relative_density)
