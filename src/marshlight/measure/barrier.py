"""Carbon dioxide taken up by a holder's barrier liquid: at least none, at most this."""

from marshlight.errors import require
from marshlight.matter.gas import GASES, dissolved_normal_m3_per_m3
from marshlight.matter.water import (
    BarrierLiquid,
    saturation_vapour_pressure_kpa,
    solubility_mol_m3_kpa,
)

TRANSFER_VELOCITY_M_D = 0.5


def co2_loss_upper_m3(
    liquid: BarrierLiquid,
    liquid_m3: float,
    *,
    co2_share: float,
    temperature_c: float,
    pressure_kpa: float,
    open_area_m2: float = 0.0,
    days: float = 0.0,
) -> float:
    """Return the most carbon dioxide a barrier liquid can have taken from the gas.

    Parameters
    ----------
    liquid : BarrierLiquid
        What it is.
    liquid_m3 : float
        How much of it, zero or more [m3].
    co2_share : float
        Highest plausible dry share of carbon dioxide in the gas, 0 to 1 [-].
    temperature_c : float
        Lowest temperature of the liquid, which dissolves most, 0 to 100 [degC].
    pressure_kpa : float
        Absolute pressure of the gas [kPa].
    open_area_m2 : float
        Surface through which the liquid loses it again to the air, zero or more [m2].
    days : float
        How long, zero or more [d].

    Returns
    -------
    float
        Upper bound, dry at 0 degC and 101.325 kPa; the lower bound is zero [m3].

    Raises
    ------
    InputError
        If a value lies outside its range.

    Notes
    -----
    The liquid is saturated once, binds its alkalinity once, and passes the gas on to
    the air through its open surface at the highest plausible transfer velocity, as if
    it were saturated up to that surface. It may give the gas back later.

    References
    ----------
    iapws_g7_04; barrier_exchange; the liquid's own source.

    Examples
    --------
    >>> from marshlight.matter.water import FRESH_WATER
    >>> lost = co2_loss_upper_m3(FRESH_WATER, 0.005, co2_share=0.4, temperature_c=25.0,
    ...                          pressure_kpa=101.325)
    >>> round(lost * 1e3, 2)
    2.13
    """
    require(
        0.0 <= co2_share <= 1.0,
        field="co2_share",
        value=co2_share,
        allowed="0 to 1",
        remedy="Give the share of carbon dioxide as a fraction of the dry gas",
    )
    smallest = min(liquid_m3, open_area_m2, days)
    require(
        smallest >= 0.0,
        field="liquid_m3",
        value=smallest,
        allowed="zero or more",
        remedy="Give volume, surface and time as positive numbers",
    )
    cold = max(temperature_c, 0.0)
    partial = co2_share * (pressure_kpa - saturation_vapour_pressure_kpa(cold))
    solubility = solubility_mol_m3_kpa("CO2", cold) * liquid.co2_solubility_ratio
    saturated = dissolved_normal_m3_per_m3("CO2", solubility, partial_pressure_kpa=partial)
    bound = liquid.alkalinity_mol_m3 * GASES["CO2"].molar_volume_m3_mol
    passed_on = saturated * open_area_m2 * TRANSFER_VELOCITY_M_D * days
    return liquid_m3 * (saturated + bound) + passed_on
