import numpy as np
import pytest
from tests.unit.process.model.scenarios import random_life
from tests.unit.process.model.two_solvers import AT, PLACE, run_plain

from marshlight.process.model import SMALL_DIGESTER, simulate

# What left with drawn-off liquid is kept by the kernel alone; its balances are tested elsewhere.
COMPARED = [i for i, name in enumerate(PLACE.states) if not name.startswith("drained")]


def difference(seed: int, days: float, rtol: float) -> float:
    """Run one random life both ways; give the largest relative difference of any state."""
    digester, charge, events, end = random_life(seed, days)
    settings = SMALL_DIGESTER.settings(digester.settings())
    reference = run_plain(digester, charge, end=end, events=events, settings=settings)
    run = simulate(digester, charge, days=[0.0, end], events=events, rtol=rtol)
    got = np.array([run[name][-1] for name in PLACE.states])
    floor = np.full(len(got), 1e-6 * reference[AT["volume"]])
    floor[[AT["hydrogen"], AT["gas_hydrogen"]]] *= 1e-3
    # Air that came in and went out again cancels: 2 L of gas to the m3 of liquid still count.
    floor[[AT["out_oxygen"], AT["out_nitrogen"]]] = 1e-4 * reference[AT["volume"]]
    error = np.abs(got - reference) / (np.abs(reference) + floor)
    return float(error[COMPARED].max())


def test_a_random_life_agrees_with_an_independent_integrator():
    assert difference(3, 6.0, 1e-5) < 1e-4


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(22))
def test_random_lives_agree_with_an_independent_integrator(seed):
    # The default tolerance of simulate, against CVODE at 1e-10.
    assert difference(seed, 14.0, 1e-5) < 1e-4


@pytest.mark.slow
def test_a_tight_tolerance_agrees_to_many_digits():
    assert difference(0, 14.0, 1e-8) < 1e-6
