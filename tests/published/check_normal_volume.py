"""Gas read warm and wet, brought to dry normal volume (doc 201 of the Standard BMP Methods)."""

from marshlight.matter.gas import GASES, dry_normal_factor, water_vapour_fraction
from published.harness import Check

EQUATION = "Hafner et al. 2020, Standard BMP Methods doc 201 v1.9, eq. 1, with IAPWS SR1-86"
LIBRARY = "computed with reference library"
# degC, saturated factor, factor with the vapour forgotten
FACTORS = [
    (0.01, 0.99393, 0.99996),
    (10.0, 0.95299, 0.96468),
    (20.0, 0.91027, 0.93178),
    (25.0, 0.88749, 0.91615),
    (30.0, 0.86327, 0.90104),
    (35.0, 0.83717, 0.88642),
    (38.0, 0.82041, 0.87787),
    (55.0, 0.70290, 0.83239),
]
EXAMPLE = (
    "Hafner et al. 2020, Standard BMP Methods doc 201 v1.6, inputs of its example; "
    "its printed arithmetic is wrong and is corrected here"
)
GAS_DENSITIES = {
    "CH4": (0.7174, 5e-5 + 1e-9),
    "CO2": (1.977, 5e-4),
    "N2": (1.250, 5e-4),
}
MOLAR_VOLUMES = {
    "CH4": 22.361,
    "CO2": 22.263,
    "N2": 22.404,
    "O2": 22.392,
    "H2S": 22.187,
    "H2": 22.428,
    "air": 22.401,
}

CHECKS = [
    *(
        Check(
            f"dry normal factor, saturated, {celsius:g} degC",
            EQUATION,
            factor,
            lambda t=celsius: dry_normal_factor(t, 101.325),
            1e-5,
            status=LIBRARY,
        )
        for celsius, factor, _ in FACTORS
    ),
    *(
        Check(
            f"dry normal factor, dried gas, {celsius:g} degC",
            EQUATION,
            factor,
            lambda t=celsius: dry_normal_factor(t, 101.325, 0.0),
            1e-5,
            status=LIBRARY,
        )
        for celsius, _, factor in FACTORS
    ),
    Check(
        "73.6 mL read at 30 degC, saturated, NmL",
        EXAMPLE,
        63.544,
        lambda: 73.6 * dry_normal_factor(30.0, 101.325),
        2e-4,
        relative=True,
        status=LIBRARY,
    ),
    Check(
        "head-space of 81.3 mL at 30 degC, saturated, NmL",
        EXAMPLE,
        70.192,
        lambda: 81.3 * dry_normal_factor(30.0, 101.325),
        2e-4,
        relative=True,
        status=LIBRARY,
    ),
    Check(
        "one degree more at 25 degC and 100 kPa, %",
        f"{EQUATION}, differentiated",
        -0.534,
        lambda: 100.0 * (dry_normal_factor(26.0, 100.0) / dry_normal_factor(25.0, 100.0) - 1.0),
        6e-3,
        status=LIBRARY,
    ),
    Check(
        "one kilopascal more at 25 degC and 100 kPa, %",
        f"{EQUATION}, differentiated",
        1.033,
        lambda: 100.0 * (dry_normal_factor(25.0, 101.0) / dry_normal_factor(25.0, 100.0) - 1.0),
        1e-3,
        status=LIBRARY,
    ),
    Check(
        "58.0 % read wet at 35 degC, dry %",
        "Dalton's law with IAPWS SR1-86",
        61.412,
        lambda: 58.0 / (1.0 - water_vapour_fraction(35.0, 101.325)),
        1e-3,
        status=LIBRARY,
    ),
    *(
        Check(
            f"density of {gas} at 0 degC and 101.325 kPa, kg/m3",
            "Hafner et al. 2020, Standard BMP Methods doc 203 v1.1, constants",
            published,
            lambda g=gas: GASES[g].density_kg_m3,
            tolerance + 5e-5,
        )
        for gas, (published, tolerance) in GAS_DENSITIES.items()
    ),
    *(
        Check(
            f"molar volume of {gas} at 0 degC and 101.325 kPa, L/mol",
            "reference equations of state as computed by CoolProp 8.0.0",
            published,
            lambda g=gas: GASES[g].molar_volume_m3_mol * 1e3,
            1e-3,
            status=LIBRARY,
        )
        for gas, published in MOLAR_VOLUMES.items()
    ),
]
