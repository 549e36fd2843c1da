"""Digesters for which the calibration is right in every belief: truth drawn from its own priors.

Here a posterior must hold the truth exactly as often as it says, so ranks of the truth among the
lives tell faults of the method from faults of the model.
"""

from dataclasses import dataclass, replace

import numpy as np
from benchmarks.synthetic.digesters import Setup, draw_setup
from benchmarks.synthetic.faults import Case
from benchmarks.synthetic.life import STEP_D, Life
from benchmarks.synthetic.logbook import FOOD
from benchmarks.synthetic.truth import Instruments, Truth

from marshlight.decide.watch.calibration import (
    Read,
    RunLog,
    ahead,
    dry_gas,
    lives_from_prior,
    observed_gas,
)
from marshlight.decide.watch.calibration.counting import SLIPS
from marshlight.decide.watch.calibration.reading import QUANTITIES
from marshlight.process.model import DigesterRun, Vent
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL

# The calibration takes gas to come this much early or late [d].
TIMING_D = 0.05


@dataclass(frozen=True)
class Believed:
    """A case with the parameters it was made of, by the calibration's names."""

    case: Case
    drawn: dict[str, float]


def draw_believed(kind: str, rng: np.random.Generator, *, dense: bool) -> Believed:
    """Draw a digester whose truth comes from the calibration's own priors.

    Parameters
    ----------
    kind : str
        One of ``KINDS``.
    rng : numpy.random.Generator
        The state to draw from.
    dense : bool
        Read every day with all instruments, or every few days with strips.
    """
    setup = draw_setup(kind, rng, dense=dense)
    step = 0.0 if dense else float(rng.choice([0.25, 0.5]))
    first = _first_day(setup, step)
    lives = lives_from_prior(first, rng=rng, members=1)
    drawn = {name: float(lives.of(name)[0]) for name in lives.names}
    place = layout(MODEL)
    vents = [Vent(float(d)) for d in setup.looks.gas] if setup.looks.emptied else []
    events = sorted((*setup.events, *vents), key=lambda event: event.day)
    many = ahead(
        lives,
        first,
        days=_days(setup),
        events=events,
        watch=(*place.states, *place.observables),
    )
    shown = observed_gas(lives, many.day, dry_gas(many), rng=rng)[0]
    curves = {name: np.asarray(curve[0]) for name, curve in many.values.items()}
    run = DigesterRun(
        many.day,
        curves,
        0,
        0,
        lives.settings[0],
        np.asarray(many.start)[:, 0, 0],
        np.zeros(0),
    )
    kit = Instruments(
        gas_u=float(rng.choice([0.01, 0.03] if dense else [0.03, 0.06])),
        ph_bias=drawn["ph_bias"],
        methane_bias=drawn["methane_bias"],
        ph_u=0.1 if dense else 0.15,
        ph_step=step,
        unsaid={name: (held.u, held.relative) for name, held in QUANTITIES.items()},
        slips=SLIPS,
        late_d=TIMING_D,
    )
    return Believed(Case(setup, Truth(instruments=kit), Life(many.day, shown, shown, run)), drawn)


def _first_day(setup: Setup, ph_step: float) -> RunLog:
    """Write the log as it stands right after the charge; what will be read sets some priors."""
    once = np.zeros(1)
    measured = setup.looks.temperature.size > 0
    return RunLog(
        digester=setup.digester,
        charge=setup.charge,
        today=0.0,
        lively=setup.lively,
        food=FOOD,
        ph=Read(once, once + 7.0, once + 0.1, ph_step),
        slurry_c=Read(once, once + setup.digester.temperature_c, once + 0.3) if measured else None,
    )


def _days(setup: Setup) -> np.ndarray:
    looks = setup.looks
    read = (looks.gas, looks.ph, looks.methane, looks.titration, looks.flame)
    grid = np.arange(0.0, setup.length_d, STEP_D)
    return np.unique(np.concatenate([grid, *read, [setup.length_d]]))


def without_changes_of_warmth(log: RunLog, setup: Setup) -> RunLog:
    """Take a log's temperatures for exact: warmth that strays is then a parameter alone."""
    digester = replace(log.digester, temperature_c=setup.digester.temperature_c)
    kept = tuple(e for e in log.events if type(e).__name__ != "SetTemperature")
    return replace(log, digester=digester, events=kept)
