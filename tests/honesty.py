"""Synthetic runs with declared noise: do the bands hold later truth as often as they say?

Invented on purpose: truth is known only here. Each run has its own curve (the six
forms, and two-wave runs that no form can follow), its own wander from day to day
(white, or lasting two days), reading error, sparse or dense readings, and is
cut at a third, a half or two thirds. The recipe's expectation is off by as much
as it says. Nothing of this is used in the forecast.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from marshlight.errors import FitError
from marshlight.estimate import Estimate
from marshlight.process.curves import CURVES
from marshlight.process.fit import fit_curve
from marshlight.process.forecast import forecast
from marshlight.process.prior import CurvePrior, Expectation

CUTS = (1 / 3, 1 / 2, 2 / 3)
FORMS = (*CURVES, "two_waves")


@dataclass(frozen=True)
class Run:
    """One invented run: what was read, what was true, what the recipe expected."""

    form: str
    dense: bool
    lasting: bool
    day: np.ndarray
    reading: np.ndarray
    u: float
    true_day: np.ndarray
    true_total: np.ndarray
    prior: CurvePrior


@dataclass(frozen=True)
class Score:
    """Share of later days held by the bands, for one forecast."""

    run: Run
    cut: float
    informed: bool
    held95: float
    held50: float
    width: float


def invent(rng: np.random.Generator) -> Run:
    """Invent one run."""
    form = FORMS[rng.integers(len(FORMS))]
    total, rate, lag = 0.5 * np.exp(rng.normal(0, 1.0)), np.exp(rng.normal(np.log(0.12), 0.6)), 2.0
    prior = CurvePrior(
        Estimate(total, 0.2 * total), Estimate(rate, 0.35 * rate), Estimate(lag, 1.5)
    )
    length = np.clip(3.5 / rate + 5.0, 15.0, 90.0)
    fine = np.arange(0.0, length + 1e-9, 1 / 24)
    clean = _clean(form, prior, fine, rng)
    lasting = bool(rng.random() < 0.5)
    truth = np.concatenate([[0.0], np.cumsum(np.diff(clean) * _factor(fine, lasting, rng))])
    u = float(rng.choice([0.003, 0.01, 0.02])) * total
    dense = bool(rng.random() < 0.5)
    when = fine[1:] if dense else _visits(length, rng)
    seen = np.interp(when, fine, truth) + rng.normal(0, u, when.size)
    return Run(form, dense, lasting, when, seen, u, fine, truth, prior)


def _clean(form: str, prior: CurvePrior, t: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    expectation = Expectation.of(prior)
    if form == "two_waves":
        curve = CURVES["gompertz"]
        first, second = expectation.draw(curve, 2, rng)
        share = rng.uniform(0.4, 0.8)
        second[2] += rng.uniform(4.0, 12.0)
        return share * curve.value(t, first) + (1 - share) * curve.value(t, second)
    curve = CURVES[form]
    return curve.value(t, expectation.draw(curve, 1, rng)[0])


def _factor(t: np.ndarray, lasting: bool, rng: np.random.Generator) -> np.ndarray:
    """Relative rate of each step: log-normal noise, white or remembering two days."""
    wander, step = np.exp(rng.normal(np.log(0.10), 0.5)), t[1] - t[0]
    noise = rng.standard_normal(t.size - 1)
    if not lasting:
        return np.maximum(1 + wander * noise / np.sqrt(step), 0.0)
    keep = np.exp(-step / 2.0)
    state, out = noise[0], np.empty(t.size - 1)
    for i in range(t.size - 1):
        out[i] = state
        state = keep * state + np.sqrt(1 - keep**2) * noise[i]
    return np.maximum(1 + wander * out, 0.0)


def _visits(length: float, rng: np.random.Generator) -> np.ndarray:
    days = np.arange(1.0, length)
    kept = days[rng.random(days.size) < 0.5]
    return np.sort(kept + rng.uniform(-0.3, 0.3, kept.size)) if kept.size else days


def score(run: Run, cut: float, *, informed: bool, rng: np.random.Generator) -> Score | None:
    """Forecast from the part before the cut and score on the days after."""
    end = run.true_day[-1]
    known = run.day <= cut * end
    if known.sum() < 4:
        return None
    try:
        fit = fit_curve(
            run.day[known], run.reading[known], run.u, prior=run.prior if informed else None
        )
    except FitError:
        return None
    later = np.arange(np.floor(cut * end) + 1, end)
    seen = forecast(fit, later, rng=rng, draws=600).cumulative
    truth = np.interp(later, run.true_day, run.true_total)
    return Score(
        run=run,
        cut=cut,
        informed=informed,
        held95=float(np.mean((truth >= seen.low95) & (truth <= seen.high95))),
        held50=float(np.mean((truth >= seen.low50) & (truth <= seen.high50))),
        width=float(np.mean((seen.high95 - seen.low95) / run.true_total[-1])),
    )


def study(runs: int, seed: int) -> Iterator[Score]:
    """Score many invented runs at every cut, with and without the recipe."""
    rng = np.random.default_rng(seed)
    for _ in range(runs):
        run = invent(rng)
        for cut in CUTS:
            for informed in (True, False):
                found = score(run, cut, informed=informed, rng=rng)
                if found is not None:
                    yield found
