"""Synthetic trials with declared scatter, for tests and simulation studies; never evidence."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.trial import Bottle

Floats = NDArray[np.float64]
DAYS = np.array(
    [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 21, 24, 27, 30, 33, 36], dtype=float
)


@dataclass(frozen=True)
class Made:
    """One kind of bottle: true potential [m3/kg VS], rate [1/d], VS weighed in [kg]."""

    name: str
    role: str
    potential: float
    rate: float = 0.25
    vs_kg: float = 3.0e-3


USUAL = (
    Made("cellulose", "control", 0.365, 0.3),
    Made("bread", "sample", 0.430, 0.4),
    Made("pomace", "sample", 0.300, 0.2),
    Made("whey", "sample", 0.380, 0.5),
)


def made_trial(
    rng: np.random.Generator,
    *,
    kinds: tuple[Made, ...] = USUAL,
    n: int = 3,
    blanks: int = 3,
    scatter: float = 0.03,
    blank_scatter: float = 0.04,
    reading: float = 0.002,
) -> list[Bottle]:
    """Make a trial: relative scatter of bottles and blanks, and reading noise of each interval."""
    found = []
    for i in range(blanks):
        own = 2.0e-3 * (1.0 + rng.normal(0.0, blank_scatter))
        found.append(
            _bottle(rng, f"blank {i + 1}", Made("", "blank", 0.0, 0.08, 0.0), own, reading)
        )
    for kind in kinds:
        for i in range(n):
            whole = kind.potential * (1.0 + rng.normal(0.0, scatter))
            own = replace(kind, potential=whole)
            found.append(_bottle(rng, f"{kind.name} {i + 1}", own, 2.0e-3, reading))
    return found


def _bottle(
    rng: np.random.Generator, label: str, kind: Made, inoculum_gas: float, reading: float
) -> Bottle:
    inoculum = 0.3 * (1.0 + rng.normal(0.0, 0.001))
    gas = inoculum * inoculum_gas * -np.expm1(-0.08 * DAYS)
    gas = gas + kind.vs_kg * kind.potential * -np.expm1(-kind.rate * DAYS)
    steps = np.diff(gas, prepend=0.0) * (1.0 + rng.normal(0.0, reading, DAYS.size))
    return Bottle(
        label, kind.role, kind.name, inoculum, kind.vs_kg, DAYS, np.cumsum(steps),
        fresh_kg=kind.vs_kg * 5.0, inoculum_vs_kg=inoculum * 0.02,
    )  # fmt: skip


def leaking(bottle: Bottle, *, since: float, keeps: float) -> Bottle:
    """Let a share of a bottle's gas escape from a day on."""
    steps = np.diff(bottle.methane_m3, prepend=0.0) * np.where(bottle.day > since, keeps, 1.0)
    return replace(bottle, methane_m3=np.cumsum(steps))


def exchanged(bottles: list[Bottle], one: str, two: str) -> list[Bottle]:
    """Write two bottles' gas down under each other's label."""
    gas = {b.label: b.methane_m3 for b in bottles}
    other = {one: two, two: one}
    return [replace(b, methane_m3=gas[other.get(b.label, b.label)]) for b in bottles]
