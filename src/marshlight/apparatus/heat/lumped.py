"""Warming and cooling with one time constant: closed forms for a first answer."""

import math

from marshlight.apparatus.heat.body import WATER_J_KG_K
from marshlight.errors import require


def warm_up_s(
    from_c: float,
    to_c: float,
    *,
    heat_capacity_j_k: float,
    conductance_w_k: float,
    power_w: float,
    outside_c: float,
) -> float:
    """Return how long a constant power takes from one temperature to another.

    Parameters
    ----------
    from_c, to_c : float
        Start and goal [degC].
    heat_capacity_j_k : float
        Of the slurry, above zero [J/K].
    conductance_w_k : float
        To the outside, taken as constant, zero or more [W/K].
    power_w : float
        Heat into the slurry, zero or more [W].
    outside_c : float
        Temperature outside [degC].

    Returns
    -------
    float
        Time; infinite if the goal is never reached [s].

    Raises
    ------
    InputError
        If capacity is not above zero or conductance or power is negative.

    Notes
    -----
    ``t = (C/UA) ln((Tinf - T0)/(Tinf - T1))`` with ``Tinf = Ta + P/UA``; cooling
    is the same with the power off.

    References
    ----------
    lumped_balance.

    Examples
    --------
    >>> hours = warm_up_s(20.0, 38.0, heat_capacity_j_k=41860.0, conductance_w_k=2.246,
    ...                   power_w=50.0, outside_c=20.0) / 3600.0
    >>> round(hours, 2)
    8.56
    """
    require(
        heat_capacity_j_k > 0.0 and conductance_w_k >= 0.0 and power_w >= 0.0,
        field="heat capacity, conductance or power",
        value=(heat_capacity_j_k, conductance_w_k, power_w),
        allowed="a capacity above zero, the others zero or more",
        remedy="Check the numbers",
    )
    if from_c == to_c:
        return 0.0
    if conductance_w_k == 0.0:
        enough = power_w > 0.0 and to_c > from_c
        return heat_capacity_j_k * (to_c - from_c) / power_w if enough else math.inf
    end = outside_c + power_w / conductance_w_k
    ratio = (end - from_c) / (end - to_c) if end != to_c else math.inf
    if ratio <= 1.0 or not math.isfinite(ratio):
        return math.inf
    return heat_capacity_j_k / conductance_w_k * math.log(ratio)


def warming_energy_kwh(mass_kg: float, from_c: float, to_c: float) -> float:
    """Return the heat that warms slurry, losses left out.

    Parameters
    ----------
    mass_kg : float
        Mass, zero or more [kg].
    from_c, to_c : float
        Start and goal [degC].

    Returns
    -------
    float
        Heat; negative for cooling [kWh].

    Raises
    ------
    InputError
        If the mass is negative.

    References
    ----------
    water_heat.

    Examples
    --------
    >>> round(warming_energy_kwh(10.0, 20.0, 38.0), 4)
    0.2093
    """
    require(
        mass_kg >= 0.0,
        field="mass",
        value=mass_kg,
        allowed="zero or more",
        remedy="Give the mass to be warmed",
    )
    return mass_kg * WATER_J_KG_K * (to_c - from_c) / 3.6e6
