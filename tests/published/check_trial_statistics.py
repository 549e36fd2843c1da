"""Differences between groups, on public data with known answers."""

from functools import cache

from marshlight.decide.trial import (
    Contrast,
    Group,
    bottles_needed,
    compare_pairs,
    compare_with_control,
    pooled_power,
    smallest_difference,
    welch,
)
from published.harness import Check

SLEEP = "Student 1908, sleep data, as in R; statistics as printed by R's t test"
SCIPY_R = "R t.test values kept in SciPy's test suite"
SAS = "SAS and Matlab values kept in SciPy's test suite, three groups of five"
SAS_UNEQUAL = "SAS and Matlab values kept in SciPy's test suite, groups of 8, 5 and 5"
GROWTH = "R data set PlantGrowth (Dobson 1983); Tukey interval as printed in a published lesson"
DUNNETT = "Dunnett 1955, blood count example, as in SciPy's documentation and R multcomp"
POWER = "R, power of the t test, documentation example and test values"

ONE = Group("drug 1", (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0))
TWO = Group("drug 2", (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4))
FIRST = (24.5, 23.5, 26.4, 27.1, 29.9)
LARGER = (24.5, 23.5, 26.28, 26.4, 27.1, 29.9, 30.1, 30.1)
SECOND, THIRD = (28.4, 34.2, 29.5, 32.2, 30.1), (26.1, 28.3, 24.3, 26.2, 27.8)
CTRL = (4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14)
TRT1 = (4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69)
TRT2 = (6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26)
CONTROL = Group("control", (7.40, 8.50, 7.20, 8.24, 9.84, 8.32))
DRUGS = (
    Group("A", (9.76, 8.80, 7.68, 9.36)),
    Group("B", (12.80, 9.68, 12.16, 9.20, 10.55)),
)


@cache
def _tukey(first: tuple[float, ...], names: str) -> dict[frozenset[str], Contrast]:
    groups = {
        "equal": [("1", first), ("2", SECOND), ("3", THIRD)],
        "plants": [("ctrl", CTRL), ("trt1", TRT1), ("trt2", TRT2)],
    }[names]
    found = compare_pairs([Group(n, v) for n, v in groups], method="tukey")
    return {frozenset((c.a, c.b)): c for c in found}


@cache
def _dunnett() -> tuple[Contrast, ...]:
    return compare_with_control(DRUGS, CONTROL, method="dunnett")


def _of(first: tuple[float, ...], pair: str, what: str, names: str = "equal") -> float:
    return float(getattr(_tukey(first, names)[frozenset(pair.split("-"))], what))


def _tukey_rows(
    source: str, first: tuple[float, ...], printed: dict[str, tuple[float, ...]]
) -> list[Check]:
    parts = ("difference", "low", "high", "p")
    return [
        Check(
            f"Tukey {pair}, {part}",
            source,
            value,
            lambda p=pair, a=part: _of(first, p, a),
            # SAS prints limits from a quantile of fewer digits than ours.
            6e-6 if part in ("difference", "p") else 5e-5,
        )
        for pair, values in printed.items()
        for part, value in zip(parts, values, strict=True)
    ]


CHECKS = [
    Check("Welch p, sleep", SLEEP, 0.07939, lambda: welch(ONE, TWO).p, 6e-6),
    Check("Welch df, sleep", SLEEP, 17.776, lambda: welch(ONE, TWO).df, 6e-4),
    Check("Welch low, sleep", SLEEP, -3.3655, lambda: welch(ONE, TWO).low, 6e-5),
    Check("Welch high, sleep", SLEEP, 0.20548, lambda: welch(ONE, TWO).high, 6e-6),
    Check(
        "Welch t, sleep",
        SLEEP,
        -1.8608,
        lambda: welch(ONE, TWO).difference / welch(ONE, TWO).standard_error,
        6e-5,
    ),
    Check(
        "Welch p, three against three",
        SCIPY_R,
        0.53619490753127,
        lambda: welch(Group("a", (1.0, 2.0, 3.0)), Group("b", (1.1, 2.9, 4.2))).p,
        1e-12,
    ),
    *_tukey_rows(
        SAS,
        FIRST,
        {
            "2-1": (4.60, 0.95088, 8.24912, 0.014448),
            "2-3": (4.34, 0.69088, 7.98912, 0.020331),
            "3-1": (0.26, -3.38912, 3.90912, 0.98031),
        },
    ),
    *_tukey_rows(
        SAS_UNEQUAL,
        LARGER,
        {
            "2-1": (3.645, 0.26793, 7.02207, 0.033715),
            "2-3": (4.34, 0.59348, 8.08652, 0.022590),
        },
    ),
    Check("Tukey 1-3 p, unequal", SAS_UNEQUAL, 0.85572, lambda: _of(LARGER, "1-3", "p"), 6e-6),
    Check(
        "Tukey trt2-trt1, difference",
        GROWTH,
        0.865,
        lambda: _of(CTRL, "trt2-trt1", "difference", "plants"),
        5e-4,
    ),
    Check("Tukey trt2-trt1, p", GROWTH, 0.012, lambda: _of(CTRL, "trt2-trt1", "p", "plants"), 5e-4),
    Check("Dunnett p, A", DUNNETT, 0.62010, lambda: _dunnett()[0].p, 1e-4),
    Check("Dunnett p, B", DUNNETT, 0.00583, lambda: _dunnett()[1].p, 1e-4),
    Check("Dunnett low, A", DUNNETT, -1.2564, lambda: _dunnett()[0].low, 2e-4),
    Check("Dunnett high, A", DUNNETT, 2.5564, lambda: _dunnett()[0].high, 2e-4),
    Check("Dunnett low, B", DUNNETT, 0.8396, lambda: _dunnett()[1].low, 2e-4),
    Check("Dunnett high, B", DUNNETT, 4.4164, lambda: _dunnett()[1].high, 2e-4),
    Check("power, 20 a group, one sd", POWER, 0.8689530, lambda: pooled_power(1.0, 1.0, 20), 6e-7),
    Check("power, 100, 1 of 2.5", POWER, 0.8036475, lambda: pooled_power(1.0, 2.5, 100), 6e-7),
    Check(
        "power, 30 a group, one sd",
        "R pwr value kept in statsmodels' tests",
        0.967708258242517,
        lambda: pooled_power(1.0, 1.0, 30),
        1e-9,
    ),
    Check(
        "power, 20 a group, a tenth of an sd",
        "R pwr value kept in statsmodels' tests",
        0.0609591246541,
        lambda: pooled_power(0.1, 1.0, 20),
        1e-9,
    ),
    *(
        Check(
            f"smallest difference at 80 %, {n} bottles, in sd",
            "inverse of the power of the t test, computed with statsmodels",
            value,
            lambda n=n: smallest_difference(1.0, n, pooled=True),
            6e-5,
            status="computed with reference library",
        )
        for n, value in ((3, 3.0709), (4, 2.3808), (5, 2.0244), (6, 1.7955), (8, 1.5066))
    ),
    Check(
        "bottles for one sd at 90 % (t test: 23)",
        "R, documentation of the power of the t test",
        23,
        lambda: bottles_needed(1.0, 1.0, power=0.9),
        0.5,
    ),
]
