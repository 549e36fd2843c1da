"""Displacement columns: the head changes while gas gathers."""

import numpy as np
import pytest

from marshlight.apparatus import DisplacementColumn
from marshlight.errors import InputError
from marshlight.matter.gas import GRAVITY_M_S2
from marshlight.matter.water import ACIDIFIED_BRINE, water_density_kg_m3

COLUMN = DisplacementColumn(bore_m=0.1, height_m=0.5, top_above_bath_m=0.3)


def test_gas_is_under_suction_until_the_levels_meet() -> None:
    assert COLUMN.gauge_pressure_kpa(0.1) < 0.0
    assert COLUMN.gauge_pressure_kpa(0.3) == pytest.approx(0.0)
    assert COLUMN.gauge_pressure_kpa(0.4) > 0.0


def test_the_head_is_the_difference_of_levels() -> None:
    expected = -0.2 * water_density_kg_m3(20.0) * GRAVITY_M_S2 / 1e3
    assert COLUMN.gauge_pressure_kpa(0.1) == pytest.approx(expected)


def test_a_narrow_bath_rises_with_what_is_pushed_out() -> None:
    narrow = DisplacementColumn(
        bore_m=0.1, height_m=0.5, top_above_bath_m=0.3, bath_area_m2=COLUMN.area_m2
    )
    gained = narrow.gauge_pressure_kpa(0.1) - COLUMN.gauge_pressure_kpa(0.1)
    assert gained == pytest.approx(0.1 * water_density_kg_m3(20.0) * GRAVITY_M_S2 / 1e3)


def test_level_volume_and_mass_of_liquid_tell_the_same() -> None:
    volume = COLUMN.gas_volume_m3(0.2)
    assert COLUMN.gas_volume_m3(volume, way="volume") == pytest.approx(volume)
    mass = volume * water_density_kg_m3(20.0)
    assert COLUMN.gas_volume_m3(mass, way="liquid_mass") == pytest.approx(volume)
    held = [
        COLUMN.held(np.array([value]), way=way, temperature_c=20.0)
        for value, way in ((0.2, "level"), (volume, "volume"), (mass, "liquid_mass"))
    ]
    assert np.allclose([gas.gauge_kpa[0] for gas in held], COLUMN.gauge_pressure_kpa(0.2))


def test_gas_in_tap_and_hose_is_counted() -> None:
    dead = DisplacementColumn(bore_m=0.1, height_m=0.5, top_above_bath_m=0.3, dead_m3=1e-4)
    assert dead.gas_volume_m3(0.2) - COLUMN.gas_volume_m3(0.2) == pytest.approx(1e-4)
    assert dead.empty_volume_m3() == 1e-4
    assert dead.level_of(dead.gas_volume_m3(0.2)) == pytest.approx(0.2)


def test_a_column_about_to_bubble_says_that_it_is_full() -> None:
    held = COLUMN.held(np.array([0.2, 0.5]), way="level", temperature_c=20.0)
    assert held.full.tolist() == [False, True]


def test_gas_over_brine_is_drier() -> None:
    brine = DisplacementColumn(
        bore_m=0.1, height_m=0.5, top_above_bath_m=0.3, liquid=ACIDIFIED_BRINE
    )
    assert brine.relative_humidity == pytest.approx(0.753)


@pytest.mark.parametrize("field", ["bore_m", "height_m"])
def test_what_cannot_be_is_refused_by_name(field: str) -> None:
    sizes = {"bore_m": 0.1, "height_m": 0.5, "top_above_bath_m": 0.3, field: 0.0}
    with pytest.raises(InputError) as caught:
        DisplacementColumn(**sizes)
    assert caught.value.field == field
