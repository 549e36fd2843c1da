"""Theoretical gas of pure substances against published compositions and the element balance.

The yields to five digits were worked out apart from this program, from the equation of Buswell &
Mueller 1952 and Boyle 1977 with the IUPAC masses (C 12.011, H 1.008, O 15.999, N 14.007, S 32.06)
and the ideal 22.414 m3/kmol; real methane takes 0.24 % less room, so they are not comparable with
yields on a real-gas basis.
"""

from functools import partial

from marshlight.matter import chemical_oxygen_demand, formula, gas_from_formula
from marshlight.matter.stoichiometry import IDEAL_MOLAR_VOLUME, METHANE_PER_COD
from published.harness import Check

EQUATION = "Buswell & Mueller 1952 and Boyle 1977, equation with IUPAC masses, worked out apart"
PAGE = "renewable-energy-concepts.com, page on substrates and methane, after Buswell and Boyle"

# Name, formula, molar mass, CH4, CO2, H2O taken up [mol/mol], CH4 % of CH4 + CO2,
# methane [NmL/g], biogas [NmL/g], oxygen demand [g/g].
ROWS = [
    ("cellulose or starch unit", "C6H10O5", 162.14, 3, 3, 1, 50.00, 414.71, 829.43, 1.1841),
    ("glucose", "C6H12O6", 180.16, 3, 3, 0, 50.00, 373.24, 746.49, 1.0657),
    ("sucrose or lactose", "C12H22O11", 342.30, 6, 6, 1, 50.00, 392.89, 785.77, 1.1218),
    ("xylan unit", "C5H8O4", 132.12, 2.5, 2.5, 1, 50.00, 424.14, 848.27, 1.2110),
    ("acetic acid", "C2H4O2", 60.052, 1, 1, 0, 50.00, 373.24, 746.49, 1.0657),
    ("propionic acid", "C3H6O2", 74.079, 1.75, 1.25, 0.5, 58.33, 529.49, 907.71, 1.5118),
    ("butyric acid", "C4H8O2", 88.106, 2.5, 1.5, 1, 62.50, 635.99, 1017.6, 1.8159),
    ("lactic acid", "C3H6O3", 90.078, 1.5, 1.5, 0, 50.00, 373.24, 746.49, 1.0657),
    ("typical protein", "C5H7NO2", 113.12, 2.5, 2.5, 3, 50.00, 495.38, 990.75, 1.4144),
    ("protein with sulphur", "C13H25O7N3S", 367.42, 6.5, 6.5, 6, 50.00, 396.53, 793.05, 1.1322),
    ("glycine", "C2H5NO2", 75.067, 0.75, 1.25, 0.5, 37.50, 223.94, 597.17, 0.63939),
    ("typical lipid", "C57H104O6", 885.45, 40, 17, 28, 70.18, 1012.5, 1442.9, 2.8910),
    ("tripalmitin", "C51H98O6", 807.34, 36.25, 14.75, 23.5, 71.08, 1006.4, 1415.9, 2.8735),
    ("ethanol", "C2H6O", 46.069, 1.5, 0.5, 0, 75.00, 729.80, 973.06, 2.0837),
    ("methanol", "CH4O", 32.042, 0.75, 0.25, -0.5, 75.00, 524.64, 699.52, 1.4979),
    ("glycerol", "C3H8O3", 92.094, 1.75, 1.25, -0.5, 58.33, 425.92, 730.14, 1.2161),
    ("benzoic acid", "C7H6O2", 122.12, 3.75, 3.25, 4.5, 53.57, 688.26, 1284.7, 1.9651),
]
# Methane [NL/kg], oxygen demand [g/g], CH4 % of acids listed only by yield.
ACIDS = [
    ("oleic acid", "C18H34O2", 1011.7, 2.8886, 70.8),
    ("valeric acid", "C5H10O2", 713.2, 2.0364, 65.0),
]


def _gas(text: str, what: str) -> float:
    substance = formula(text)
    gas = gas_from_formula(substance)
    return {
        "molar mass": lambda: substance.molar_mass,
        "CH4": lambda: gas.methane * substance.molar_mass,
        "CO2": lambda: gas.carbon_dioxide * substance.molar_mass,
        "H2O taken up": lambda: gas.water_taken_up * substance.molar_mass,
        "CH4 share of the gas": lambda: gas.methane_share * 100,
        "methane": lambda: gas.methane_m3_per_kg * 1000,
        "biogas": lambda: gas.biogas_m3_per_kg * 1000,
        "oxygen demand": lambda: chemical_oxygen_demand(substance),
    }[what]()


def _share_of_four(text: str, place: int) -> float:
    return gas_from_formula(formula(text)).shares_of_four[place] * 100


def _digit(value: float) -> float:
    """Half a unit of the fifth digit, and a little for the masses' own rounding."""
    whole = len(str(int(abs(value)))) if abs(value) >= 1 else 0
    return 0.6 * 10.0 ** (whole - 5)


def _rows() -> list[Check]:
    found = []
    quantities = [
        ("molar mass", "g/mol"),
        ("CH4", "mol/mol"),
        ("CO2", "mol/mol"),
        ("H2O taken up", "mol/mol"),
        ("CH4 share of the gas", "%"),
        ("methane", "NmL/g"),
        ("biogas", "NmL/g"),
        ("oxygen demand", "g/g"),
    ]
    for name, text, *printed in ROWS:
        for (what, unit), value in zip(quantities, printed, strict=True):
            tolerance = 0.006 if what == "CH4 share of the gas" else _digit(value)
            found.append(
                Check(
                    f"{name} {text}: {what} [{unit}]",
                    EQUATION,
                    value,
                    partial(_gas, text, what),
                    tolerance,
                    status="computed with reference library",
                )
            )
    for name, text, methane, oxygen, share in ACIDS:
        for what, value, tolerance in (
            ("methane", methane, 0.06),
            ("oxygen demand", oxygen, 0.00006),
            ("CH4 share of the gas", share, 0.06),
        ):
            found.append(
                Check(
                    f"{name} {text}: {what}",
                    EQUATION,
                    value,
                    partial(_gas, text, what),
                    tolerance,
                    status="computed with reference library",
                )
            )
    return found


CHECKS = [
    *_rows(),
    Check("glucose: CH4 of all gas [%]", PAGE, 50, partial(_share_of_four, "C6H12O6", 0), 0.5),
    Check("glucose: CO2 of all gas [%]", PAGE, 50, partial(_share_of_four, "C6H12O6", 1), 0.5),
    Check("tripalmitin: CH4 of all gas [%]", PAGE, 71, partial(_share_of_four, "C51H98O6", 0), 0.5),
    Check("tripalmitin: CO2 of all gas [%]", PAGE, 29, partial(_share_of_four, "C51H98O6", 1), 0.5),
    *(
        Check(
            f"protein C13H25O7N3S: {gas} of all four gases [%]",
            PAGE + " (the formula is inferred: it is the one that matches all four figures)",
            value,
            partial(_share_of_four, "C13H25O7N3S", place),
            0.5,
        )
        for place, (gas, value) in enumerate([("CH4", 38), ("CO2", 38), ("NH3", 18), ("H2S", 6)])
    ),
    Check(
        "methane over oxygen demand, ideal gas at 0 degC [NmL/g]",
        "22413.97 mL/mol over 63.996 g/mol",
        350.24,
        METHANE_PER_COD * 1000,
        0.006,
        status="computed with reference library",
    ),
    Check(
        "methane over oxygen demand, nominal [NmL/g]",
        "The round 350 NmL/g of the trade",
        350.0,
        METHANE_PER_COD * 1000,
        0.5,
        status="common practice, no source",
    ),
    Check(
        "ideal molar volume at 0 degC and 101.325 kPa [m3/kmol]",
        "CODATA 2018",
        22.41397,
        IDEAL_MOLAR_VOLUME,
        0.000005,
        status="from memory",
    ),
]
