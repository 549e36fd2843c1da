"""The temperature factor and thermal time."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.process.temperature import temperature_factor, thermal_days


def test_outside_the_limits_nothing_is_promised() -> None:
    assert temperature_factor([-5.0, 5.0, 50.0, 70.0]) == pytest.approx([0, 0, 0, 0])


def test_colder_is_slower_up_to_the_best_temperature() -> None:
    assert np.all(np.diff(temperature_factor(np.linspace(5.0, 37.0, 200))) > 0)
    assert np.all(np.diff(temperature_factor(np.linspace(37.0, 50.0, 200))) < 0)


def test_days_at_the_reference_are_days() -> None:
    assert thermal_days([0.0], [38.0], at=[0.0, 3.5, 20.0]) == pytest.approx([0.0, 3.5, 20.0])


def test_a_cold_week_counts_for_less_and_only_while_it_lasts() -> None:
    days = thermal_days([0, 9.99, 10, 17, 17.01], [38, 38, 20, 20, 38], at=[10.0, 17.0, 27.0])
    assert days[1] - days[0] == pytest.approx(7 * float(temperature_factor(20.0)), rel=0.01)
    assert days[2] - days[1] == pytest.approx(10.0, rel=0.01)


def test_no_reading_of_temperature_is_refused() -> None:
    with pytest.raises(InputError, match="temperature"):
        thermal_days([], [], at=[1.0])
