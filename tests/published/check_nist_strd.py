"""NIST StRD certified non-linear regressions, through marshlight's own engine.

Source: NIST/ITL Statistical Reference Datasets (public domain), certified to 11
digits. Asked of us: parameters to 6 digits, standard deviations to 1e-4, residual
sums of squares to 1e-8. Each set runs from both of its official starts.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from marshlight.process.fit import Fit, fit_curve
from marshlight.process.least_squares import Solution, solve
from published.harness import Check

DATA = Path(__file__).parent / "data" / "nist"
SOURCE = "NIST StRD {} (certified)"


@dataclass(frozen=True)
class Certified:
    """A NIST file: data, official starts, certified parameters, deviations and sum of squares."""

    x: np.ndarray
    y: np.ndarray
    starts: tuple[np.ndarray, np.ndarray]
    parameters: np.ndarray
    deviations: np.ndarray
    rss: float


@cache
def read(name: str) -> Certified:
    """Read one file in NIST's own layout."""
    lines = (DATA / f"{name}.dat").read_text(encoding="ascii").splitlines()
    table = [line.split("=")[1].split() for line in lines if line.strip().startswith("b")
             and "=" in line and len(line.split("=")[1].split()) == 4]  # fmt: skip
    numbers = np.array(table, dtype=float)
    rss = next(float(line.split(":")[1]) for line in lines if "Residual Sum of Squares" in line)
    first = max(i for i, line in enumerate(lines) if line.startswith("Data:")) + 1
    rows = np.array([line.split() for line in lines[first:] if line.strip()], dtype=float)
    return Certified(
        rows[:, 1], rows[:, 0], (numbers[:, 0], numbers[:, 1]), numbers[:, 2], numbers[:, 3], rss
    )


def saturating(x: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """b1 (1 - exp(-b2 x)) and its Jacobian."""
    e = np.exp(-b[1] * x)
    return b[0] * (1 - e), np.column_stack([1 - e, b[0] * x * e])


def logistic(x: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """b1 / (1 + exp(b2 - b3 x)) and its Jacobian."""
    e = np.exp(np.clip(b[1] - b[2] * x, -700, 700))
    level = 1 / (1 + e)
    bend = b[0] * e * level**2
    return b[0] * level, np.column_stack([level, -bend, bend * x])


def richards(x: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """b1 / (1 + exp(b2 - b3 x))^(1/b4) and its Jacobian."""
    e = np.exp(np.clip(b[1] - b[2] * x, -700, 700))
    value = b[0] * np.exp(-np.log1p(e) / b[3])
    bend = value * e / (1 + e) / b[3]
    return value, np.column_stack([value / b[0], -bend, bend * x, value * np.log1p(e) / b[3] ** 2])


def two_exponentials(x: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """b1 + b2 exp(-x b4) + b3 exp(-x b5) and its Jacobian."""
    p, q = np.exp(-x * b[3]), np.exp(-x * b[4])
    slopes = np.column_stack([np.ones_like(x), p, q, -b[1] * x * p, -b[2] * x * q])
    return b[0] + b[1] * p + b[2] * q, slopes


MODELS: dict[str, Callable[[np.ndarray, np.ndarray], tuple[np.ndarray, np.ndarray]]] = {
    "BoxBOD": saturating,
    "Misra1a": saturating,
    "Rat42": logistic,
    "Rat43": richards,
}

MGH17_RESPONSE = """
    0.844 0.908 0.932 0.936 0.925 0.908 0.881 0.850 0.818 0.784 0.751
    0.718 0.685 0.658 0.628 0.603 0.580 0.558 0.538 0.522 0.506 0.490
    0.478 0.467 0.457 0.448 0.438 0.431 0.424 0.420 0.414 0.411 0.406
"""
MGH17 = Certified(
    x=np.arange(0.0, 330.0, 10.0),
    y=np.array(MGH17_RESPONSE.split(), dtype=float),
    starts=(np.array([0.5, 1.5, -1, 0.01, 0.02]),) * 2,
    parameters=np.array(
        [0.37541005211, 1.9358469127, -1.4646871366, 0.012867534640, 0.022122699662]
    ),
    deviations=np.array([]),
    rss=5.4648946975e-05,
)


@cache
def run(name: str, start: int) -> Solution:
    """Solve one set from one official start, nothing else given."""
    data = MGH17 if name == "MGH17" else read(name)
    model = two_exponentials if name == "MGH17" else MODELS[name]
    scales = ["linear" if b < 0 else "log" for b in data.starts[start]]
    size = len(scales)
    wide = np.array([1e-12 if s == "log" else -1e6 for s in scales])
    return solve(
        lambda b: data.y - model(data.x, b)[0],
        lambda b: -model(data.x, b)[1],
        [data.starts[start]],
        scales=scales,
        low=wide,
        high=np.full(size, 1e6),
    )


@cache
def own_start(name: str, curve: str) -> Fit:
    """Fit through the front door, from our own starts."""
    data = read(name)
    return fit_curve(data.x, data.y, None, curve=curve, wander=0.0)


def _rows_for(name: str, start: int) -> list[Check]:
    data = MGH17 if name == "MGH17" else read(name)
    where = f"{name} start {start + 1 if name != 'MGH17' else 2}"
    source = SOURCE.format(name)
    spare = data.x.size - data.parameters.size
    rows = [
        Check(
            f"{where}: b{i + 1}", source, float(b),
            lambda i=i: float(run(name, start).parameters[i]), 1e-6, relative=True,
        )
        for i, b in enumerate(data.parameters)
    ]  # fmt: skip
    rows += [
        Check(
            f"{where}: sd of b{i + 1}", source, float(sd),
            lambda i=i: float(run(name, start).standard_deviations(spare)[i]), 1e-4, relative=True,
        )
        for i, sd in enumerate(data.deviations)
    ]  # fmt: skip
    rows.append(
        Check(f"{where}: residual sum of squares", source, data.rss,
              lambda: run(name, start).rss, 1e-8, relative=True)
    )  # fmt: skip
    return rows


def _own_rows(name: str) -> list[Check]:
    data, source = read(name), SOURCE.format(name)
    rows = []
    for i, key in enumerate(("ultimate", "rate")):
        rows += [
            Check(f"{name} as a gas curve: {key}", source, float(data.parameters[i]),
                  lambda key=key: own_start(name, "first_order").estimates[key].value,
                  1e-6, relative=True),
            Check(f"{name} as a gas curve: sd of {key}", source, float(data.deviations[i]),
                  lambda key=key: own_start(name, "first_order").estimates[key].u,
                  1e-4, relative=True),
        ]  # fmt: skip
    return rows


def _logistic_rows() -> list[Check]:
    b = read("Rat42").parameters
    source = SOURCE.format("Rat42") + ", re-parameterised exactly"
    expected = {"ultimate": b[0], "max_rate": b[0] * b[2] / 4, "lag": (b[1] - 2) / b[2]}
    return [
        Check(f"Rat42 as modified logistic: {key}", source, float(value),
              lambda key=key: own_start("Rat42", "logistic").estimates[key].value,
              1e-6, relative=True)
        for key, value in expected.items()
    ]  # fmt: skip


CHECKS: list[Check] = [
    *(row for name in MODELS for start in (0, 1) for row in _rows_for(name, start)),
    *_rows_for("MGH17", 0),
    *_own_rows("BoxBOD"),
    *_own_rows("Misra1a"),
    *_logistic_rows(),
]
