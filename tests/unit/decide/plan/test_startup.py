"""The start-up model: gas that does not burn first, sooner with more microbes and more warmth."""

from dataclasses import replace

import pytest

from marshlight.decide.plan.startup import Charge, courses
from marshlight.estimate import Estimate
from marshlight.matter.stoichiometry import METHANE_PER_COD

USUAL = Charge(
    easy_kg=0.15,
    slow_kg=0.50,
    slow_rate=0.07,
    activity=Estimate(0.015, 0.003),
    buffer_kg=0.10,
    co2_per_methane=0.9,
    slurry_m3=0.0166,
    gas_space_m3=0.0083,
    factor=1.0,
)


def test_the_first_gas_is_mostly_carbon_dioxide() -> None:
    for course in courses(USUAL):
        assert course.first_gas_methane < 0.4
        assert course.first_gas_d < course.flame_d


def test_a_batch_with_live_inoculum_starts_within_days() -> None:
    slow, usual, fast = courses(USUAL)
    assert fast.flame_d <= usual.flame_d <= slow.flame_d
    assert usual.flame_d < 10.0


def test_few_microbes_mean_a_late_flame() -> None:
    weak = replace(USUAL, activity=Estimate(0.0015, 0.0003))
    assert courses(weak)[1].flame_d > courses(USUAL)[1].flame_d + 3.0
    assert courses(weak)[1].lag_d > courses(USUAL)[1].lag_d


def test_no_microbes_mean_no_flame() -> None:
    dead = replace(USUAL, activity=Estimate(0.0, 0.0))
    assert all(course.flame_d == float("inf") for course in courses(dead))
    assert all(course.best_m3_per_d == 0.0 for course in courses(dead))


def test_a_cold_charge_starts_later_and_peaks_lower() -> None:
    cold = courses(replace(USUAL, factor=0.3))[1]
    warm = courses(USUAL)[1]
    assert cold.flame_d > 2.0 * warm.flame_d
    assert cold.best_m3_per_d < warm.best_m3_per_d


def test_a_larger_gas_space_holds_its_air_longer() -> None:
    wide = replace(USUAL, gas_space_m3=0.05)
    assert courses(wide)[1].flame_d >= courses(USUAL)[1].flame_d


def test_a_day_s_gas_never_exceeds_what_a_day_s_acid_can_give() -> None:
    most = (USUAL.easy_kg + USUAL.slow_kg) * METHANE_PER_COD * (1 + USUAL.co2_per_methane)
    for course in courses(USUAL):
        assert 0.0 < course.best_m3_per_d < most


@pytest.mark.parametrize("step", [0.5, 0.125])
def test_days_hardly_depend_on_the_step(step: float, monkeypatch: pytest.MonkeyPatch) -> None:
    usual = courses(USUAL)[1]
    monkeypatch.setattr("marshlight.decide.plan.startup.STEP_D", step)
    other = courses(USUAL)[1]
    assert other.flame_d == pytest.approx(usual.flame_d, abs=0.75)
    assert other.best_m3_per_d == pytest.approx(usual.best_m3_per_d, rel=0.15)
