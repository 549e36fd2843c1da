"""The published fed plant: daily gas of its second half, forecast from its first half.

Feeding in the second half is taken as planned and kept, as a keeper knows what he will feed. What
stood in the tanks on the first day is taken as digested sewage sludge of the library.
"""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks.scoring import Bands
from numpy.typing import NDArray

from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_factor
from marshlight.process.fed import fit_fed, forecast_fed
from marshlight.process.fed_curve import DrawOff, Feed

Floats = NDArray[np.float64]
FILE = Path(__file__).parents[1] / "examples" / "published" / "schroer2024_muscatine_2020.csv"
GALLON_M3 = 3.785411784e-3
CUBIC_FOOT_M3 = 0.028316846592
TANKS_M3 = 858_000.0 * GALLON_M3
KNOWN_D = 75
_SEED = 20200401
# Biogas from VS in the end, dry normal [m3/kg VS], with half-widths taken as two u. Sludge: library
# material sewage_sludge (0.28, 0.20 to 0.36 m3 CH4/kg VS) over 0.62 methane. Hauled waste: unknown
# food-industry waste and grease, library range of such wastes, 0.25 to 0.70 m3 CH4/kg VS.
SLUDGE = Estimate(0.28 / 0.62, 0.04 / 0.62)
WASTE = Estimate(0.45 / 0.62, 0.11 / 0.62)
# What stands in the tanks: 2.8 % solids, 58 % of them volatile, 0.02 to 0.12 m3 CH4/kg VS.
CONTENTS = Estimate(0.06, 0.025).scaled(TANKS_M3 * 1000.0 * 0.028 * 0.58 / 0.62)
# First-order rate of sewage sludge, library range 0.15 to 0.6 [1/d].
RATE = Estimate(0.25, 0.11)
FEEDS = (
    ("thickened sludge fed (gal)", "thickened sludge VS (%)", SLUDGE),
    ("primary sludge fed (gal)", "primary sludge VS (%)", SLUDGE),
    ("high-strength waste fed (gal)", "high-strength waste VS (%)", WASTE),
)


@dataclass(frozen=True)
class Plant:
    """Gas of each day [m3 dry normal], what its feed gives in the end [m3], share drawn off."""

    gas_m3: Floats
    ultimate_m3: Floats
    u_ultimate_m3: Floats
    drawn_share: Floats

    @property
    def later_gas(self) -> Floats:
        """Gas of the days to forecast [m3]."""
        return self.gas_m3[KNOWN_D:]

    def feeds(self) -> list[Feed]:
        """Give the contents on day 0 and each day's feed at noon."""
        pairs = zip(self.ultimate_m3, self.u_ultimate_m3, strict=True)
        daily = [Feed(i + 0.5, Estimate(float(v), float(u))) for i, (v, u) in enumerate(pairs)]
        return [Feed(0.0, CONTENTS), *daily]

    def draw_offs(self) -> list[DrawOff]:
        """Give what each day's feed pushed out."""
        return [DrawOff(i + 0.5, float(share)) for i, share in enumerate(self.drawn_share)]


def plant() -> Plant:
    """Read the plant's file, carrying an analysis on to the days without one."""
    with FILE.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    warm = np.array([_mean(r, *(f"digester {n} temperature (degF)" for n in (1, 2))) for r in rows])
    moist = np.array([float(r["biogas, mean of the day (ft3/min)"]) for r in rows]) * 1440.0
    # The reference state of the flow isn't given: wet, at the digester's temperature, 101.325 kPa.
    gas = moist * CUBIC_FOOT_M3 * dry_normal_factor((warm - 32.0) / 1.8, 101.325)
    ultimate, doubt, volume = (np.zeros(len(rows)) for _ in range(3))
    for fed, share, potential in FEEDS:
        vs = np.array(carried([r[share] for r in rows])) / 100.0
        fed_m3 = np.array([float(r[fed]) for r in rows]) * GALLON_M3
        volume += fed_m3
        kilograms = fed_m3 * 1000.0 * vs
        ultimate += kilograms * potential.value
        doubt += (kilograms * potential.u) ** 2
    return Plant(gas, ultimate, np.sqrt(doubt), volume / TANKS_M3)


def _mean(row: dict[str, str], *names: str) -> float:
    return float(np.mean([float(row[name]) for name in names if row[name]]))


def carried(cells: list[str]) -> list[float]:
    """Carry an analysis on to the days without one, the first back to the start."""
    held, filled = float(next(c for c in cells if c)), []
    for cell in cells:
        held = float(cell) if cell else held
        filled.append(held)
    return filled


def ours(data: Plant) -> Bands:
    """Fit the first half as the program does, and look ahead with the feeds to come."""
    feeds, drawn = data.feeds(), data.draw_offs()
    known = np.arange(1.0, KNOWN_D + 1.0)
    fit = fit_fed(
        feeds[: KNOWN_D + 1],
        known,
        np.cumsum(data.gas_m3[:KNOWN_D]),
        None,
        rate_per_d=RATE,
        draw_offs=drawn[:KNOWN_D],
    )
    band = forecast_fed(
        fit,
        np.arange(KNOWN_D, data.gas_m3.size) + 1.0,
        rng=np.random.default_rng(_SEED),
        planned=feeds[KNOWN_D + 1 :],
        planned_draw_offs=drawn[KNOWN_D:],
    ).daily
    return Bands(band.median, band.low50, band.high50, band.low95, band.high95)


def last_week(data: Plant) -> Bands:
    """Baseline: each day gives the mean of the last known week, give or take the days' spread."""
    known = data.gas_m3[:KNOWN_D]
    middle = np.full(data.later_gas.size, float(np.mean(known[-7:])))
    return _normal(middle, float(np.std(known, ddof=1)))


def gas_per_feed(data: Plant) -> Bands:
    """Baseline: gas of a day in proportion to the feed of that day and the two before it."""
    smooth = np.convolve(data.ultimate_m3, np.ones(3) / 3.0)[: data.gas_m3.size]
    known = slice(3, KNOWN_D)
    share = float(np.sum(data.gas_m3[known]) / np.sum(smooth[known]))
    spread = float(np.std(data.gas_m3[known] - share * smooth[known], ddof=1))
    return _normal(share * smooth[KNOWN_D:], spread)


def _normal(middle: Floats, spread: float) -> Bands:
    wide50, wide95 = 0.6745 * spread, 1.96 * spread
    return Bands(middle, middle - wide50, middle + wide50, middle - wide95, middle + wide95)


METHODS: dict[str, Callable[[Plant], Bands]] = {
    "ours": ours,
    "the last week goes on": last_week,
    "gas in proportion to three days' feed": gas_per_feed,
}
