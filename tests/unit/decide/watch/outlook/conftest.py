"""One digester and its lives, shared by the tests of the outlook."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Lives, RunLog, lives_from_prior
from marshlight.matter.library import find
from marshlight.process.model import Digester, Holder, inoculum, liquid_from_feedstock, water


@pytest.fixture(scope="session")
def log() -> RunLog:
    """A drum of digested manure with some fresh, nothing read."""
    charge = inoculum("digested cattle manure", 0.010) + water(0.002)
    charge = charge + liquid_from_feedstock(find("goat manure"), 1.0)
    drum = Digester(0.025, Holder("floating", capacity_m3=0.004, gauge_kpa=0.2), 36.0)
    return RunLog(drum, charge, today=6.0)


@pytest.fixture(scope="session")
def lives(log: RunLog) -> Lives:
    """Its lives before any reading."""
    return lives_from_prior(log, rng=np.random.default_rng(20), members=96)
