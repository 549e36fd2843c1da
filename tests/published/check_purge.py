"""Filling a gas space of air with biogas: the mixing equation, step by step.

The last rows are labelled "a further 1.25" where they were worked out; their numbers are those of
a further 1.0, which is what is checked.
"""

import math

from marshlight.decide.safety import MODEL, TUBE, Mixture, gas_space_path, purge, turnover_to_oxygen
from published.harness import Check

MIXING = "well-mixed space, x = x0 exp(-tau) + y (1 - exp(-tau)), worked by hand"
POINTS = {
    0.0910: (5.22, 3.48, 19.13),
    0.10: (5.71, 3.81, 18.96),
    0.20: (10.88, 7.25, 17.15),
    0.2260: (12.1, 8.1, 16.7),
    0.50: (23.61, 15.74, 12.71),
    1.0: (37.93, 25.28, 7.71),
    2.0: (51.88, 34.59, 2.84),
}
NAMES = ("methane", "co2", "oxygen")


def after(turnover: float) -> Mixture:
    return gas_space_path([0.0, 1.0], [0.0, turnover], [0.6, 0.6]).last


def poor_first(more: float = 0.0) -> Mixture:
    """Fill with 20/80 gas for half the space, then with 60/40."""
    rows = ([0.0, 1.0, 2.0], [0.0, 0.5, 0.5 + more], [0.2, 0.2, 0.6])
    return gas_space_path(*rows).last


CHECKS = [
    *(
        Check(
            f"60/40 into air, {turnover:g} of the space: {name}, %",
            MIXING,
            value,
            lambda t=turnover, name=name: 100 * float(getattr(after(t), name)),
            0.06 if turnover == 0.2260 else 0.012,
        )
        for turnover, row in POINTS.items()
        for name, value in zip(NAMES, row, strict=True)
    ),
    Check(
        "enters the narrow limits after",
        MIXING,
        0.0910,
        lambda: purge(0.6, boundary=TUBE).enters or 0,
        1e-4,
    ),
    Check(
        "leaves the narrow limits after",
        MIXING,
        0.2260,
        lambda: purge(0.6, boundary=TUBE).leaves or 0,
        1e-4,
    ),
    Check("oxygen at 11.1 % after", MIXING, 0.635, lambda: turnover_to_oxygen(0.111), 1e-3),
    Check("oxygen at 1.0 % after", MIXING, 3.04, lambda: turnover_to_oxygen(0.01), 5e-3),
    Check("oxygen after 5 spaces, %", MIXING, 0.14, lambda: 100 * after(5.0).oxygen, 5e-3),
    Check("20/80 first: methane, %", MIXING, 7.87, lambda: 100 * poor_first().methane, 0.006),
    Check("20/80 first: carbon dioxide, %", MIXING, 31.48, lambda: 100 * poor_first().co2, 0.006),
    Check("20/80 first: oxygen, %", MIXING, 12.71, lambda: 100 * poor_first().oxygen, 0.012),
    *(
        Check(
            f"20/80, the wider nose's {name} after",
            MIXING,
            value,
            lambda i=i: -math.log(1.0 - (MODEL.gas_limits(0.2) or (math.nan, math.nan))[i]),
            5e-4,
        )
        for i, (name, value) in enumerate((("entry", 0.381), ("exit", 0.439)))
    ),
    Check(
        "then 60/40 for 0.25: methane, %",
        MIXING,
        19.40,
        lambda: 100 * poor_first(0.25).methane,
        0.012,
    ),
    Check(
        "then 60/40 for 0.25: carbon dioxide, %",
        MIXING,
        33.36,
        lambda: 100 * poor_first(0.25).co2,
        0.012,
    ),
    Check(
        "then 60/40 for 0.25: oxygen, %", MIXING, 9.90, lambda: 100 * poor_first(0.25).oxygen, 0.012
    ),
    Check(
        "then 60/40 for 1: methane, %",
        MIXING,
        40.82,
        lambda: 100 * poor_first(1.0).methane,
        0.012,
    ),
    Check(
        "then 60/40 for 1: carbon dioxide, %",
        MIXING,
        36.86,
        lambda: 100 * poor_first(1.0).co2,
        0.02,
    ),
    Check("then 60/40 for 1: oxygen, %", MIXING, 4.67, lambda: 100 * poor_first(1.0).oxygen, 0.012),
]
