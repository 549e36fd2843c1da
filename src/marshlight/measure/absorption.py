"""Carbon dioxide by absorption: how much of a gas a lye takes away."""

import math

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.gas import NORMAL_PRESSURE_KPA, dry_normal_factor


def absorbed_share(
    before_m3: float,
    after_m3: float,
    *,
    temperature_c: float,
    pressure_kpa: float = NORMAL_PRESSURE_KPA,
    temperature_after_c: float | None = None,
    pressure_after_kpa: float | None = None,
    water_activity_after: float = 1.0,
    dead_m3: float = 0.0,
    u_reading_m3: float = 5e-7,
    u_temperature_c: float = 0.5,
) -> Estimate:
    """Return the dry share of a gas that a lye absorbed.

    Parameters
    ----------
    before_m3, after_m3 : float
        Gas before and after shaking with lye, above zero and zero or more [m3].
    temperature_c : float
        Temperature of the gas before, -20 to 60 [degC].
    pressure_kpa : float
        Absolute pressure before [kPa].
    temperature_after_c, pressure_after_kpa : float, optional
        The same after; unchanged and levelled if not given [degC, kPa].
    water_activity_after : float
        Relative humidity over the lye: 1 for weak, about 0.85 for strong, 0 to 1 [-].
    dead_m3 : float
        Gas in tube and nozzle that the marks don't show, zero or more [m3].
    u_reading_m3, u_temperature_c : float
        Standard uncertainty of one volume [m3], of the temperature difference [K].

    Returns
    -------
    Estimate
        Dry share absorbed: carbon dioxide with any hydrogen sulfide [-].

    Raises
    ------
    InputError
        If the volumes are impossible.

    Notes
    -----
    ``1 - [V1 (p1 - pw1)/T1] / [V0 (p0 - pw0)/T0]``. At one temperature and pressure
    and both saturated this is ``1 - V1/V0``, already dry. What is left is methane
    with any air. Strong lye burns eyes and skin: weak lye, goggles, gloves.

    References
    ----------
    hafner_2020_doc_201, equation 1, used twice; absorption_practice.

    Examples
    --------
    >>> found = absorbed_share(50e-6, 30.5e-6, temperature_c=25.0)
    >>> round(found.value, 4), round(found.u, 3)
    (0.39, 0.012)
    """
    require(
        before_m3 > 0.0 and dead_m3 >= 0.0,
        field="before_m3",
        value=before_m3,
        allowed="above zero",
        remedy="Give the gas drawn into the syringe",
    )
    require(
        0.0 <= after_m3 <= before_m3 * 1.1,
        field="after_m3",
        value=after_m3,
        allowed="zero to the gas before",
        remedy="Check for a leak, or whether the two readings were swapped",
    )
    later_c = temperature_c if temperature_after_c is None else temperature_after_c
    later_kpa = pressure_kpa if pressure_after_kpa is None else pressure_after_kpa
    before = (before_m3 + dead_m3) * dry_normal_factor(temperature_c, pressure_kpa)
    left = (after_m3 + dead_m3) * dry_normal_factor(later_c, later_kpa, water_activity_after)
    kept = left / before
    warmer = dry_normal_factor(later_c + 1.0, later_kpa, water_activity_after)
    slope = warmer / dry_normal_factor(later_c, later_kpa, water_activity_after) - 1.0
    u_volume = u_reading_m3 / (before_m3 + dead_m3) * math.hypot(1.0, kept)
    return Estimate(1.0 - kept, math.hypot(u_volume, kept * slope * u_temperature_c))
