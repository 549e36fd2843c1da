"""Water: vapour pressure, density and dissolved gas, against IAPWS and its libraries."""

from marshlight.matter.gas import water_vapour_fraction
from marshlight.matter.water import (
    saturation_vapour_pressure_kpa,
    solubility_mol_m3_kpa,
    water_density_kg_m3,
)
from published.harness import Check

RELEASE = "IAPWS 1992, SR1-86 (1992), table of verification points"
LIBRARY = "computed with reference library"
FORMULATION = "IAPWS-95 as computed by CoolProp 8.0.0"

# degC, kPa
IAPWS_95 = [
    (0.01, 0.61166),
    (10.0, 1.2282),
    (20.0, 2.3393),
    (25.0, 3.1699),
    (30.0, 4.2470),
    (35.0, 5.6290),
    (38.0, 6.6328),
    (55.0, 15.762),
]
# degC, kg/m3
DENSITY = [
    (10.0, 999.70),
    (20.0, 998.21),
    (25.0, 997.05),
    (30.0, 995.65),
    (35.0, 994.03),
    (38.0, 992.97),
    (55.0, 985.69),
]
# degC, share of vapour in percent at 101.325 kPa
VAPOUR_SHARE = [(10.0, 1.212), (20.0, 2.309), (25.0, 3.128), (35.0, 5.555), (55.0, 15.557)]
# degC, CO2 and CH4 in mol/(m3 Pa)
HENRY_IAPWS = [
    (10.0, 5.1658e-4, 1.8858e-5),
    (20.0, 3.8242e-4, 1.5325e-5),
    (25.0, 3.3412e-4, 1.4019e-5),
    (35.0, 2.6217e-4, 1.2040e-5),
    (38.0, 2.4540e-4, 1.1575e-5),
    (55.0, 1.7763e-4, 9.7160e-6),
]
SANDER = "Sander 2015, Atmos. Chem. Phys. 15:4399, recommended values"

CHECKS = [
    *(
        Check(
            f"saturation pressure at {celsius:g} degC, kPa",
            RELEASE,
            published,
            lambda t=celsius: saturation_vapour_pressure_kpa(t),
            1e-5,
            relative=True,
        )
        for celsius, published in ((0.01, 0.611657), (99.9743, 101.325))
    ),
    *(
        Check(
            f"saturation pressure at {celsius:g} degC against IAPWS-95, kPa",
            FORMULATION,
            published,
            lambda t=celsius: saturation_vapour_pressure_kpa(t),
            2e-4,
            relative=True,
            status=LIBRARY,
        )
        for celsius, published in IAPWS_95
    ),
    Check(
        "saturation pressure at 26.85 degC, MPa",
        "IAPWS-IF97, equation 30, table 35 (300 K); digits from memory, kept by iapws 1.5.5",
        0.00353658941,
        lambda: saturation_vapour_pressure_kpa(26.85) / 1e3,
        2e-4,
        relative=True,
        status="from memory",
    ),
    Check(
        "saturation pressure at 25 degC by a field formula, kPa",
        "Alduchov and Eskridge 1996, J. Appl. Meteorol. 35:601, eq. 21, within its own 0.4 %",
        3.1617,
        lambda: saturation_vapour_pressure_kpa(25.0),
        0.004,
        relative=True,
    ),
    *(
        Check(
            f"density of water at {celsius:g} degC, kg/m3",
            "IAPWS-95 at 101.325 kPa as computed by CoolProp 8.0.0",
            published,
            lambda t=celsius: water_density_kg_m3(t),
            0.06,
            status=LIBRARY,
        )
        for celsius, published in DENSITY
    ),
    *(
        Check(
            f"vapour share of saturated gas at {celsius:g} degC, %",
            "IAPWS SR1-86 over 101.325 kPa",
            published,
            lambda t=celsius: 100.0 * water_vapour_fraction(t, 101.325),
            0.0006,
            status=LIBRARY,
        )
        for celsius, published in VAPOUR_SHARE
    ),
    *(
        Check(
            f"{gas} dissolved at {row[0]:g} degC, mol/(m3 Pa)",
            "IAPWS G7-04 as computed by iapws 1.5.5",
            row[column],
            lambda g=gas, t=row[0]: solubility_mol_m3_kpa(g, t) / 1e3,
            5e-4,
            relative=True,
            status=LIBRARY,
        )
        for row in HENRY_IAPWS
        for column, gas in ((1, "CO2"), (2, "CH4"))
    ),
    *(
        Check(
            f"{gas} dissolved at 25 degC against two-digit constants, mol/(m3 Pa)",
            SANDER,
            published,
            lambda g=gas: solubility_mol_m3_kpa(g, 25.0) / 1e3,
            0.05,
            relative=True,
        )
        for gas, published in (("CO2", 3.3e-4), ("CH4", 1.4e-5))
    ),
]
