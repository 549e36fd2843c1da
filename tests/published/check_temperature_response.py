"""The temperature factor against measured rates, other formulas, and practice.

Sources: Yang et al. 2016 (Water Research 102, 464; abstract), Rosso et al. 1993
(formula from memory, arithmetic), Siegrist et al. 2002 (thetas from memory).
"""

from marshlight.process.temperature import cardinal, temperature_factor
from published.harness import Check

YANG = {20: 0.796, 25: 1.294, 30: 1.527, 35: 1.952}
POINTS = {
    (5.0, 37.0, 45.0): {10: 0.0397, 15: 0.1542, 20: 0.3329, 25: 0.5580, 30: 0.7961, 35: 0.9766,
                        40: 0.9202, 42: 0.7292},
    (5.0, 37.0, 50.0): {10: 0.0541, 15: 0.1996, 20: 0.4072, 25: 0.6404, 30: 0.8529, 35: 0.9857,
                        40: 0.9618, 42: 0.8867},
}  # fmt: skip
SIEGRIST = {20: 0.438, 25: 0.577, 30: 0.760, 40: 1.316}


def ratio_to_35(t: float) -> float:
    """Our factor relative to 35 degC."""
    return float(temperature_factor(t) / temperature_factor(35.0))


CHECKS: list[Check] = [
    Check("factor at 38 degC", "definition of the reference", 1.0,
          lambda: float(temperature_factor(38.0)), 1e-12),
    *(
        Check(f"highest rate at {t} degC relative to 35 degC",
              "Yang et al. 2016, Water Research 102, 464 (abstract)", rate / YANG[35],
              lambda t=t: ratio_to_35(float(t)), 0.10)
        for t, rate in YANG.items() if t != 35
    ),
    *(
        Check(f"cardinal model {best} at {t} degC",
              "Rosso et al. 1993, formula from memory, arithmetic", value,
              lambda t=t, b=best: float(cardinal(float(t), *b)), 5.1e-5, status="from memory")
        for best, row in POINTS.items() for t, value in row.items()
    ),
    *(
        Check(f"methane formers at {t} degC relative to 35 degC",
              "Siegrist et al. 2002, theta 0.055, from memory", value,
              lambda t=t: ratio_to_35(float(t)), 0.12, status="from memory")
        for t, value in SIEGRIST.items() if t < 35
    ),
]  # fmt: skip
