"""The published acceptance criteria at their edges, and the rule for stopping."""

import numpy as np

from marshlight.decide.trial import Bottle, criteria, inoculum_gas, potential, stopping
from published.harness import Check

REQUIREMENTS = (
    "Holliger et al. 2020, Standard BMP Methods doc 100 v1.9: control 340 to 395 NmL/g VS, "
    "relative standard deviation no more than 6 %, three bottles or more"
)
STOPPING = (
    "Holliger et al. 2020, Standard BMP Methods doc 100 v1.9: 1 % of net cumulative for 3 days, "
    "applied to an exact first-order curve read daily (own arithmetic outside this program)"
)


def judged(key: str, mean_nml: float, *, rsd: float = 0.01, n: int = 3) -> float:
    """Give 1 where a control of this mean and scatter meets the criterion, else 0."""
    day = np.array([30.0])
    blanks = [
        Bottle(f"b{i}", "blank", "", 0.3, 0.0, day, np.array([6e-4])) for i in range(max(n, 2))
    ]
    # Values with exactly this mean and standard deviation.
    step = np.arange(n) - (n - 1) / 2.0
    spread = step / (np.std(step, ddof=1) if n > 1 else 1.0)
    values = mean_nml * (1.0 + rsd * spread) * 1e-3
    bottles = [
        Bottle(f"c{i}", "control", "cellulose", 0.3, 3e-3, day, np.array([6e-4 + v * 3e-3]))
        for i, v in enumerate(values)
    ]
    inoculum = inoculum_gas(blanks, 30.0)
    lines = criteria([*blanks, *bottles], inoculum, [potential(bottles, inoculum, 30.0)], [])
    return float(next(c.met for c in lines if c.key == key) is True)


def stops_on(rate: float, limit: float) -> float:
    t = np.arange(1.0, 90.0)
    return stopping(t, 1.0 - np.exp(-rate * t), rate_per_d=limit).met_on or float("nan")


CHECKS = [
    *(
        Check(f"control of {mean:g} NmL/g VS accepted", REQUIREMENTS, wanted,
              lambda m=mean: judged("control_mean", m), 0.0)
        for mean, wanted in ((339.9, 0), (340.0, 1), (395.0, 1), (395.1, 0))
    ),
    *(
        Check(f"control scatter of {rsd * 100:g} % accepted", REQUIREMENTS, wanted,
              lambda r=rsd: judged("control_scatter", 360.0, rsd=r), 0.0)
        for rsd, wanted in ((0.060, 1), (0.061, 0))
    ),
    *(
        Check(f"{n} bottles accepted", REQUIREMENTS, wanted,
              lambda n=n: judged("replicates", 360.0, n=n), 0.0)
        for n, wanted in ((2, 0), (3, 1))
    ),
    *(
        Check(f"day the rule is met, {k:g} per day, {limit * 100:g} %", STOPPING, day,
              lambda k=k, m=limit: stops_on(k, m), 0.0, status="computed with reference library")
        for k, one, half in (
            (0.05, 39, 51), (0.10, 27, 33), (0.20, 18, 22), (0.30, 14, 17), (0.50, 11, 12),
        )
        for limit, day in ((0.01, one), (0.005, half))
    ),
]  # fmt: skip
