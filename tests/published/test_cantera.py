"""Live comparisons with Cantera: the flame table is fresh, the model envelope is where we say."""

import numpy as np
import pytest

from marshlight.apparatus.burner import burning
from marshlight.decide.safety import MODEL
from published.cantera_flames import METHANE, Flames

ENVELOPE_K = 1600.0


@pytest.fixture(scope="module")
def flames() -> Flames:
    """Load the mechanism once."""
    return Flames()


@pytest.mark.parametrize("methane", METHANE)
def test_flame_temperatures_of_the_table_are_cantera_s(flames: Flames, methane: float) -> None:
    kelvin = flames.flame_temperature(methane)
    assert burning(methane).flame_c + 273.15 == pytest.approx(kelvin, abs=2.0)


@pytest.mark.slow
@pytest.mark.parametrize("methane", [0.55])
def test_burning_velocities_of_the_table_are_cantera_s(flames: Flames, methane: float) -> None:
    fresh = flames.burning_velocity(methane)
    assert 100.0 * burning(methane).velocity_m_s == pytest.approx(fresh, rel=0.02)


@pytest.mark.slow
def test_a_lean_flame_with_vapour_agrees_with_the_factors_of_the_table(flames: Flames) -> None:
    fresh = flames.burning_velocity(0.6, phi=0.9, vapour=0.0231)
    ours = 100.0 * burning(0.6, richness=0.9, vapour=0.0231).velocity_m_s
    assert ours == pytest.approx(fresh, rel=0.03)


def test_the_lean_limit_burns_at_the_temperature_that_is_printed_for_it(flames: Flames) -> None:
    # Printed: 1480.8 K at 5.0 % methane, 1357 K at 4.4 %.
    assert flames.mixture_temperature(0.05, 0.0) == pytest.approx(1480.8, abs=2.0)
    assert flames.mixture_temperature(0.044, 0.0) == pytest.approx(1357.0, abs=2.0)


def test_the_wider_nose_is_where_flames_fall_below_1600_k(flames: Flames) -> None:
    def hottest(co2: float) -> tuple[float, float]:
        shares = np.arange(0.055, 0.080, 0.001)
        found = [flames.mixture_temperature(float(x), co2) for x in shares]
        best = int(np.argmax(found))
        return found[best], float(shares[best])

    low, high = 0.25, 0.36
    for _ in range(12):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if hottest(middle)[0] > ENVELOPE_K else (low, middle)
    assert low == pytest.approx(MODEL.nose_co2, abs=0.002)
    assert hottest(low)[1] == pytest.approx(MODEL.nose_methane, abs=0.002)
