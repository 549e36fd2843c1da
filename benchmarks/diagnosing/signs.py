"""The signs-based watch on an invented run: the baseline, given the same log."""

from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch import Amount, GasRecord, RunFacts, Track, assess
from marshlight.decide.watch.calibration import Read, RunLog
from marshlight.decide.watch.gas import expected_without_latest, newest_stretches
from marshlight.decide.watch.troubles import LIKELY, weigh_troubles
from marshlight.errors import MarshlightError
from marshlight.estimate import Estimate, Range
from marshlight.matter.stoichiometry import METHANE_PER_COD
from marshlight.process import (
    CurvePrior,
    DrawOff,
    Feed,
    Forecast,
    fit_curve,
    fit_fed,
    forecast,
    forecast_fed,
)
from marshlight.process.model import Dose, Liquid
from marshlight.process.model import DrawOff as TakenOut
from marshlight.process.model import Feed as Fed

# What its words stand for among the explanations.
MEANS = {
    "souring": "souring",
    "cold": "cold",
    "leaking": "leak",
    "blocked": "stuck",
    "stalled": "weak",
}
_METHANE_SHARE = 0.58
_DIGESTIBLE = ("carbohydrate", "protein", "lipid", "fibre")


@dataclass(frozen=True)
class Signs:
    """What the signs-based watch said: explanations it names, likeliest first, and the alarm."""

    ranked: tuple[str, ...]
    alarm: bool
    souring: float


def signs_of(log: RunLog, rng: np.random.Generator) -> Signs:
    """Ask the signs-based watch; alarm as the run page shows it: a state word of trouble."""
    facts = _facts(log, rng)
    troubles = weigh_troubles(facts, newest_stretches(facts))
    word = assess(facts).state_word
    chances = {MEANS[t.word]: t.chance for t in troubles}
    ranked = sorted(chances, key=lambda key: -chances[key])
    if word in MEANS:
        ranked = [MEANS[word], *(key for key in ranked if key != MEANS[word])]
    elif word == "spent":
        ranked = ["spent", "healthy", *ranked]
    elif max(chances.values()) < LIKELY:
        ranked = ["healthy", *ranked]
    return Signs(tuple(ranked), word in MEANS, chances["souring"])


def _facts(log: RunLog, rng: np.random.Generator) -> RunFacts:
    gas = _record(log)
    seen, expected = _foreseen(log, gas, rng)
    methane = None
    if log.methane is not None:
        value = float(log.methane.value[-1])
        methane = Range(max(value - 0.05, 0.0), value, min(value + 0.05, 1.0), 0.95)
    feeds = [e for e in log.events if isinstance(e, Fed)]
    taken = [e for e in log.events if isinstance(e, TakenOut)]
    level = log.charge.volume_m3 + sum(e.liquid.volume_m3 for e in feeds)
    level -= sum(e.volume_m3 for e in taken)
    doses = [e for e in log.events if isinstance(e, Dose)]
    alkalinity = None if log.alkalinity is None else float(log.alkalinity.value[-1])
    return RunFacts(
        day=log.today,
        gas=gas,
        forecast=seen,
        expected=expected,
        ph=_track(log.ph),
        slurry_c=_track(log.slurry_c),
        set_point_c=log.set_point_c,
        flame=log.flame,
        methane=methane,
        feeds_m3=tuple(Amount(e.day, e.liquid.volume_m3) for e in feeds),
        draw_offs_m3=tuple(Amount(e.day, e.volume_m3) for e in taken),
        doses_kg=tuple(Amount(e.day, e.mass_kg) for e in doses),
        liquid_m3=level,
        alkalinity_kg_m3=alkalinity,
        fed=bool(feeds),
        in_trial=log.in_trial,
    )


def _track(read: Read | None) -> Track:
    return Track() if read is None else Track(tuple(read.day.tolist()), tuple(read.value.tolist()))


def _record(log: RunLog) -> GasRecord | None:
    gas = log.gas
    if gas is None:
        return None
    square = np.cumsum(gas.u_m3**2)
    if gas.linked is not None and bool(gas.linked[1:].all()):
        square = gas.u_m3[0] ** 2 * np.ones(len(gas))
    return GasRecord(
        np.concatenate([[0.0], gas.end_d]),
        np.concatenate([[0.0], np.cumsum(gas.gas_m3)]),
        np.concatenate([[0.0], np.sqrt(square)]),
        np.concatenate([[False], gas.at_least]),
    )


def _ultimate(liquid: Liquid) -> Estimate:
    """Biogas a liquid should give in the end, 25 % uncertain as a recipe's is [m3]."""
    solids = sum(liquid.amounts.get(name, 0.0) for name in _DIGESTIBLE)
    value = max(solids * METHANE_PER_COD / _METHANE_SHARE, 1e-9)
    return Estimate(value, 0.25 * value)


def _foreseen(
    log: RunLog, gas: GasRecord | None, rng: np.random.Generator
) -> tuple[Forecast | None, Forecast | None]:
    """Foresee as the run page does: a batch without its newest readings, a fed run from all."""
    rate, lag = Estimate(0.12, 0.06), Estimate(1.0, 2.0)
    days = np.linspace(0.0, max(28.0, log.today + 14.0), 121)
    feeds = [e for e in log.events if isinstance(e, Fed)]
    try:
        if not feeds:
            prior = CurvePrior(_ultimate(log.charge), rate, lag)
            if gas is None or gas.day.size < 2:
                return forecast(prior, days, rng=rng), None
            fit = fit_curve(gas.day, gas.total_m3, gas.u_m3, prior=prior, lower_bound=gas.unseen)
            return forecast(fit, days, rng=rng), expected_without_latest(gas, prior, rng=rng)
        whole = [Feed(0.0, _ultimate(log.charge))]
        whole += [Feed(e.day, _ultimate(e.liquid)) for e in feeds]
        taken = [
            DrawOff(e.day, min(e.volume_m3 / log.charge.volume_m3, 1.0))
            for e in log.events
            if isinstance(e, TakenOut)
        ]
        empty = np.zeros(0)
        fed = fit_fed(
            whole,
            empty if gas is None else gas.day,
            empty if gas is None else gas.total_m3,
            None if gas is None else gas.u_m3,
            rate_per_d=rate,
            lag_d=lag,
            draw_offs=taken,
            lower_bound=None if gas is None else gas.unseen,
        )
        return forecast_fed(fed, days, rng=rng), None
    except MarshlightError:
        return None, None
