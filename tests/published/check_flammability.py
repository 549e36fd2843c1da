"""Limits of methane, carbon dioxide and air: published points and the lines between them.

Out of scope: 16.5 % as the upper limit of one European source, where 17.0 % of another is wider
and is reckoned with; pressure rise and ignition temperature (abstracts only; the tool doesn't
reckon with them); the mine-gas rule O2 = 5 + 7 R and tube oxygen limits of 12.0 to 12.1 %
(looser than the 10.7 % that is reckoned with); the flame-temperature rows are in test_cantera.
"""

from marshlight.apparatus.burner.holding import FLOOR
from marshlight.decide.safety import LEAST_OXYGEN, MODEL, TUBE, WIDEST, Boundary, lower_limit_at
from published.harness import Check

MEMORY = "from memory"
LINES = "straight lines from 5.0 and 15.0 % (Coward & Jones 1952) to the nose"
TUBE_TABLE = {
    1.00: (5.00, 15.00), 0.80: (6.35, 17.22), 0.70: (7.34, 18.60), 0.60: (8.70, 20.22),
    0.50: (10.67, 22.15), 0.40: (13.79, 24.49), 0.30: (19.51, 27.38), 0.25: (24.62, 29.09),
    0.22: (29.20, 30.23),
}  # fmt: skip
MODEL_TABLE = {
    0.60: (8.64, 21.10), 0.50: (10.56, 23.49), 0.40: (13.58, 26.49), 0.30: (19.01, 30.36),
    0.25: (23.76, 32.76), 0.20: (31.69, 35.56), 0.18: (36.58, 36.83),
}  # fmt: skip


def limits(boundary: Boundary, methane: float) -> tuple[float, float]:
    found = boundary.gas_limits(methane)
    return (float("nan"), float("nan")) if found is None else (100 * found[0], 100 * found[1])


def rows(boundary: Boundary, table: dict[float, tuple[float, float]], source: str) -> list[Check]:
    return [
        Check(
            f"{100 * x:.0f} % methane, {end} of it that burns, %",
            source,
            table[x][i],
            lambda x=x, i=i: limits(boundary, x)[i],
            0.006,
            status=MEMORY if boundary is TUBE else "computed with reference library",
        )
        for x in table
        for i, end in enumerate(("least", "most"))
    ]


CHECKS = [
    Check("methane in air, least, %", "Coward & Jones 1952, Bulletin 503", 5.0, 100 * TUBE.lean, 0),
    Check("methane in air, most, %", "Coward & Jones 1952, Bulletin 503", 15.0, 100 * TUBE.rich, 0),
    Check("widest, least, %", "European practice, 4.4 to 16.5 %", 4.4, 100 * WIDEST.lean, 1e-9),
    Check("widest, most, %", "IEC 60079-20-1", 17.0, 100 * WIDEST.rich, 1e-9, status=MEMORY),
    Check(
        "oxygen with carbon dioxide at the nose, %",
        "NFPA 69 and Zabetakis: 14.5 to 14.6",
        14.56,
        100 * TUBE.nose_oxygen,
        0.02,
        status=MEMORY,
    ),
    Check(
        "oxygen at the model's nose, %",
        "Cantera 3.2.0, GRI-Mech 3.0, 1600 K envelope",
        13.22,
        100 * MODEL.nose_oxygen,
        0.02,
        status="computed with reference library",
    ),
    Check(
        "least oxygen reckoned with, %",
        "ASTM E2079-19 note: 10.7 in 20 L, 11.1 in 120 L",
        10.7,
        100 * LEAST_OXYGEN,
        0,
    ),
    Check(
        "poorest gas that burns, tube limits, %",
        LINES,
        21.3,
        100 * TUBE.poorest_gas,
        0.05,
        status=MEMORY,
    ),
    Check(
        "poorest gas that burns, wider nose, %",
        "Cantera 3.2.0, GRI-Mech 3.0, 1600 K envelope",
        17.9,
        100 * MODEL.poorest_gas,
        0.05,
        status="computed with reference library",
    ),
    Check(
        "lower limit at 38 degC, %",
        "Zabetakis 1965",
        4.95,
        100 * lower_limit_at(38.0),
        0.005,
        status=MEMORY,
    ),
    Check(
        "lower limit at 55 degC, %",
        "Zabetakis 1965",
        4.88,
        100 * lower_limit_at(55.0),
        0.005,
        status=MEMORY,
    ),
    Check(
        "gas that can burn somehow, from, % methane",
        "the wider of both envelopes, about 18 %",
        18.0,
        100 * FLOOR,
        0.2,
        status="computed with reference library",
    ),
    *rows(TUBE, TUBE_TABLE, LINES),
    *(
        Check(
            f"wider nose: {check.subject}",
            "lines to the 1600 K nose computed with Cantera 3.2.0",
            check.published,
            check.ours,
            check.tolerance,
            status=check.status,
        )
        for check in rows(MODEL, MODEL_TABLE, "model")
    ),
]
