"""Gas cleaning: beds that last as asked, air doses refused in time, water and condensate."""

import pytest

from marshlight.apparatus.cleaning import (
    REGENERATION_HAZARD,
    air_dose,
    dry_gas,
    iron_bed,
    scrub,
    sulphide_kg_per_d,
)
from marshlight.errors import InputError


def test_a_bed_by_capacity_lasts_as_long_as_asked() -> None:
    assert iron_bed(10.0, 2000e-6, days=90.0).life_d == pytest.approx(90.0)


def test_a_small_need_is_bound_by_contact_time_and_lasts_longer() -> None:
    bed = iron_bed(10.0, 100e-6, days=10.0)
    assert bed.bed_m3 == bed.by_contact_m3 > bed.by_capacity_m3
    assert bed.life_d > 10.0


def test_a_bed_comes_with_its_fire_hazard() -> None:
    assert "fire" in REGENERATION_HAZARD
    assert "indoors" in REGENERATION_HAZARD


@pytest.mark.parametrize("air", [0.11, 0.15, 0.5, -0.01])
def test_a_dangerous_share_of_air_is_refused(air: float) -> None:
    with pytest.raises(InputError, match="Do not dose so much air"):
        air_dose(air, h2s_share=2000e-6, methane=0.60)


def test_poor_gas_is_not_aerated() -> None:
    with pytest.raises(InputError, match="Do not aerate gas of a starting"):
        air_dose(0.03, h2s_share=2000e-6, methane=0.30)


def test_air_that_is_not_used_up_leaves_oxygen_in_the_gas() -> None:
    enough = air_dose(0.00477, h2s_share=2000e-6, methane=0.60)
    more = air_dose(0.06, h2s_share=2000e-6, methane=0.60)
    assert enough.oxygen_left < 1e-4 < more.oxygen_left
    assert not enough.unusual
    assert air_dose(0.08, h2s_share=2000e-6, methane=0.60).unusual


def test_a_jar_of_water_cannot_wash_much_gas() -> None:
    cold = scrub(0.60, temperature_c=10.0)
    assert 1.0 < cold.jar_gas_m3_per_m3 < 1.3
    assert cold.least_water_m3 < scrub(0.60, temperature_c=25.0).least_water_m3
    assert scrub(0.6, temperature_c=10.0, pressure_kpa=900.0).least_water_m3 < 0.1


def test_cooling_drops_water_and_the_rest_wants_a_bed() -> None:
    dried = dry_gas(1.0, from_c=38.0, to_c=10.0, days=10.0)
    assert dried.condensate_kg_d == pytest.approx(dried.carried_kg_m3 - dried.left_kg_m3)
    assert dried.silica_kg == pytest.approx(10.0 * dried.left_kg_m3 / 0.20)


def test_impossible_questions_are_refused() -> None:
    with pytest.raises(InputError, match="hydrogen sulphide"):
        sulphide_kg_per_d(1.0, 0.2, temperature_c=25.0, pressure_kpa=101.325)
    with pytest.raises(InputError, match="hydrogen sulphide"):
        iron_bed(1.0, 0.0, days=10.0)
    with pytest.raises(InputError, match="temperature after cooling"):
        dry_gas(1.0, from_c=10.0, to_c=30.0, days=1.0)
    with pytest.raises(InputError, match="water temperature"):
        scrub(0.6, temperature_c=90.0)
