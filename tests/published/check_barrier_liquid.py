"""Gas dissolved in the water of a holder, against the compiled constants of Sander."""

from marshlight.matter.gas import dissolved_normal_m3_per_m3
from marshlight.matter.water import (
    FRESH_WATER,
    saturation_vapour_pressure_kpa,
    solubility_mol_m3_kpa,
)
from marshlight.measure import co2_loss_upper_m3
from published.harness import Check

SOURCE = "Sander 2015, Atmos. Chem. Phys. 15:4399, two-digit constants, worked over 101.325 kPa"
COMPUTED = "computed with reference library"


def dissolved(gas: str, share: float, celsius: float) -> float:
    partial = share * (101.325 - saturation_vapour_pressure_kpa(celsius))
    solubility = solubility_mol_m3_kpa(gas, celsius)
    return dissolved_normal_m3_per_m3(gas, solubility, partial_pressure_kpa=partial)


def bound() -> float:
    """Return the upper bound of a litre without its allowance for alkalinity."""
    lost = co2_loss_upper_m3(
        FRESH_WATER, 1e-3, co2_share=0.4, temperature_c=25.0, pressure_kpa=101.325
    )
    return 1e3 * lost - FRESH_WATER.alkalinity_mol_m3 * 0.022263


CHECKS = [
    *(
        Check(
            f"{gas} in a litre of water under {100 * share:g} % of it at {celsius:g} degC, NL",
            SOURCE,
            published,
            lambda g=gas, x=share, t=celsius: dissolved(g, x, t),
            0.05,
            relative=True,
            status=COMPUTED,
        )
        for gas, share, celsius, published in (
            ("CO2", 0.4, 25.0, 0.28845),
            ("CO2", 0.4, 20.0, 0.33370),
            ("CH4", 0.6, 25.0, 0.018436),
        )
    ),
    Check(
        "bound of what a litre takes from 40 % CO2 gas at 25 degC, alkalinity aside, NL",
        SOURCE,
        0.28845,
        bound,
        0.05,
        relative=True,
        status=COMPUTED,
    ),
]
