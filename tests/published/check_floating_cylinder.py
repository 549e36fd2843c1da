"""Pressure under floating cylinders and in displacement columns: hydrostatics."""

import math

from marshlight.apparatus import DisplacementColumn, FloatingCylinder
from marshlight.matter.gas import dry_normal_factor
from marshlight.matter.water import BRINE, FRESH_WATER
from published.harness import Check

SOURCE = "Hydrostatics, as in Sasse 1988, Biogas Plants, GTZ/GATE, ch. 5.6; IAPWS water density"
BRINE_SOURCE = "Hydrostatics with brine of 1197 kg/m3 (from memory)"
COMPUTED = "computed with reference library"
DRUM = {"bore_m": 0.600, "mass_kg": 20.0, "travel_m": 0.5}
# 1.1310 L displaced by 0.30 m of 2 mm wall, thin-wall section
THIN_WALL = (math.sqrt(0.600**2 + 4.0 * 1.1310e-3 / (math.pi * 0.30)) - 0.600) / 2.0


def inverted() -> float:
    column = DisplacementColumn(bore_m=0.05, height_m=0.5, top_above_bath_m=0.22)
    pressure = 101.325 + column.gauge_pressure_kpa(0.10, 20.0)
    return dry_normal_factor(20.0, pressure)


def drum_gas() -> float:
    gauge = FloatingCylinder(**DRUM).gauge_pressure_kpa(0.2)
    return 100.0 * dry_normal_factor(25.0, 101.325 + gauge)


def head(liquid_is_brine: bool) -> float:
    column = DisplacementColumn(
        bore_m=0.05,
        height_m=0.5,
        top_above_bath_m=0.0,
        liquid=BRINE if liquid_is_brine else FRESH_WATER,
    )
    return column.gauge_pressure_kpa(0.10, 20.0)


CHECKS = [
    Check(
        "drum of 20 kg on 0.600 m bore, kPa",
        SOURCE,
        0.69368,
        lambda: FloatingCylinder(**DRUM).gauge_pressure_kpa(0.2),
        1e-5,
        status=COMPUTED,
    ),
    Check(
        "the same with 0.30 m of 2 mm wall in the water, kPa",
        SOURCE,
        0.65452,
        lambda: FloatingCylinder(**DRUM, wall_m=THIN_WALL, skirt_m=0.5).gauge_pressure_kpa(0.2),
        2e-5,
        status=COMPUTED,
    ),
    Check(
        "the same drum with 10 kg of weights, kPa",
        SOURCE,
        1.0405,
        lambda: FloatingCylinder(bore_m=0.6, mass_kg=30.0, travel_m=0.5).gauge_pressure_kpa(0.2),
        5e-5,
        status=COMPUTED,
    ),
    Check("100 L under the drum at 25 degC, NL", SOURCE, 89.376, drum_gas, 5e-4, status=COMPUTED),
    Check(
        "gas-side water 12 cm higher at 20 degC, dry normal factor",
        SOURCE,
        0.89946,
        inverted,
        1e-5,
        status=COMPUTED,
    ),
    Check(
        "head of 10 cm water at 20 degC, kPa",
        SOURCE,
        0.97890,
        lambda: head(False),
        5e-5,
        status=COMPUTED,
    ),
    Check(
        "head of 10 cm saturated brine, kPa",
        BRINE_SOURCE,
        1.1739,
        lambda: head(True),
        1e-4,
        status="from memory",
    ),
]
