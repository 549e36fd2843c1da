"""The plant of the published benchmark: fixed volumes, one steady feed, the linear outlet."""

from collections.abc import Mapping, Sequence

import numpy as np

from marshlight.packaged import read_toml
from marshlight.process.model.kernel import SCALAR, Reals, layout, run
from marshlight.process.model.parameters import BENCHMARK, ParameterSet
from marshlight.process.model.schedule import ADD, Schedule
from marshlight.process.model.trace import Trace

MODEL = "benchmark"


def published_settings(
    parameters: ParameterSet = BENCHMARK,
    *,
    feed: Mapping[str, float] | None = None,
    plant: Mapping[str, float] | None = None,
) -> Reals:
    """Fill the settings of the published plant, with changes to its feed or plant where given."""
    raw = read_toml("process_model/benchmark.toml")
    given = {**raw["plant"], **(plant or {})}
    fed = {**raw["feed"], **(feed or {})}
    given.update({f"feed_{name}": value for name, value in fed.items()})
    return parameters.settings(given)


def published_start(settings: Reals) -> Reals:
    """Give a rough state to start from: the feed with grown biomass, in equilibrium."""
    place = layout(MODEL)
    volume = settings[place.setting_at["volume"]]
    states = np.zeros(len(place.states))
    guess = {"inorganic_carbon": 0.15, "inorganic_nitrogen": 0.13, "cations": 0.04, "anions": 0.02}
    guess.update({name: 0.4 for name in place.liquid if name.startswith("x_")})
    for name, value in guess.items():
        states[place.state_at[name]] = value * volume
    states[place.state_at["ln_proton"]] = -17.0
    gas = settings[place.setting_at["gas_volume"]] / 25.0
    states[place.state_at["gas_methane"]] = 0.6 * gas
    states[place.state_at["gas_carbon_dioxide"]] = 0.4 * gas
    return states


def run_published_plant(
    days: Sequence[float] | Reals,
    *,
    settings: Reals | None = None,
    start: Reals | None = None,
    pulse: Mapping[str, float] | None = None,
    watch: Sequence[str] = ("pH", "gas_out_m3_per_d"),
    rtol: float = 1e-4,
) -> Trace:
    """Run the benchmark model on the published plant.

    Parameters
    ----------
    days : sequence of float
        Days to report, increasing from 0 [d].
    settings, start : array, optional
        From ``published_settings`` and an earlier run's ``states``; by default the published
        plant and a rough start.
    pulse : mapping, optional
        Added to the liquid at day 0, by state [kg COD/m3 or kmol/m3].
    watch : sequence of str
        Curves to report. ``"states"`` stands for all states.
    rtol : float
        Relative tolerance of a step.

    Raises
    ------
    FitError
        When the integration does not succeed.
    """
    place = layout(MODEL)
    given = published_settings() if settings is None else settings
    first = published_start(given) if start is None else start
    schedule = Schedule(MODEL, 0.0, float(days[-1]))
    if pulse:
        vector = np.zeros(len(place.states))
        for name, value in pulse.items():
            vector[place.state_at[name]] = value * given[place.setting_at["volume"]]
        schedule.do(0.0, ADD, 1.0, vector)
    names = [n for w in watch for n in (place.states if w == "states" else (w,))]
    program = schedule.program(given, days, names, rtol=rtol)
    outcome = run(program, given[None], first[None], schedule.vector_array(), form=SCALAR)
    outcome.require_success()
    curves = {name: outcome.out[0, :, i].astype(np.float64) for i, name in enumerate(names)}
    steps, rejected, _ = (int(n) for n in outcome.counts[0])
    return Trace(np.asarray(days, dtype=np.float64), curves, steps, rejected)
