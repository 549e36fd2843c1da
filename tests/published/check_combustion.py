"""Heat of biogas in named reference states: ISO 6976 and the table worked out from it.

Out of scope: an entry that prints a flame speed of 21 m/s and 0.91 kg/m3 for 60 % methane
contradicts its own mixture and is not a check.
"""

from marshlight.matter.combustion import (
    METHANE_KWH_PER_NORMAL_M3,
    GasQuality,
    gas_quality,
    heating_value_mj_m3,
    methane_heat_kj_mol,
)
from marshlight.matter.fuels import FUELS
from marshlight.matter.gas import GASES
from published.harness import Check

ISO = "ISO 6976:2016, table 3, as carried in a general gas-metering code"
WORKED = "ISO 6976:2016 heats, ideal gas, worked out from them"
FNR = "FNR, Faustzahlen Biogas, rounded values for methane"
COMPUTED = "computed with reference library"

# Methane share, then: relative density, LHV 15/15 MJ/m3, LHV 25/0 kWh/m3, HHV 15/15 MJ/m3,
# LHV MJ/kg, gross and net Wobbe 15/15, air m3/m3, air kg/kg.
TABLE = {
    1.00: (0.5539, 33.946, 9.946, 37.704, 50.03, 50.66, 45.61, 9.547, 17.24),
    0.80: (0.7470, 27.157, 7.957, 30.163, 29.67, 34.90, 31.42, 7.637, 10.22),
    0.70: (0.8436, 23.762, 6.962, 26.393, 22.99, 28.74, 25.87, 6.683, 7.922),
    0.65: (0.8919, 22.065, 6.465, 24.508, 20.20, 25.95, 23.36, 6.205, 6.958),
    0.60: (0.9402, 20.368, 5.968, 22.623, 17.68, 23.33, 21.01, 5.728, 6.093),
    0.55: (0.9884, 18.670, 5.470, 20.737, 15.42, 20.86, 18.78, 5.251, 5.312),
    0.50: (1.0367, 16.973, 4.973, 18.852, 13.36, 18.52, 16.67, 4.773, 4.604),
    0.40: (1.1333, 13.578, 3.978, 15.082, 9.78, 14.17, 12.76, 3.819, 3.370),
    0.30: (1.2298, 10.184, 2.984, 11.311, 6.76, 10.20, 9.18, 2.864, 2.329),
}
NAMES = (
    ("relative density", "relative_density"),
    ("net heat 15/15, MJ/m3", "net_mj_m3"),
    ("net heat 25/0, kWh/m3", "net_normal_kwh_m3"),
    ("gross heat 15/15, MJ/m3", "gross_mj_m3"),
    ("net heat, MJ/kg", "net_mj_kg"),
    ("gross Wobbe index 15/15, MJ/m3", "wobbe_gross_mj_m3"),
    ("net Wobbe index 15/15, MJ/m3", "wobbe_net_mj_m3"),
    ("air by volume, m3/m3", "air_need_m3_m3"),
    ("air by mass, kg/kg", "air_need_kg_kg"),
)
DENSITY = {  # at 15 degC, 101.325 kPa, dry [kg/m3]
    1.00: 0.6785, 0.80: 0.9150, 0.70: 1.0333, 0.65: 1.0925, 0.60: 1.1516,
    0.55: 1.2107, 0.50: 1.2699, 0.40: 1.3882, 0.30: 1.5064,
}  # fmt: skip
COLD_DENSITY = {  # at 0 degC, 101.325 kPa, dry [kg/m3]
    1.00: 0.7157, 0.80: 0.9653, 0.70: 1.0901, 0.65: 1.1524, 0.60: 1.2148,
    0.55: 1.2772, 0.50: 1.3396, 0.40: 1.4644, 0.30: 1.5892,
}  # fmt: skip
NET_BY_TEMPERATURE = {0.0: 802.79, 15.0: 802.65, 15.55: 802.64, 20.0: 802.61, 25.0: 802.55}
GROSS_25 = {"H2S": 562.01, "H2": 285.83, "C3H8": 2219.17, "C4H10": 2877.40, "CO": 282.98}
MASS_BASIS = {"CH4": (55.514, 50.027), "C3H8": (50.326, 46.334), "C4H10": (49.506, 45.720)}


def heat(**state: float | bool) -> float:
    return heating_value_mj_m3(1.0, **state)  # type: ignore[arg-type]


def gas(methane: float, celsius: float = 15.0) -> GasQuality:
    # A density is printed dry; a quarter of saturation at 0 degC, and a tenth at 15 degC, are
    # below its last digit. Drier gas has a dew point below the range of ours.
    moist = 0.1 if celsius > 10.0 else 0.25
    return gas_quality(
        methane, temperature_c=celsius, pressure_kpa=101.325, relative_humidity=moist
    )


CHECKS = [
    *(
        Check(f"net heat of methane at {t:g} degC, kJ/mol", ISO, net, methane_heat_kj_mol(t), 0.006)
        for t, net in NET_BY_TEMPERATURE.items()
    ),
    *(
        Check(f"gross heat of {FUELS[k].name} at 25 degC, kJ/mol", ISO, h, FUELS[k].gross_kj_mol, 0)
        for k, h in GROSS_25.items()
    ),
    *(
        Check(f"{kind} heat of {FUELS[k].name} by mass, MJ/kg", WORKED, value, ours, 1e-3)
        for k, (gross, net) in MASS_BASIS.items()
        for kind, value, ours in (
            ("gross", gross, FUELS[k].gross_mj_kg),
            ("net", net, FUELS[k].net_mj_kg),
        )
    ),
    Check(
        "methane, net 25/0, ideal, MJ/m3",
        WORKED,
        35.806,
        heat(combustion_c=25.0, volume_c=0.0),
        1e-3,
    ),
    Check(
        "methane, net 25/0, real, MJ/m3",
        "ISO 6976:2016 with the compression factor of CoolProp 8.0.0",
        35.892,
        heat(combustion_c=25.0, volume_c=0.0, real_gas=True),
        1e-3,
        status=COMPUTED,
    ),
    Check(
        "methane, net 15/15, real, MJ/m3",
        "ISO 6976:2016 with the compression factor of CoolProp 8.0.0",
        34.013,
        heat(combustion_c=15.0, volume_c=15.0, real_gas=True),
        1e-3,
        status=COMPUTED,
    ),
    Check(
        "methane, gross 15/15, real, MJ/m3",
        "ISO 6976:2016 with the compression factor of CoolProp 8.0.0",
        37.779,
        heat(combustion_c=15.0, volume_c=15.0, net=False, real_gas=True),
        1e-3,
        status=COMPUTED,
    ),
    Check(
        "methane, gross 0/0, ideal, MJ/m3",
        WORKED,
        39.838,
        heat(combustion_c=0.0, volume_c=0.0, net=False),
        1e-3,
    ),
    Check(
        "methane, net 0/0, ideal, MJ/m3", WORKED, 35.817, heat(combustion_c=0.0, volume_c=0.0), 1e-3
    ),
    Check("methane a normal cubic metre, kWh", FNR, 9.97, METHANE_KWH_PER_NORMAL_M3, 0.005),
    Check("methane a normal cubic metre, MJ", FNR, 36.0, 3.6 * METHANE_KWH_PER_NORMAL_M3, 0.5),
    Check("methane, net by mass, MJ/kg", FNR, 50.0, FUELS["CH4"].net_mj_kg, 0.5),
    Check("density of methane at 0 degC, kg/m3", FNR, 0.72, GASES["CH4"].density_kg_m3, 0.005),
    *(
        Check(
            f"density of {name} at 0 degC, kg/m3",
            "CoolProp 8.0.0, 273.15 K and 101.325 kPa",
            density,
            GASES[name].density_kg_m3,
            1e-4,
            status=COMPUTED,
        )
        for name, density in (("CH4", 0.7175), ("CO2", 1.9768), ("air", 1.2931))
    ),
    *(
        Check(
            f"{100 * x:.0f} % methane: {name}",
            WORKED,
            value,
            lambda x=x, field=field: getattr(gas(x), field),
            0.005,
            relative=True,
            status=COMPUTED,
        )
        for x, row in TABLE.items()
        for value, (name, field) in zip(row, NAMES, strict=True)
    ),
    *(
        Check(
            f"{100 * x:.0f} % methane: density at 0 degC, kg/m3",
            WORKED,
            value,
            lambda x=x: gas(x, 0.0).density_kg_m3,
            0.005,
            relative=True,
            status=COMPUTED,
        )
        for x, value in COLD_DENSITY.items()
    ),
    *(
        Check(
            f"{100 * x:.0f} % methane: density at 15 degC, kg/m3",
            WORKED,
            value,
            lambda x=x: gas(x).density_kg_m3,
            0.005,
            relative=True,
            status=COMPUTED,
        )
        for x, value in DENSITY.items()
    ),
    *(
        Check(
            f"biogas of {100 * x:.0f} % methane, kWh/m3",
            FNR,
            value,
            lambda x=x: gas(x).net_normal_kwh_m3,
            0.05,
        )
        for x, value in ((0.50, 5.0), (0.75, 7.5))
    ),
    Check(
        "air for 60 % methane, L/L",
        "Sasse, Kellner and Kimaro 1991 as quoted by Obada 2014",
        5.7,
        lambda: gas(0.60).air_need_m3_m3,
        0.05,
    ),
    Check(
        "air for butane, L/L",
        "Sasse, Kellner and Kimaro 1991 as quoted by Obada 2014",
        30.9,
        FUELS["C4H10"].air_need_m3_m3,
        0.15,
    ),
    Check(
        "air for propane, L/L",
        "Sasse, Kellner and Kimaro 1991 as quoted by Obada 2014",
        23.8,
        FUELS["C3H8"].air_need_m3_m3,
        0.1,
    ),
    Check(
        "calorific value of biogas, MJ/m3",
        "FAO/CMS 1996, biogas technology training manual",
        20.0,
        lambda: gas(0.60).net_mj_m3,
        0.5,
    ),
]
