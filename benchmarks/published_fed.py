"""The published fed plant: daily gas forecast from its first half, feeds of the second half known.

Thirty days serve as feed history only; the next sixty are fitted, the last sixty scored. Feeding in
the scored days is taken as planned and kept, as a keeper knows what he will feed.
"""

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.scoring import Bands
from numpy.typing import NDArray

from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_factor

Floats = NDArray[np.float64]
FILE = Path(__file__).parents[1] / "examples" / "published" / "schroer2024_muscatine_2020.csv"
GALLON_M3 = 3.785411784e-3
CUBIC_FOOT_M3 = 0.028316846592
HISTORY_D = 30
KNOWN_D = 90
# Biogas from VS in the end, dry normal [m3/kg VS], with half-widths taken as two u. Sludge: library
# material sewage_sludge (0.28, 0.20 to 0.36 m3 CH4/kg VS) over 0.62 methane. Hauled waste: unknown
# food-industry waste and grease, library range of such wastes, 0.25 to 0.70 m3 CH4/kg VS.
SLUDGE = Estimate(0.28 / 0.62, 0.04 / 0.62)
WASTE = Estimate(0.45 / 0.62, 0.11 / 0.62)
FEEDS = (
    ("thickened sludge fed (gal)", "thickened sludge VS (%)", SLUDGE),
    ("primary sludge fed (gal)", "primary sludge VS (%)", SLUDGE),
    ("high-strength waste fed (gal)", "high-strength waste VS (%)", WASTE),
)


@dataclass(frozen=True)
class Plant:
    """Days, gas of each day [m3 dry normal], and what each day's feed gives in the end [m3]."""

    day: Floats
    gas_m3: Floats
    ultimate_m3: Floats
    u_ultimate_m3: Floats


def plant() -> Plant:
    """Read the plant's file, carrying an analysis on to the days without one."""
    with FILE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    warm = np.array([_mean(r, "digester 1 temperature (degF)", "digester 2 temperature (degF)")
                     for r in rows])  # fmt: skip
    moist = np.array([float(r["biogas, mean of the day (ft3/min)"]) for r in rows]) * 1440.0
    # The reference state of the flow isn't given: wet, at the digester's temperature, 101.325 kPa.
    gas = moist * CUBIC_FOOT_M3 * dry_normal_factor((warm - 32.0) / 1.8, 101.325)
    ultimate, doubt = np.zeros(len(rows)), np.zeros(len(rows))
    for fed, share, potential in FEEDS:
        vs = np.array(_carried([r[share] for r in rows])) / 100.0
        kilograms = np.array([float(r[fed]) for r in rows]) * GALLON_M3 * 1000.0 * vs
        ultimate += kilograms * potential.value
        doubt += (kilograms * potential.u) ** 2
    return Plant(np.arange(len(rows), dtype=float), gas, ultimate, np.sqrt(doubt))


def _mean(row: dict[str, str], *names: str) -> float:
    return float(np.mean([float(row[name]) for name in names if row[name]]))


def _carried(cells: list[str]) -> list[float]:
    held, filled = float(next(c for c in cells if c)), []
    for cell in cells:
        held = float(cell) if cell else held
        filled.append(held)
    return filled


def last_week(data: Plant) -> Bands:
    """Baseline: each day gives the mean of the last known week, give or take its own spread."""
    known = data.gas_m3[HISTORY_D:KNOWN_D]
    later = data.day.size - KNOWN_D
    spread = float(np.std(known, ddof=1))
    return _normal(np.full(later, float(np.mean(known[-7:]))), spread)


def gas_per_feed(data: Plant) -> Bands:
    """Baseline: gas of a day proportional to the feed of that day and the two before it."""
    smooth = np.convolve(data.ultimate_m3, np.ones(3) / 3.0)[: data.day.size]
    held = slice(HISTORY_D, KNOWN_D)
    share = float(np.sum(data.gas_m3[held]) / np.sum(smooth[held]))
    spread = float(np.std(data.gas_m3[held] - share * smooth[held], ddof=1))
    return _normal(share * smooth[KNOWN_D:], spread)


def _normal(middle: Floats, spread: float) -> Bands:
    wide50, wide95 = 0.6745 * spread, 1.96 * spread
    return Bands(middle, middle - wide50, middle + wide50, middle - wide95, middle + wide95)
