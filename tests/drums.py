"""A small drum with live slurry and bread, and the lives it may have."""

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior
from marshlight.matter import find
from marshlight.process.model import Digester, Holder, inoculum, liquid_from_feedstock, water

LEVEL_M3 = 0.0153


def drum_with(
    bread_kg: float, *, today: float = 4.0, members: int = 40, seed: int = 3
) -> tuple[Lives, RunLog]:
    """Charge a 25 L drum with live slurry and so much bread, and draw its lives on a day."""
    drum = Digester(0.025, Holder("floating", 0.03, gauge_kpa=0.2), temperature_c=37.0)
    charge = inoculum("digested cattle manure", 0.009) + water(0.006)
    charge = charge + liquid_from_feedstock(find("bread stale"), bread_kg)
    log = RunLog(drum, charge, today=today)
    return lives_from_prior(log, rng=np.random.default_rng(seed), members=members), log
