"""Opening a run: a ledger of 50,000 holder readings, and one methane share."""

from collections.abc import Iterable

import numpy as np
from benchmarks.harness import BenchRow, against, seconds

from marshlight.apparatus import FloatingCylinder
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import pressure_from_altitude
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import (
    Co2Absorption,
    FlameTest,
    Headspace,
    HolderEvent,
    HolderReading,
    build_ledger,
    methane_share,
)

COUNT = 50_000
DRUM = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25)
AIR = pressure_from_altitude(640.0)
SPACE = Headspace(Estimate(0.008, 0.0003), Estimate(36.0, 1.0))


def log() -> tuple[list[HolderReading], list[HolderEvent]]:
    """Invent a run of a hundred days whose holder is emptied each time it nears its stop."""
    rng = np.random.default_rng(1)
    day = np.linspace(0.01, 100.0, COUNT)
    level = np.arange(COUNT) % 300 * 0.0008 + np.abs(rng.normal(0.0, 0.001, COUNT))
    room, air = rng.normal(18.0, 1.0, COUNT), rng.normal(94.0, 0.1, COUNT)
    rows = zip(day, level, room, air, strict=True)
    readings = [
        HolderReading(float(d), float(x), temperature_c=float(t), air_pressure_kpa=float(p))
        for d, x, t, p in rows
    ]
    emptied = [HolderEvent(float(day[i]), "emptied") for i in range(299, COUNT, 300)]
    return readings, [HolderEvent(0.0, "started"), *emptied]


def bare_sum(readings: list[HolderReading]) -> float:
    """Normalise each level one by one and add the rises: no doubt, no events, no head-space."""
    total, last = 0.0, 0.0
    for reading in readings:
        assert reading.temperature_c is not None
        assert reading.air_pressure_kpa is not None
        gauge = DRUM.gauge_pressure_kpa(reading.value)
        factor = dry_normal_factor(reading.temperature_c, reading.air_pressure_kpa + gauge)
        now = DRUM.area_m2 * reading.value * factor
        total += max(now - last, 0.0)
        last = now
    return total


def rows() -> Iterable[BenchRow]:
    """Time the ledger against a plain loop, and one methane share."""
    readings, events = log()
    yield against(
        f"gas ledger of {COUNT} readings (baseline: a plain loop without uncertainty)",
        lambda: build_ledger(DRUM, readings, events, barometer=AIR, headspace=SPACE),
        lambda: bare_sum(readings),
        repeats=3,
        target="under 500 ms",
    )
    evidence = [FlameTest("holds"), Co2Absorption(Estimate(0.39, 0.012))]
    yield BenchRow(
        "methane share from a flame and a syringe",
        1e3 * seconds(lambda: methane_share(evidence)),
        "ms",
        target="under 20 ms",
    )
