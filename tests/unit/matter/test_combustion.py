"""Burning: moist gas gives less heat, dew points, and what is refused."""

import pytest

from marshlight.errors import InputError
from marshlight.matter.combustion import dew_point_c, gas_quality, heating_value_mj_m3


def test_moist_warm_gas_holds_less_heat_than_the_dry_normal_cubic_metre() -> None:
    gas = gas_quality(0.6, temperature_c=35.0, pressure_kpa=101.325)
    assert gas.net_as_is_mj_m3 < gas.net_mj_m3 < gas.net_normal_kwh_m3 * 3.6
    dry = gas_quality(0.6, temperature_c=35.0, pressure_kpa=101.325, relative_humidity=0.05)
    assert dry.net_as_is_mj_m3 > gas.net_as_is_mj_m3


def test_the_dew_point_of_saturated_gas_is_its_own_temperature() -> None:
    for celsius in (5.0, 20.0, 38.0):
        gas = gas_quality(0.6, temperature_c=celsius, pressure_kpa=101.325)
        assert gas.dew_point_c == pytest.approx(celsius, abs=0.01)


def test_the_reference_state_alone_changes_the_number_by_a_tenth() -> None:
    real = heating_value_mj_m3(1.0, combustion_c=25.0, volume_c=0.0, real_gas=True)
    ideal = heating_value_mj_m3(1.0, combustion_c=15.0, volume_c=15.0)
    gross = heating_value_mj_m3(1.0, combustion_c=15.0, volume_c=15.0, net=False)
    assert gross / ideal == pytest.approx(1.111, abs=0.001)
    assert real / ideal == pytest.approx(1.057, abs=0.001)


def test_an_untabulated_reference_temperature_is_refused() -> None:
    with pytest.raises(InputError, match="combustion_c"):
        heating_value_mj_m3(1.0, combustion_c=18.0, volume_c=0.0)


def test_a_real_gas_figure_for_a_mixture_is_refused() -> None:
    with pytest.raises(InputError, match="real_gas"):
        heating_value_mj_m3(0.6, combustion_c=25.0, volume_c=0.0, real_gas=True)


def test_impossible_gas_is_refused() -> None:
    with pytest.raises(InputError, match="methane"):
        gas_quality(1.2, temperature_c=20.0, pressure_kpa=101.325)
    with pytest.raises(InputError, match="pressure_kpa"):
        gas_quality(0.6, temperature_c=60.0, pressure_kpa=15.0)
    with pytest.raises(InputError, match="relative_humidity"):
        gas_quality(0.6, temperature_c=20.0, pressure_kpa=101.325, relative_humidity=0.0)
    with pytest.raises(InputError, match="vapour_kpa"):
        dew_point_c(0.01)
