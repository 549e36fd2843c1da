"""Carbon dioxide by lye in a syringe, with the corrections that field sheets leave out."""

from marshlight.estimate import Estimate
from marshlight.matter.gas import GASES, dry_normal_factor
from marshlight.measure import (
    AlkaliTitration,
    Analyser,
    Co2Absorption,
    MethaneShare,
    absorbed_share,
    methane_share,
)
from published.harness import Check

SOURCE = "Boyle's, Charles's and Dalton's laws with IAPWS SR1-86; 50.0 mL to 30.5 mL at 25 degC"
COMPUTED = "computed with reference library"
SHEET = "Field sheet for carbon dioxide by syringe (anonymous): 3 to 4 mL of 10 mL is 30 to 40 %"
STOICHIOMETRY = "ideal gas law with IAPWS SR1-86; ours uses the real molar volume of CO2"


def share(**changes: float) -> float:
    return absorbed_share(50e-6, 30.5e-6, **({"temperature_c": 25.0} | changes)).value


def share_beside_air() -> MethaneShare:
    absorbed = Co2Absorption(Estimate(0.39, 0.002))
    return methane_share([absorbed, Analyser("O2", 0.012, 0.0005)])


def moles(volume_m3: float) -> float:
    normal = volume_m3 * dry_normal_factor(25.0, 101.325)
    return 0.4 * normal / GASES["CO2"].molar_volume_m3_mol


def found_by_titration() -> float:
    """Titrate what 10 mL left in 20 mL of 0.05 mol/L alkali, by the rule of two indicators."""
    carbon = moles(10e-6)
    first = (0.05e-3 * 20.0 - carbon) / 100.0
    total = (0.05e-3 * 20.0) / 100.0
    return AlkaliTitration(first_m3=first, total_m3=total, acid_mol_m3=100.0).carbon_mol * 1e3


CHECKS = [
    Check("both volumes saturated, levelled", SOURCE, 0.39000, share, 1e-5, status=COMPUTED),
    Check(
        "gas over strong lye, water activity 0.85",
        SOURCE,
        0.38705,
        lambda: share(water_activity_after=0.85),
        2e-5,
        status=COMPUTED,
    ),
    Check(
        "rest read two degrees warmer",
        SOURCE,
        0.39652,
        lambda: share(temperature_after_c=27.0),
        1e-5,
        status=COMPUTED,
    ),
    Check(
        "rest read with 10 cm of suction",
        SOURCE,
        0.39608,
        lambda: share(pressure_after_kpa=101.325 - 0.97890),
        1e-5,
        status=COMPUTED,
    ),
    Check(
        "rest read with 10 cm of suction at 1500 m",
        SOURCE,
        0.39734,
        lambda: share(pressure_kpa=84.556, pressure_after_kpa=84.556 - 0.97890),
        1e-5,
        status=COMPUTED,
    ),
    Check(
        "methane left beside air of 1.2 % oxygen",
        "20.946 % oxygen in air; Dalton's law on the first row",
        0.55271,
        lambda: share_beside_air().methane.value,
        0.002,
        status=COMPUTED,
    ),
    Check(
        "the same without the air",
        "20.946 % oxygen in air; Dalton's law on the first row",
        0.58630,
        lambda: share_beside_air().air_free.value,
        0.002,
        status=COMPUTED,
    ),
    Check(
        "four millilitres of ten",
        SHEET,
        0.40,
        lambda: absorbed_share(10e-6, 6e-6, temperature_c=20.0).value,
        1e-9,
    ),
    Check(
        "CO2 in 10 mL of 40 % gas, mmol",
        STOICHIOMETRY,
        0.15838,
        lambda: moles(10e-6) * 1e3,
        0.007,
        relative=True,
        status=COMPUTED,
    ),
    Check(
        "the same CO2 found back by two indicators, mmol",
        "Warder 1881 rule as in Vogel, 5th ed. 1989 (from memory), on that amount",
        moles(10e-6) * 1e3,
        found_by_titration,
        1e-9,
        status="from memory",
    ),
]
