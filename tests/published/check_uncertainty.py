"""Doubt carried through the normalisation: the law of propagation on a worked case."""

from marshlight.apparatus import Bag
from marshlight.matter.atmosphere import AirPressure
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import HolderReading, Instruments, build_ledger
from published.harness import Check

SOURCE = (
    "JCGM 100:2008 section 5.1 on the equation of Standard BMP Methods doc 201, "
    "25 degC, 100 kPa, u(V) 1 %, u(T) 1 K, u(p) 0.3 kPa"
)


def relative_doubt() -> float:
    """Return the doubt of half a bag in percent, that of the one before taken off."""
    bag = Bag(capacity_m3=1.0, u_fill=0.005, u_capacity_relative=0.0, u_gauge_kpa=0.0)
    tools = Instruments(1.0, 0.0, 0.0, 0.0, u_pressure_kpa=0.3, u_pressure_shared_kpa=0.0)
    air = AirPressure(100.0, 0.0, 0.3, "as stated", covers_weather=True)
    readings = [HolderReading(float(day), 0.5, temperature_c=25.0) for day in range(2)]
    ledger = build_ledger(bag, readings, barometer=air, instruments=tools)
    both = float(ledger.interval_u_m3[-1])
    return 100.0 * both / 2.0**0.5 / (0.5 * dry_normal_factor(25.0, 100.0))


CHECKS = [
    Check(
        "relative doubt of a normalised volume, %",
        SOURCE,
        1.174,
        relative_doubt,
        5e-4,
        status="computed with reference library",
    )
]
