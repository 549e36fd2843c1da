"""Potential from bottles and blanks: doc 200's equations on a worked example of our own."""

from functools import cache

import numpy as np

from marshlight.decide.trial import Bottle, InoculumGas, Potential, inoculum_gas, potential
from published.harness import Check

SOURCE = (
    "Hafner et al. 2020, Standard BMP Methods doc 200 v1.7, eqs 1-5 and standard deviation of a "
    "potential; worked example of our own, computed outside this program"
)
STATUS = "computed with reference library"
BLANKS = [(300.2, 612.4), (299.6, 588.9), (300.5, 640.1)]
# inoculum g, VS g, methane NmL, and the relative standard error of VS
CELLULOSE = ([(300.1, 3.002, 1689.3), (299.8, 2.995, 1702.8), (300.3, 3.010, 1668.5)], 0.005)
SUBSTRATE = ([(299.9, 3.051, 1402.7), (300.4, 3.048, 1378.2), (300.0, 3.055, 1441.9)], 0.010)


def _bottle(label: str, role: str, masses: tuple[float, float], ml: float, u: float) -> Bottle:
    inoculum, vs = masses
    return Bottle(
        label, role, role, inoculum / 1e3, vs / 1e3, np.array([30.0]), np.array([ml * 1e-6]),
        vs_relative_u=u,
    )  # fmt: skip


@cache
def blanks() -> InoculumGas:
    rows = [_bottle(f"b{i}", "blank", (m, 0.0), ml, 0.0) for i, (m, ml) in enumerate(BLANKS)]
    return inoculum_gas(rows, 30.0)


@cache
def worked(name: str, with_vs: bool) -> Potential:
    rows, u = CELLULOSE if name == "control" else SUBSTRATE
    made = [
        _bottle(f"{name}{i}", name, (m, vs), ml, u if with_vs else 0.0)
        for i, (m, vs, ml) in enumerate(rows)
    ]
    return potential(made, blanks(), 30.0)


def _row(subject: str, published: float, ours: object, digits: float) -> Check:
    return Check(subject, SOURCE, published, ours, digits, status=STATUS)  # type: ignore[arg-type]


# name, with VS: mean, sd, s1, s2, s of the mean, s of the potential, relative %, df
PRINTED = {
    ("control", False): (357.45, 6.8109, 3.9322, 4.7532, 6.1689, 10.685, 2.989, 3.864),
    ("sample", False): (260.15, 10.347, 5.9740, 4.6774, 7.5873, 13.142, 5.052, 3.782),
}
NAMES = ("mean", "sd", "s1", "s2", "standard_error", "s_bmp")
CHECKS = [
    _row("inoculum's methane, NmL/g", 2.0452, lambda: blanks().mean * 1e3, 5e-5),
    _row("its sd, NmL/g", 0.082374, lambda: blanks().sd * 1e3, 5e-7),
    _row("its standard error, NmL/g", 0.047559, lambda: blanks().standard_error * 1e3, 5e-7),
    *(
        _row(
            f"{name} {part}, NmL/g VS",
            values[i],
            lambda n=name, w=with_vs, a=part: getattr(worked(n, w), a) * 1e3,
            0.6 * 10 ** (np.floor(np.log10(values[i])) - 4),
        )
        for (name, with_vs), values in PRINTED.items()
        for i, part in enumerate(NAMES)
    ),
    *(
        _row(f"{n} relative sd, %", v[6], lambda n=n: worked(n, False).rsd * 100, 6e-4)
        for (n, _), v in PRINTED.items()
    ),
    *(
        _row(f"{n} degrees of freedom", v[7], lambda n=n: worked(n, False).df, 6e-4)
        for (n, _), v in PRINTED.items()
    ),
    _row("control half-width, 95 %", 17.368, lambda: _half("control"), 1e-3),
    _row("sample half-width, 95 %", 21.553, lambda: _half("sample"), 1e-3),
    _row("control s3", 1.7875, lambda: worked("control", True).s3 * 1e3, 6e-5),
    _row("control sd with VS", 11.124, lambda: worked("control", True).s_bmp * 1e3, 6e-4),
    _row("control relative sd with VS, %", 3.112, lambda: worked("control", True).rsd * 100, 6e-4),
    _row("sample s3", 2.6029, lambda: worked("sample", True).s3 * 1e3, 6e-5),
    _row("sample sd with VS", 13.893, lambda: worked("sample", True).s_bmp * 1e3, 6e-4),
    _row("sample relative sd with VS, %", 5.341, lambda: worked("sample", True).rsd * 100, 6e-4),
    _row(
        "share of the control's gas that is the inoculum's, %",
        36.4,
        lambda: (
            100 * np.mean([b.inoculum_m3 / b.gross_m3 for b in worked("control", True).bottles])
        ),
        0.06,
    ),
]


def _half(name: str) -> float:
    found = worked(name, False)
    return (found.high - found.low) / 2.0 * 1e3
