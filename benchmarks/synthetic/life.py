"""Run the truth: what really came of an invented digester, hour by hour as far as needed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from benchmarks.synthetic.digesters import Floats, Setup
from benchmarks.synthetic.truth import Change, Truth, with_buffer, with_food

from marshlight.process.model import (
    SMALL_DIGESTER,
    DigesterRun,
    Event,
    Feed,
    Liquid,
    SetTemperature,
    Vent,
    simulate,
)
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL

STEP_D = 0.25


@dataclass(frozen=True)
class Life:
    """What really happened: gas as a faultless holder would have counted it, leak taken off [m3].

    ``run`` holds every curve of the model on ``day``; ``gas_m3`` is cumulative, dry normal, air
    that was pushed out included.
    """

    day: Floats
    gas_m3: Floats
    made_m3: Floats
    run: DigesterRun

    def at(self, curve: Floats, days: Floats) -> Floats:
        """Read a curve at other days."""
        return np.interp(days, self.day, curve)


def live(setup: Setup, truth: Truth) -> Life:
    """Run an invented digester from its charge to its end."""
    digester = replace(
        setup.digester,
        temperature_c=float(np.clip(setup.digester.temperature_c + truth.warmth_k, 2.0, 60.0)),
    )
    looks = setup.looks
    read = np.concatenate([looks.gas, looks.ph, looks.methane, looks.titration, looks.flame])
    days = np.unique(
        np.concatenate([np.arange(0.0, setup.length_d, STEP_D), read, [setup.length_d]])
    )
    run = simulate(
        digester,
        _charge(setup.charge, truth),
        days=days,
        events=_events(setup, truth),
        parameters=SMALL_DIGESTER.with_values(**truth.parameters),
        rtol=1e-4,
    )
    made = given_off(run)
    steps = np.diff(made, prepend=0.0)
    lost = np.array([value_on(truth.leak, float(d)) for d in days])
    return Life(days, np.cumsum(steps * (1.0 - lost)), made, run)


def given_off(run: DigesterRun) -> Floats:
    """Count all gas that left the liquid and pushed on: what a holder sees [dry normal m3]."""
    return np.sum([run.given_off(gas) for gas in layout(MODEL).gases], axis=0)


def value_on(changes: Sequence[Change], day: float, before: float = 0.0) -> float:
    """Give the last value set by a day."""
    held = [change.value for change in changes if change.day <= day]
    return held[-1] if held else before


def _charge(liquid: Liquid, truth: Truth) -> Liquid:
    found = with_buffer(with_food(liquid, truth.food, truth.split), truth.buffer)
    amounts = dict(found.amounts)
    for name in amounts:
        if name.startswith("x_"):
            amounts[name] *= truth.cells
    return Liquid(found.volume_m3, amounts)


def _events(setup: Setup, truth: Truth) -> list[Event]:
    """What was done, as it really was, with what nobody wrote down."""
    found: list[Event] = list(truth.hidden)
    fed = iter(truth.fed_food)
    for event in setup.events:
        if isinstance(event, Feed):
            meal = with_food(event.liquid, float(next(fed, 1.0)), truth.split)
            found.append(Feed(event.day, meal))
        elif isinstance(event, SetTemperature):
            found.append(SetTemperature(event.day, event.celsius + truth.warmth_k))
        else:
            found.append(event)
    if setup.looks.emptied:
        found += [Vent(float(day)) for day in setup.looks.gas]
    return sorted(found, key=lambda event: event.day)
