"""Iron sponge: stoichiometry, field design rules and a worked biogas bed.

Out of scope: others' filters (33 % on average; best moisture), which nothing of ours predicts; the
field rule's 108 kg of sulphide to a cubic metre of bed, a denser grade than is reckoned with.
"""

import math

from marshlight.apparatus.cleaning import (
    air_dose,
    air_needed,
    bed_diameter_m,
    iron_bed,
    sulphide_kg_per_d,
)
from marshlight.apparatus.cleaning.iron_sponge import (
    FILINGS_CAPACITY_S,
    MOST_DEPOSITION_KG_MIN_M2,
    OXIDE_CAPACITY_H2S,
    OXIDE_CAPACITY_S,
)
from published.harness import Check

FOOT, INCH, GRAIN_G, POUND_KG = 0.3048, 0.0254, 0.06479891, 0.45359237
MMSCF_M3_D = 1e6 * FOOT**3
FIELD = "Abdel-Aal, Aggour & Fahim 2003, Petroleum and Gas Field Processing, p. 277"
RULES = "iron-sponge design rules, 2 to 10 ft/min, 15 grain/min ft2"
WORKED = "10 m3/d at 25 degC with 2000 ppm, worked by hand"
STOICHIOMETRY = "3 H2S to each Fe2O3"
BED = iron_bed(10.0, 2000e-6, days=90.0)


def field_bore_in(speed_ft_min: float) -> float:
    """Bore for one million standard cubic feet a day at 520 R and 14.7 psi, as the book has it."""
    return bed_diameter_m(MMSCF_M3_D, speed_ft_min * FOOT) / INCH


def bed_litres(used: float) -> float:
    return 1e3 * iron_bed(10.0, 2000e-6, days=90.0, used=used).by_capacity_m3


CHECKS = [
    Check("capacity, kg H2S per kg Fe2O3", STOICHIOMETRY, 0.6402, OXIDE_CAPACITY_H2S, 1e-4),
    Check("capacity, kg S per kg Fe2O3", STOICHIOMETRY, 0.602, OXIDE_CAPACITY_S, 5e-4),
    Check(
        "filings over theory",
        "Univ. of Maryland 2018: 20 g S per 100 g, a third of theory",
        1 / 3,
        FILINGS_CAPACITY_S / OXIDE_CAPACITY_S,
        0.005,
    ),
    Check(
        "deposition limit, g/min m2",
        RULES,
        15 * GRAIN_G / FOOT**2,
        1e3 * MOST_DEPOSITION_KG_MIN_M2,
        0.01,
    ),
    Check(
        "narrowest bore, 1 MMSCFD, 520 R, 14.7 psi, in",
        FIELD,
        math.sqrt(360 * 520 / 14.7),
        field_bore_in(10.0),
        0.002,
        relative=True,
    ),
    Check(
        "widest bore, 1 MMSCFD, 520 R, 14.7 psi, in",
        FIELD,
        math.sqrt(1800 * 520 / 14.7),
        field_bore_in(2.0),
        0.002,
        relative=True,
    ),
    Check(
        "hydrogen sulphide in a million ft3 with 1 ppm, lb",
        "worked out beside the field rule R = 0.0133 Q X",
        0.0898,
        lambda: (
            sulphide_kg_per_d(MMSCF_M3_D, 1e-6, temperature_c=15.556, pressure_kpa=101.325)
            / POUND_KG
        ),
        1e-4,
    ),
    Check("hydrogen sulphide, g/d", WORKED, 27.86, 1e3 * BED.h2s_kg_d, 0.005),
    Check("sulphur, g/d", WORKED, 26.21, 1e3 * BED.sulphur_kg_d, 0.01),
    Check("iron oxide, g/d", WORKED, 43.5, 1e3 * BED.oxide_kg_d, 0.05),
    Check("bed for 90 d at full use, L", WORKED, 28.0, lambda: bed_litres(1.0), 0.05),
    Check("bed for 90 d at 85 %, L", WORKED, 32.9, lambda: bed_litres(0.85), 0.05),
    Check("bed for 90 d at 50 %, L", WORKED, 55.9, lambda: bed_litres(0.50), 0.06),
    Check("bed by contact time, L", WORKED, 6.94, 1e3 * BED.by_contact_m3, 0.006),
    Check("widest bore, mm", WORKED, 121.0, 1e3 * BED.widest_m, 0.5),
    Check("narrowest bore, mm", WORKED, 54.0, 1e3 * BED.narrowest_m, 0.5),
    Check("section by deposition, m2", WORKED, 0.0018, BED.deposition_area_m2, 6e-5),
    Check("filings a day, g", WORKED, 131.0, 1e3 * BED.filings_kg / 90.0, 0.5),
    Check("filings for 90 d, kg", WORKED, 11.8, BED.filings_kg, 0.05),
    Check(
        "air against 2000 ppm, %",
        "2 H2S + O2 = 2 S + 2 H2O",
        0.477,
        100 * air_needed(2000e-6),
        5e-4,
    ),
    Check(
        "gas left with 6 % air, %",
        "1/1.06",
        94.3,
        100 * air_dose(0.06, h2s_share=2000e-6, methane=0.6).gas_share,
        0.05,
    ),
]
