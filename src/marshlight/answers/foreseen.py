"""What the curve of a run says: its fit, the forecast, and what was expected of the newest gas."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.answers.expected import FromRecipe, slurry_temperature
from marshlight.decide.watch.facts import GasRecord
from marshlight.decide.watch.gas import expected_without_latest
from marshlight.errors import MarshlightError
from marshlight.estimate import Estimate
from marshlight.measure import GasLedger
from marshlight.notebook.bridge import Charge, RunRecords
from marshlight.process import (
    DrawOff,
    FedFit,
    Feed,
    Fit,
    Forecast,
    fit_curve,
    fit_fed,
    forecast,
    forecast_fed,
    temperature_factor,
)

# A run is looked at to four weeks or two weeks past its newest reading; our choice.
_LEAST_HORIZON_D = 28.0
_AHEAD_D = 14.0
_STEPS = 120


@dataclass(frozen=True)
class Foreseen:
    """Fit and forecast of a run, or why there is none.

    ``expected`` is the forecast made without the newest readings; ``notes`` are the fit's own
    reasons and warnings, ``sources`` the keys it rests on.
    """

    forecast: Forecast | None
    expected: Forecast | None = None
    fit: Fit | FedFit | None = None
    why_not: str = ""
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def gas_record(ledger: GasLedger | None) -> GasRecord | None:
    """Give the ledger's gas as the assessment and the fit take it; None before any gas."""
    if ledger is None or ledger.day.size < 2:
        return None
    return GasRecord(
        ledger.day, ledger.cumulative_m3, ledger.u_random_m3, ledger.interval_lower_bound
    )


def foresee(
    records: RunRecords, ledger: GasLedger | None, recipe: FromRecipe, *, seed: str
) -> Foreseen:
    """Look ahead, with whatever the log and the recipe allow.

    Parameters
    ----------
    records : RunRecords
        The run's log.
    ledger : GasLedger or None
        Gas so far.
    recipe : FromRecipe
        What the charge should do.
    seed : str
        Any text that belongs to the run: the same log then gives the same bands at every look.
    """
    number = int(hashlib.sha256(seed.encode()).hexdigest()[:12], 16)
    rng = np.random.default_rng(number)
    try:
        if records.feeds:
            return _fed(records, ledger, recipe, rng)
        return _batch(ledger, recipe, rng)
    except MarshlightError as error:
        return Foreseen(None, why_not=str(error))


def _days(ledger: GasLedger | None) -> np.ndarray:
    last = float(ledger.day[-1]) if ledger is not None and ledger.day.size else 0.0
    return np.linspace(0.0, max(_LEAST_HORIZON_D, last + _AHEAD_D), _STEPS + 1)


def _batch(ledger: GasLedger | None, recipe: FromRecipe, rng: np.random.Generator) -> Foreseen:
    gas = gas_record(ledger)
    prior = None if recipe.expectation is None else recipe.expectation.curve_prior()
    if gas is None or ledger is None:
        if prior is None:
            return Foreseen(None, why_not="Too little is known to look ahead.")
        return Foreseen(forecast(prior, _days(ledger), rng=rng))
    fit = fit_curve(
        gas.day,
        gas.total_m3,
        gas.u_m3,
        prior=prior,
        lower_bound=gas.unseen,
        interval_u_m3=ledger.interval_u_m3,
    )
    return Foreseen(
        forecast(fit, _days(ledger), rng=rng),
        expected_without_latest(gas, prior, rng=rng),
        fit,
        notes=(fit.reason, *fit.warnings),
        sources=(fit.best.model.source,),
    )


def _fed(
    records: RunRecords,
    ledger: GasLedger | None,
    recipe: FromRecipe,
    rng: np.random.Generator,
) -> Foreseen:
    feeds, why_not = _feeds(records.charges)
    rate = _rate(records, recipe)
    if not feeds or rate is None:
        return Foreseen(None, why_not=why_not or "How fast the feeds give gas is not known.")
    empty = np.zeros(0)
    gas = gas_record(ledger)
    fit = fit_fed(
        feeds,
        empty if gas is None else gas.day,
        empty if gas is None else gas.total_m3,
        None if gas is None else gas.u_m3,
        rate_per_d=rate,
        lag_d=None if recipe.expectation is None else recipe.expectation.lag_d,
        draw_offs=_draw_offs(records),
        lower_bound=None if gas is None else gas.unseen,
        interval_u_m3=None if gas is None or ledger is None else ledger.interval_u_m3,
    )
    seen = forecast_fed(fit, _days(ledger), rng=rng)
    keys = (fit.model.kernel.source,)
    return Foreseen(seen, None, fit, notes=fit.warnings, sources=keys)


def _feeds(charges: Sequence[Charge]) -> tuple[list[Feed], str]:
    """Give what each charge and feed could give in the end, as biogas."""
    feeds = []
    for charge in sorted(charges, key=lambda c: c.day):
        mixed = charge.blend
        if mixed is None or mixed.methane_m3 is None or mixed.methane_share is None:
            why = charge.why_unknown or "A feed lacks its methane potential."
            return [], f"Day {charge.day:.0f}: {why}"
        methane, share = mixed.methane_m3, mixed.methane_share
        value = methane.value / share.value
        doubt = value * float(np.hypot(methane.relative_u, share.relative_u))
        feeds.append(Feed(max(charge.day, 0.0), Estimate(value, doubt)))
    return feeds, ""


def _rate(records: RunRecords, recipe: FromRecipe) -> Estimate | None:
    if recipe.expectation is not None:
        return recipe.expectation.rate_per_d
    known = [c.blend.rate for c in records.charges if c.blend is not None and c.blend.rate]
    if not known:
        return None
    return known[0].scaled(float(temperature_factor(slurry_temperature(records))))


def _draw_offs(records: RunRecords) -> list[DrawOff]:
    """Turn volumes drawn off into shares of what stood in the vessel just before."""
    changes = [(c.day, c.volume_m3) for c in records.feeds]
    changes += [(e.day, -(e.value or 0.0)) for e in records.events if e.kind == "draw_off"]
    volume = records.slurry_m3 or 0.0
    found = []
    for day, change in sorted(changes):
        if change < 0.0 and volume > 0.0:
            found.append(DrawOff(max(day, 0.0), min(-change / volume, 1.0)))
        volume = max(volume + change, 0.0)
    return found
