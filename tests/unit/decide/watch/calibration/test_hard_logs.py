"""Logs whose likely lives lie along narrow, bent ridges: they too must end relied on."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Counted, Read, RunLog, calibrate
from marshlight.matter import find
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    Dose,
    Feed,
    Holder,
    inoculum,
    liquid_from_feedstock,
    simulate,
    water,
)

TODAY = 33.0
PACE = 1.05
BREAKDOWN = ("k_hyd_ch", "k_hyd_pr", "k_hyd_li", "k_hyd_fi")


def soured(seed: int, bread_kg: float) -> RunLog:
    """Keep the log of a drum that bread soured on day 12 and soda rescued from day 18 on."""
    rng = np.random.default_rng(seed)
    bread = find("bread stale")
    drum = Digester(0.025, Holder("bag", 0.1), temperature_c=37.0)
    charge = inoculum("digested cattle manure", 0.003) + water(0.013)
    charge = charge + liquid_from_feedstock(bread, 0.03)
    events = (
        Feed(12.0, liquid_from_feedstock(bread, bread_kg)),
        Dose(18.35, "sodium bicarbonate", 0.045),
        Dose(20.3, "sodium bicarbonate", 0.03),
    )
    looks = np.arange(0.0, TODAY + 0.1, 0.5)
    pace = SMALL_DIGESTER.with_values(**{k: PACE * SMALL_DIGESTER[k] for k in BREAKDOWN})
    run = simulate(drum, charge, days=looks, events=events, parameters=pace)
    made = np.diff(run.biogas_m3)
    u = np.full(made.size, 1.5e-4)
    shown = made + u * rng.standard_normal(made.size)
    days = np.arange(2.5, TODAY, 3.0)
    ph = np.interp(days, looks, run["pH"]) + 0.1 * rng.standard_normal(days.size)
    return RunLog(
        drum,
        charge,
        today=TODAY,
        events=events,
        lively=(0.4, 1.6),
        food=(0.8, 1.2),
        gas=Counted(looks[:-1], looks[1:], shown, u, np.zeros(made.size, bool)),
        ph=Read(days, np.round(4.0 * ph) / 4.0, np.full(days.size, 0.125), 0.25),
    )


@pytest.mark.parametrize(("seed", "bread_kg"), [(0, 0.25), (1, 0.2)])
def test_a_drum_that_soured_and_was_rescued_is_relied_on(seed: int, bread_kg: float) -> None:
    lives = calibrate(soured(seed, bread_kg), rng=np.random.default_rng(1))
    assert lives.quality.trusted
    assert lives.quality.pareto_k < 0.7
    low, high = np.quantile(lives.of("rate"), [0.01, 0.99])
    assert low < PACE < high
