"""Water that holds all carbon dioxide of 60/40 gas, by Henry's law.

The printed rows use Sander's two-digit constants; ours are IAPWS's, within 5 % of them.
"""

from marshlight.apparatus.cleaning import scrub
from marshlight.matter.water import solubility_mol_m3_kpa
from published.harness import Check

SANDER = "Sander 2015 constants, equilibrium, worked by hand"
COMPUTED = "computed with reference library"


def selectivity(t: float) -> float:
    return solubility_mol_m3_kpa("CO2", t) / solubility_mol_m3_kpa("CH4", t)


CHECKS = [
    Check(
        "water at 10 degC, 1.013 bar, m3",
        SANDER,
        0.871,
        lambda: scrub(0.6, temperature_c=10.0).least_water_m3,
        0.05,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "water at 10 degC, 9 bar, m3",
        SANDER,
        0.0981,
        lambda: scrub(0.6, temperature_c=10.0, pressure_kpa=900.0).least_water_m3,
        0.05,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "methane dissolved at 10 degC, %",
        SANDER,
        3.7,
        lambda: 100 * scrub(0.6, temperature_c=10.0).methane_lost,
        0.2,
        status=COMPUTED,
    ),
    Check(
        "methane dissolved at 25 degC, %",
        SANDER,
        4.2,
        lambda: 100 * scrub(0.6, temperature_c=25.0).methane_lost,
        0.2,
        status=COMPUTED,
    ),
    Check(
        "carbon dioxide over methane at 25 degC",
        SANDER,
        23.6,
        lambda: selectivity(25.0),
        0.05,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "carbon dioxide over methane at 10 degC",
        SANDER,
        27.2,
        lambda: selectivity(10.0),
        0.05,
        relative=True,
        status=COMPUTED,
    ),
]
