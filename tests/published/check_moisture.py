"""Water in gas at 101.325 kPa, by CoolProp's saturation pressure."""

from marshlight.apparatus.cleaning import dry_gas, water_in_gas_kg_m3
from marshlight.matter.gas import dry_normal_factor, water_vapour_fraction
from marshlight.matter.water import saturation_vapour_pressure_kpa
from published.harness import Check

COOLPROP = "CoolProp 8.0.0 saturation pressure, 101.325 kPa"
COMPUTED = "computed with reference library"
# degC: saturation Pa, mole fraction, g per wet m3, g per dry normal m3.
TABLE = {
    10.0: (1228.0, 0.01212, 9.40, 9.86),
    20.0: (2339.0, 0.02309, 17.29, 18.99),
    25.0: (3170.0, 0.03128, 23.04, 25.96),
    35.0: (5629.0, 0.05555, 39.58, 47.28),
    38.0: (6633.0, 0.06546, 46.19, 56.30),
    55.0: (15762.0, 0.15556, 104.1, 148.1),
}
NAMES = ("saturation, Pa", "mole fraction", "g per wet m3", "g per dry normal m3")


def ours(t: float) -> tuple[float, ...]:
    pressure = saturation_vapour_pressure_kpa(t) * 1e3
    normal = water_in_gas_kg_m3(t) * 1e3
    return (
        pressure,
        water_vapour_fraction(t, 101.325),
        normal * dry_normal_factor(t, 101.325),
        normal,
    )


CHECKS = [
    *(
        Check(
            f"{t:g} degC, {name}",
            COOLPROP,
            value,
            lambda t=t, i=i: ours(t)[i],
            0.005,
            relative=True,
            status=COMPUTED,
        )
        for t, row in TABLE.items()
        for i, (name, value) in enumerate(zip(NAMES, row, strict=True))
    ),
    Check(
        "condensate from 38 to 20 degC, g per dry normal m3",
        COOLPROP,
        37.3,
        lambda: 1e3 * dry_gas(1.0, from_c=38.0, to_c=20.0, days=0.0).condensate_kg_d,
        0.005,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "condensate of 10 m3/d, g/d",
        COOLPROP,
        373.0,
        lambda: 1e3 * dry_gas(10.0, from_c=38.0, to_c=20.0, days=0.0).condensate_kg_d,
        0.005,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "dry normal gas in 1 m3 at 38 degC, saturated, m3",
        COOLPROP,
        0.8204,
        lambda: dry_normal_factor(38.0, 101.325),
        0.005,
        relative=True,
        status=COMPUTED,
    ),
]
