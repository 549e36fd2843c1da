"""Floating cylinders: what their rise and weight say of the gas inside."""

import math

import numpy as np
import pytest

from marshlight.apparatus import FloatingCylinder
from marshlight.errors import InputError
from marshlight.matter.gas import GRAVITY_M_S2
from marshlight.matter.water import BRINE, water_density_kg_m3

THIN = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25)
THICK = FloatingCylinder(bore_m=0.15, mass_kg=1.5, travel_m=0.25, wall_m=0.003)


def test_the_gas_carries_the_cylinder() -> None:
    force = THIN.gauge_pressure_kpa(0.1) * 1e3 * THIN.area_m2
    assert force == pytest.approx(0.4 * GRAVITY_M_S2)


def test_the_wall_under_water_carries_its_share() -> None:
    deep, high = THICK.gauge_pressure_kpa(0.0), THICK.gauge_pressure_kpa(0.25)
    assert deep < high
    assert high == pytest.approx(1.5 * GRAVITY_M_S2 / THICK.area_m2 / 1e3)


def test_a_counterweight_takes_pressure_off() -> None:
    pulled = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25, counterweight_kg=0.3)
    assert pulled.gauge_pressure_kpa(0.1) == pytest.approx(0.25 * THIN.gauge_pressure_kpa(0.1))


def test_a_floating_cylinder_holds_more_than_its_rise_shows() -> None:
    head = 0.4 / water_density_kg_m3(20.0) / THIN.area_m2
    assert THIN.gas_volume_m3(0.1) == pytest.approx(THIN.area_m2 * (0.1 + head))


def test_at_its_rest_the_hidden_gas_is_in_doubt_and_the_doubt_is_said() -> None:
    assert THIN.volume_u_m3(0.0) > 3.0 * THIN.volume_u_m3(0.05)
    hidden = THIN.gas_volume_m3(0.01) - THIN.area_m2 * 0.01
    assert THIN.gas_volume_m3(0.0) == pytest.approx(hidden / 2.0)
    assert THIN.volume_u_m3(0.0) == pytest.approx(hidden / math.sqrt(12.0), rel=0.02)


def test_level_and_volume_are_each_others_inverse() -> None:
    levels = np.array([0.01, 0.1, 0.25])
    for drum in (THIN, THICK):
        assert np.allclose(drum.level_of(drum.gas_volume_m3(levels)), levels)


def test_a_light_cylinder_with_a_thick_wall_floats_by_itself() -> None:
    light = FloatingCylinder(bore_m=0.15, mass_kg=0.2, travel_m=0.25, wall_m=0.003)
    free = light.free_level_m()
    assert 0.0 < free < 0.25
    assert light.gauge_pressure_kpa(free) == pytest.approx(0.0, abs=1e-12)
    assert light.gauge_pressure_kpa(free / 2.0) < 0.0
    assert light.empty_volume_m3() == pytest.approx(light.area_m2 * free)


def test_a_thin_cylinder_pulled_up_by_its_counterweight_rises_by_itself() -> None:
    pulled = FloatingCylinder(bore_m=0.15, mass_kg=0.2, travel_m=0.25, counterweight_kg=0.3)
    assert pulled.free_level_m() == 0.25


def test_at_its_stop_it_says_that_it_is_full() -> None:
    held = THIN.held(np.array([0.1, 0.2495]), way="level", temperature_c=20.0)
    assert held.full.tolist() == [False, True]


def test_a_volume_may_be_given_instead_of_a_rise() -> None:
    volume = THIN.gas_volume_m3(0.12)
    held = THIN.held(np.array([volume]), way="volume", temperature_c=20.0)
    assert held.volume_m3[0] == volume
    assert held.gauge_kpa[0] == pytest.approx(THIN.gauge_pressure_kpa(0.12))


def test_brine_hides_less_gas_than_water() -> None:
    brine = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25, liquid=BRINE)
    assert brine.gas_volume_m3(0.1) < THIN.gas_volume_m3(0.1)
    assert brine.relative_humidity < 1.0


def test_a_wide_bore_error_is_shared_by_all_volumes() -> None:
    assert THIN.shared_relative_u == pytest.approx(2.0 * 0.0005 / 0.15)
    assert THIN.shared_gauge_u_kpa == pytest.approx(0.01 * GRAVITY_M_S2 / THIN.area_m2 / 1e3)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"bore_m": 0.0}, "bore_m"),
        ({"travel_m": -1.0}, "travel_m"),
        ({"mass_kg": float("inf")}, "mass_kg"),
        ({"wall_m": -0.001}, "wall_m"),
        ({"skirt_m": 0.1}, "skirt_m"),
    ],
)
def test_what_cannot_be_is_refused_by_name(change: dict[str, float], field: str) -> None:
    with pytest.raises(InputError) as caught:
        FloatingCylinder(**({"bore_m": 0.15, "mass_kg": 0.4, "travel_m": 0.25} | change))
    assert caught.value.field == field


def test_a_way_it_cannot_be_read_is_refused() -> None:
    with pytest.raises(InputError, match="level, volume"):
        THIN.gas_volume_m3(0.1, way="girth")
