"""Warmth to come: as it swung so far, and back from where it stands."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.calibration.counting import SWING_D
from marshlight.decide.watch.calibration.warmth import swings_told, warmer_to_come
from marshlight.process.model import Digester, Holder, SetTemperature, inoculum

DRUM = Digester(0.01, Holder("bag", 0.1), temperature_c=35.0)
CHARGE = inoculum("digested cattle manure", 0.006)


def told(celsius: np.ndarray) -> RunLog:
    """Keep a log that follows the slurry from day to day."""
    events = tuple(SetTemperature(float(day), float(c)) for day, c in enumerate(celsius))
    return RunLog(DRUM, CHARGE, today=len(celsius) - 0.5, events=events)


def swinging(size: float, days: int, seed: int) -> np.ndarray:
    rng = np.random.default_rng(seed)
    kept, found = np.exp(-1.0 / SWING_D), [rng.standard_normal()]
    for _ in range(days - 1):
        found.append(kept * found[-1] + np.sqrt(1.0 - kept**2) * rng.standard_normal())
    return 35.0 + size * np.array(found)


def test_the_size_of_swings_is_found_whatever_it_is() -> None:
    for size in (0.4, 1.5):
        found = [swings_told(told(swinging(size, 40, seed)))[1] for seed in range(60)]
        assert np.mean(found) == pytest.approx(size, rel=0.12)


def test_warmth_off_its_usual_is_told_by_the_last_four_weeks() -> None:
    celsius = swinging(1.0, 40, 4)
    off, _ = swings_told(told(celsius))
    assert off == pytest.approx(celsius[-1] - celsius[-29:].mean(), abs=0.05)


def test_a_heater_that_went_out_is_no_swing_and_no_way_back_is_expected() -> None:
    celsius = swinging(0.3, 30, 1)
    celsius[25:] -= 12.0
    off, swing = swings_told(told(celsius))
    assert off == 0.0
    assert swing < 0.6


def test_a_log_that_follows_no_warmth_tells_of_no_swings() -> None:
    assert swings_told(RunLog(DRUM, CHARGE, today=40.0)) == (0.0, 0.0)
    weekly = tuple(SetTemperature(7.0 * week, 35.0 + week % 2) for week in range(5))
    assert swings_told(RunLog(DRUM, CHARGE, today=35.0, events=weekly)) == (0.0, 0.0)
    assert swings_told(told(swinging(1.0, 6, 1))) == (0.0, 0.0)


def test_warmth_goes_back_to_its_usual_and_swings_on() -> None:
    span = np.array([0.0, 1.0, 20.0])
    to_come = warmer_to_come((1.2, 0.8), span, members=20_000, rng=np.random.default_rng(1))
    assert to_come[:, 0] == pytest.approx(0.0)
    back = 1.2 * (1.0 - np.exp(-1.0 / SWING_D))
    assert to_come.mean(axis=0)[1:] == pytest.approx([-back, -1.2], abs=0.03)
    wider = 0.8 * np.sqrt(1.0 - np.exp(-2.0 / SWING_D))
    assert to_come.std(axis=0)[1:] == pytest.approx([wider, 0.8], rel=0.03)


def test_where_nothing_swings_nothing_is_drawn() -> None:
    rng, same = np.random.default_rng(1), np.random.default_rng(1)
    assert (warmer_to_come((0.0, 0.0), np.arange(4.0), members=5, rng=rng) == 0.0).all()
    assert rng.random() == same.random()
