"""Leak tests: what falling pressure and a sinking holder say, and when they say nothing."""

import numpy as np
import pytest

from marshlight.apparatus.leak import LeakTest, leak_at_pressure, level_decay, pressure_decay
from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_factor

HOURS = np.arange(0.0, 25.0, 2.0)
SPACE_M3 = 0.010


def _pressures(
    leak_m3_per_d: float, warm: np.ndarray, air: np.ndarray, noise: np.ndarray
) -> np.ndarray:
    """Gauge pressure of a saturated space that starts at 3 kPa and loses so much."""
    from marshlight.matter.water import saturation_vapour_pressure_kpa

    start = SPACE_M3 * dry_normal_factor(float(warm[0]), float(air[0]) + 3.0)
    left = start - leak_m3_per_d * HOURS / 24.0
    dry = left / SPACE_M3 * 101.325 * (warm + 273.15) / 273.15
    return dry + saturation_vapour_pressure_kpa(warm) - air + noise


def _test(leak: float, *, swing_k: float = 0.0, allowed: float = 5e-5, seed: int = 3) -> LeakTest:
    rng = np.random.default_rng(seed)
    warm = 20.0 + swing_k * np.sin(2.0 * np.pi * HOURS / 24.0)
    air = 101.0 + 0.4 * HOURS / 24.0
    gauge = _pressures(leak, warm, air, 0.02 * rng.standard_normal(HOURS.size))
    return pressure_decay(
        HOURS,
        gauge,
        volume_m3=SPACE_M3,
        gas_c=warm,
        barometer_kpa=air,
        allowed_m3_per_d=allowed,
    )


def test_a_leak_is_found_through_a_day_s_swing_and_a_rising_barometer() -> None:
    found = _test(2.5e-4, swing_k=5.0)
    low, high = found.leak_m3_per_d.interval(0.95)
    assert low < 2.5e-4 < high
    assert found.verdict == "leaks"
    assert "It leaks" in found.sentence


def test_a_tight_vessel_is_called_tight_only_as_far_as_was_seen() -> None:
    found = _test(0.0, allowed=2e-4)
    assert found.verdict == "tight enough"
    assert "at most" in found.sentence


def test_what_cannot_be_told_yet_is_said_with_how_much_longer_it_takes() -> None:
    found = _test(4e-5, allowed=5e-5)
    assert found.verdict == "cannot tell yet"
    assert 0.0 < found.more_h < 1e4
    assert "more" in found.sentence


def test_the_interval_holds_the_truth_about_nineteen_times_in_twenty() -> None:
    inside = 0
    for seed in range(200):
        low, high = _test(1e-4, swing_k=3.0, seed=seed).leak_m3_per_d.interval(0.95)
        inside += low < 1e-4 < high
    assert inside >= 186


def test_a_space_that_cools_is_not_taken_for_a_leak() -> None:
    warm = np.linspace(24.0, 18.0, HOURS.size)
    air = np.full(HOURS.size, 101.0)
    gauge = _pressures(0.0, warm, air, np.zeros(HOURS.size))
    assert gauge[0] - gauge[-1] > 2.0
    found = pressure_decay(
        HOURS, gauge, volume_m3=SPACE_M3, gas_c=warm, barometer_kpa=air, allowed_m3_per_d=1e-4
    )
    assert found.leak_m3_per_d.value == pytest.approx(0.0, abs=1e-9)
    careless = pressure_decay(
        HOURS, gauge, volume_m3=SPACE_M3, gas_c=20.0, barometer_kpa=101.0, allowed_m3_per_d=1e-4
    )
    assert careless.verdict == "leaks"


def test_rising_pressure_says_nothing_about_leaks() -> None:
    found = _test(-3e-4)
    assert "increased" in found.sentence
    assert found.verdict != "leaks"


def test_a_sinking_holder_tells_its_leak() -> None:
    factor = dry_normal_factor(20.0, 101.0 + 0.8)
    hours = [0.0, 6.0, 12.0, 24.0]
    volume = [4e-3 - 0.6e-3 * h / 24.0 for h in hours]
    found = level_decay(
        hours,
        volume,
        gauge_kpa=0.8,
        gas_c=20.0,
        barometer_kpa=101.0,
        allowed_m3_per_d=1e-4,
        u_volume_m3=2e-5,
    )
    assert found.leak_m3_per_d.value == pytest.approx(0.6e-3 * factor)
    assert found.share_per_d == pytest.approx(0.15)
    assert found.verdict == "leaks"


def test_gas_made_meanwhile_is_counted_with_its_doubt() -> None:
    hours = [0.0, 6.0, 12.0, 24.0]
    found = level_decay(
        hours,
        [3e-3, 3.01e-3, 2.99e-3, 3e-3],
        gauge_kpa=0.8,
        gas_c=20.0,
        barometer_kpa=101.0,
        allowed_m3_per_d=2e-4,
        made_m3_per_d=Estimate(3e-4, 3e-4),
        u_volume_m3=2e-5,
    )
    assert found.leak_m3_per_d.value == pytest.approx(3e-4, rel=0.1)
    assert found.verdict == "cannot tell yet"
    assert "Shut the digester off" in found.sentence


def test_at_working_pressure_a_leak_is_a_range() -> None:
    low, high = leak_at_pressure(_test(2.5e-4), tested_kpa=3.0, working_kpa=0.75)
    assert high == pytest.approx(2.0 * low)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"hours": [0.0, 1.0]}, "hours"),
        ({"hours": [0.0, 2.0, 1.0]}, "hours"),
        ({"gauge_kpa": [3.0, 2.0]}, "readings"),
        ({"gas_c": [20.0, 21.0]}, "gas temperature"),
        ({"volume_m3": 0.0}, "volume"),
        ({"allowed_m3_per_d": 0.0}, "leak still accepted"),
        ({"gauge_kpa": [3.0, 2.0, float("nan")]}, "pressure"),
    ],
)
def test_impossible_tests_are_refused_by_name(change: dict[str, object], field: str) -> None:
    given: dict[str, object] = {
        "hours": [0.0, 6.0, 12.0],
        "gauge_kpa": [3.0, 2.9, 2.8],
        "volume_m3": SPACE_M3,
        "gas_c": 20.0,
        "barometer_kpa": 101.0,
        "allowed_m3_per_d": 1e-4,
    } | change
    with pytest.raises(InputError) as refused:
        pressure_decay(given.pop("hours"), given.pop("gauge_kpa"), **given)  # type: ignore[arg-type]
    assert refused.value.field == field
