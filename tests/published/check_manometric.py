"""Gas by pressure in a sealed bottle: the printed example of doc 202."""

from marshlight.apparatus import SealedBottle
from marshlight.matter.atmosphere import AirPressure
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import HolderEvent, HolderReading, build_ledger
from published.harness import Check

SOURCE = "Hafner et al. 2020, Standard BMP Methods doc 202 v2.5, example"
AIR = AirPressure(101.3, 0.0, 0.0, "as printed", covers_weather=True)
BOTTLE = SealedBottle(headspace_m3=81.3e-6)
PRE = 81.3 * dry_normal_factor(30.0, 203.1)
POST = 81.3 * dry_normal_factor(30.0, 101.3)


def ledger_ml() -> float:
    ledger = build_ledger(
        BOTTLE,
        [HolderReading(3.0, 101.8, temperature_c=30.0)],
        [HolderEvent(0.0, "started")],
        barometer=AIR,
    )
    return float(ledger.cumulative_m3[-1]) * 1e6


CHECKS = [
    Check("bottle before venting, NmL", SOURCE, 143.8, PRE, 0.05),
    Check("bottle after the venting before, NmL", SOURCE, 70.17, POST, 0.05),
    Check("biogas of the interval through the ledger, NmL", SOURCE, 73.63, ledger_ml, 0.05),
    Check(
        "methane, method 1, NmL",
        SOURCE,
        51.1,
        lambda: ledger_ml() * 0.656 / (0.656 + 0.289),
        0.05,
    ),
    Check("methane, method 2, NmL", SOURCE, 53.1, 0.656 * PRE - 0.587 * POST, 0.05),
]
