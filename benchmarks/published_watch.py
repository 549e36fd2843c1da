"""The published series as logs for the process model, and every method's forecast as draws."""

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks import published_batch as batch
from benchmarks.published_recipe import BOTTLE_M3, SLURRY_C, material_of, setup_row
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import (
    Counted,
    Read,
    RunLog,
    ahead,
    calibrate,
    dry_gas,
    observed_gas,
)
from marshlight.matter import Feedstock
from marshlight.process import CurvePrior, fit_curve
from marshlight.process.curves import curve
from marshlight.process.fit import forecast_members
from marshlight.process.model import Digester, Holder, Liquid, liquid_from_feedstock
from marshlight.process.paths import gas_paths
from marshlight.process.prior import Expectation
from marshlight.process.sampling import draw_parameters

Floats = NDArray[np.float64]
SHARES = (1 / 3, 1 / 2, 2 / 3)
DRAWS = 400
_SEED = 20240917
# An analyser or chromatograph on such samples, standard: our choice.
_U_SHARE = 0.015
# A material that nobody named: this much of its potential, 95 %: our choice, hardly any knowledge.
_ANY_FOOD = (0.15, 2.5)
_ANY_MATERIAL = "food_waste"


@dataclass(frozen=True)
class Known:
    """What was in a bottle: its materials with fresh mass, and whether the food is a guess."""

    parts: tuple[tuple[Feedstock, float], ...]
    guessed: bool

    def charge(self) -> Liquid:
        """Pour it together."""
        liquids = [liquid_from_feedstock(stock, mass) for stock, mass in self.parts]
        whole = liquids[0]
        for liquid in liquids[1:]:
            whole = whole + liquid
        return whole

    def food(self) -> tuple[float, float]:
        """Tell how much may digest relative to the library's middle, 95 %, food by food."""
        if self.guessed:
            return _ANY_FOOD
        ends = np.zeros(3)
        for stock, mass in self.parts:
            solids = mass * stock.value("TS") * stock.value("VS")
            held = stock.get("methane_potential")
            assert held is not None
            ends += solids * np.array([held.low, held.value, held.high])
        return float(ends[0] / ends[1]), float(ends[2] / ends[1])

    def lively(self) -> tuple[float, float]:
        """Tell how lively the inoculum may be relative to the library's middle, 95 %."""
        held = self.parts[0][0].get("methanogenic_activity")
        assert held is not None
        return held.low / held.value, held.high / held.value


def known_of(path: Path) -> Known:
    """Put the authors' masses and solids into the library's materials."""
    row = setup_row(path)
    live, stock = material_of(row)
    parts = [(live, float(row["inoculum (g)"]) / 1000.0)]
    grams = float(row["substrate (g)"])
    if grams > 0.0:
        parts.append((stock or material_of(row, _ANY_MATERIAL)[1], grams / 1000.0))
    return Known(tuple(parts), guessed=grams > 0.0 and stock is None)


def log_of(path: Path, cut: batch.Split) -> RunLog:
    """Write the known part of a bottle as a log; a methane share was read at some visits."""
    known, ledger = known_of(path), cut.ledger
    charge = known.charge()
    # The blanks' gas space is not in the files: as much as in the other bottles of that trial.
    vessel = BOTTLE_M3.get(setup_row(path)["bottle"][0], charge.volume_m3 + 376e-6)
    gas = ledger.intervals
    held = slice(0, cut.known - 1)
    today = float(ledger.day[cut.known - 1])
    return RunLog(
        digester=Digester(vessel, Holder("bag", 0.01, gauge_kpa=0.5), temperature_c=SLURRY_C),
        charge=charge,
        today=today,
        lively=known.lively(),
        food=known.food(),
        gas=Counted(
            *(part[held] for part in (gas.start, gas.end, gas.volume_m3, gas.u_m3)),
            gas.lower_bound[held],
        ),
        methane=_shares(path, ledger.day, today),
        in_trial=True,
    )


def _shares(path: Path, day: Floats, today: float) -> Read | None:
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    read = [(d, row.get("methane (%)", "")) for d, row in zip(day, rows, strict=True)]
    found = [(d, float(cell) / 100.0) for d, cell in read if cell and d <= today]
    if not found:
        return None
    days, values = np.array(found).T
    return Read(days, values, np.full(len(days), _U_SHARE))


def by_model(path: Path, cut: batch.Split) -> Floats:
    """Forecast with the calibrated process model: draws of cumulative gas on the later days."""
    rng = np.random.default_rng(_SEED)
    log = log_of(path, cut)
    lives = calibrate(log, rng=rng)
    days = np.concatenate([[log.today], cut.later_day])
    run = ahead(lives, log, days=days)
    shown = observed_gas(lives, days, dry_gas(run), rng=rng)
    return shown[:, 1:] + cut.ledger.cumulative_m3[cut.known - 1]


def by_curves(cut: batch.Split, prior: CurvePrior | None) -> Floats:
    """Forecast with the curves as the program does: the same draws its bands are made of."""
    rng = np.random.default_rng(_SEED)
    held, ledger = slice(0, cut.known), cut.ledger
    fit = fit_curve(
        ledger.day[held],
        ledger.cumulative_m3[held],
        ledger.u_random_m3[held],
        prior=prior,
        lower_bound=ledger.interval_lower_bound[held],
        interval_u_m3=ledger.interval_u_m3[held],
    )
    expectation = Expectation.of(fit.prior, seen_m3=fit.observed.total)
    drawn: list[Floats] = []
    for weight, member in forecast_members(fit):
        count = round(DRAWS * weight)
        if count < 1:
            continue
        belief = expectation.about(curve(member.model.name))
        parameters, scale = draw_parameters(member, belief, count, rng=rng)
        drawn.append(gas_paths(member, parameters, scale, days=cut.later_day, rng=rng).total)
    return np.concatenate(drawn)


def by_gompertz(cut: batch.Split) -> Floats:
    """Forecast with a modified Gompertz by least squares: draws of its textbook band."""
    rng = np.random.default_rng(_SEED)
    middle, sd, free = batch.gompertz_line(cut)
    return np.asarray(middle + sd * rng.standard_t(free, (DRAWS, 1)))


def mixed(first: Floats, second: Floats) -> Floats:
    """Take as many draws of one forecast as of the other."""
    rng = np.random.default_rng(_SEED)
    count = min(len(first), len(second))
    return np.concatenate([rng.permutation(first)[:count], rng.permutation(second)[:count]])


def crps(draws: Floats, truth: Floats) -> Floats:
    """Score draws (draw, reading) with the continuous ranked probability score of each reading.

    Mean distance to the truth, less half the mean distance of the draws from each other
    (Gneiting & Raftery 2007, JASA 102: 359).
    """
    ordered = np.sort(draws, axis=0)
    count = len(ordered)
    weight = 2.0 * np.arange(1, count + 1) - count - 1.0
    apart = 2.0 * (weight @ ordered) / count**2
    return np.asarray(np.mean(np.abs(draws - truth), axis=0) - 0.5 * apart)
