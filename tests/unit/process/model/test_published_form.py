import numpy as np
from benchmarks import published_ode

from marshlight.process.model import published_settings, run_published_plant
from marshlight.process.model.equations import Equations
from marshlight.process.model.kernel import layout

PLACE = layout("benchmark")


def rest():
    trace = run_published_plant([0.0, 3000.0], watch=("states",), rtol=1e-9)
    return np.array([curve[-1] for curve in trace.values.values()])


def test_the_form_of_35_equations_written_by_hand_rests_where_the_kernel_does():
    states = published_ode.from_kernel(rest())
    slopes = published_ode.slopes()(0.0, states)
    assert np.max(np.abs(slopes[:26] / states[:26])) < 1e-8
    assert np.max(np.abs(slopes[32:] / states[32:])) < 1e-8
    # Ions relax at 1e10 a day: what is left of their slope is rounding.
    assert np.max(np.abs(slopes[26:32])) < 1e-5


def test_both_forms_move_alike_away_from_rest():
    equations = Equations("benchmark", published_settings())
    rng = np.random.default_rng(5)
    for _ in range(10):
        states = rest() * rng.uniform(0.7, 1.3, len(PLACE.states))
        expected = np.empty(len(states))
        equations.slopes(states, expected)
        # The ions belong to the pH at which charges balance.
        states[PLACE.state_at["ln_proton"]] = settled(states)
        got = published_ode.slopes()(0.0, published_ode.from_kernel(states))
        size = np.abs(states[:26]) + np.abs(expected[:26])
        assert np.max(np.abs(got[:26] * 3400.0 - expected[:26]) / size) < 1e-8


def settled(states):
    """Find ln of the proton by bisection on the published form's own charges."""
    low, high = -25.0, -5.0
    at = PLACE.state_at["ln_proton"]
    for _ in range(80):
        states[at] = 0.5 * (low + high)
        y = published_ode.from_kernel(states)
        proton = np.exp(states[at])
        water = published_ode.equilibria(35.0).water
        charge = y[24] + (y[10] - y[31]) + proton - y[30] - y[25] - water / proton
        charge -= y[29] / 64.0 + y[28] / 112.0 + y[27] / 160.0 + y[26] / 208.0
        low, high = (states[at], high) if charge < 0.0 else (low, states[at])
    return 0.5 * (low + high)
