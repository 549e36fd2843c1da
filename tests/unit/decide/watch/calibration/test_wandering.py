"""Wandering: long gaps forget where it stood, and its size stays what it is."""

import numpy as np
import pytest

from marshlight.decide.watch.calibration.wandering import wander


def test_it_keeps_its_size_and_forgets_where_it_stood() -> None:
    rng = np.random.default_rng(5)
    far = wander(np.full(20_000, 3.0), np.array([1.0, 40.0]), size=0.5, memory_d=2.0, rng=rng)
    kept = np.exp(-0.5)
    assert far[:, 0].mean() == pytest.approx(3.0 * kept, abs=0.02)
    assert far[:, 0].std() == pytest.approx(0.5 * np.sqrt(1.0 - kept**2), rel=0.03)
    assert far[:, 1].mean() == pytest.approx(0.0, abs=0.02)
    assert far[:, 1].std() == pytest.approx(0.5, rel=0.03)


def test_no_time_changes_nothing() -> None:
    rng = np.random.default_rng(5)
    assert wander(np.array([1.5]), np.zeros(1), size=2.0, memory_d=1.0, rng=rng).item() == 1.5
