"""Gas by mass loss: doc 203 with the sign of a mass balance."""

from marshlight.apparatus import MassLoss
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import AirPressure
from marshlight.matter.gas import vapour_carried_kg_m3
from marshlight.measure import HolderReading, build_ledger
from published.harness import Check

SOURCE = (
    "Hafner et al. 2020, Standard BMP Methods doc 203 v1.1, constants and equation, "
    "vapour term with the sign of doc 204 eq. 1"
)
# degC, kPa in the head-space, vapour kg/m3, biogas NmL of 1.000 g at 60 % methane
ROWS = [
    (30.0, 150.0, 2.3487e-2, 803.39),
    (35.0, 101.325, 4.7430e-2, 788.23),
    (35.0, 150.0, 3.1440e-2, 798.29),
]


def lost_ml(celsius: float, kpa: float) -> float:
    scale = MassLoss(exit_temperature_c=celsius, u_mass_kg=1e-5, exit_gauge_kpa=kpa - 100.0)
    ledger = build_ledger(
        scale,
        [HolderReading(0.0, 1.001, temperature_c=20.0), HolderReading(1.0, 1.0)],
        barometer=AirPressure(100.0, 0.0, 0.0, "as printed", covers_weather=True),
        methane_share=Estimate(0.60, 0.01),
    )
    return float(ledger.cumulative_m3[-1]) * 1e6


CHECKS = [
    *(
        Check(
            f"vapour with gas from {t:g} degC, {p:g} kPa, kg/m3",
            SOURCE,
            vapour,
            lambda t=t, p=p: vapour_carried_kg_m3(t, p),
            4e-3,
            relative=True,
            status="computed with reference library",
        )
        for t, p, vapour, _ in ROWS
    ),
    *(
        Check(
            f"biogas of 1.000 g from {t:g} degC, {p:g} kPa, NmL",
            SOURCE,
            volume,
            lambda t=t, p=p: lost_ml(t, p),
            3e-4,
            relative=True,
            status="computed with reference library",
        )
        for t, p, _, volume in ROWS
    ),
]
