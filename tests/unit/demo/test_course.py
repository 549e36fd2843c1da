"""The truth behind the demonstration obeys what it is made of."""

import numpy as np
import pytest

from marshlight.demo.course import Portion, Script, course

WARM = ((0.0, 35.0),)


def _play(script: Script) -> np.ndarray:
    return course(script, np.random.default_rng(1), air_kpa=94.0).gas_m3


def test_a_portion_ends_at_its_gas_and_never_runs_back() -> None:
    gas = _play(Script(200.0, (Portion(0.0, 0.1, 0.15, 1.0),), WARM, swing_c=0.0))
    assert gas[-1] == pytest.approx(0.1, rel=1e-6)
    assert np.all(np.diff(gas) >= 0.0)
    assert gas[23] == 0.0


def test_cold_slows_and_souring_stops() -> None:
    warm = _play(Script(20.0, (Portion(0.0, 0.1, 0.15),), WARM))
    cold = _play(Script(20.0, (Portion(0.0, 0.1, 0.15),), ((0.0, 20.0),)))
    sour = _play(Script(20.0, (Portion(0.0, 0.1, 0.15),), WARM, vigour=((0.0, 0.0),)))
    assert cold[-1] < 0.75 * warm[-1]
    assert sour[-1] == 0.0


def test_what_escapes_is_made_but_not_caught() -> None:
    script = Script(30.0, (Portion(0.0, 0.1, 0.15),), WARM, escaping=((0.0, 0.5),))
    made = course(script, np.random.default_rng(1), air_kpa=94.0)
    assert made.caught_m3[-1] == pytest.approx(0.5 * made.gas_m3[-1])


def test_the_shed_stays_within_what_the_story_says() -> None:
    made = course(Script(300.0, (), WARM), np.random.default_rng(3), air_kpa=94.0)
    assert 6.0 <= made.room_c.min() < made.room_c.max() <= 24.0
    assert np.ptp(made.air_kpa) <= 2.4 + 1e-9
