"""Water's properties, against reference libraries asked live."""

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from iapws import IAPWS97
from iapws._iapws import _Henry

from marshlight.errors import InputError
from marshlight.matter.water import (
    ACIDIFIED_BRINE,
    BARRIER_LIQUIDS,
    BRINE,
    FRESH_WATER,
    henry_kpa,
    saturation_vapour_pressure_kpa,
    solubility_mol_m3_kpa,
    vapour_pressure_slope_kpa_k,
    water_density_kg_m3,
)
from marshlight.sources import source

TEMPERATURES = (1.0, 15.0, 25.0, 37.0, 55.0, 95.0)


@pytest.mark.parametrize("celsius", TEMPERATURES)
def test_the_vapour_pressure_agrees_with_two_reference_libraries(celsius: float) -> None:
    ours = saturation_vapour_pressure_kpa(celsius)
    helmholtz = PropsSI("P", "T", celsius + 273.15, "Q", 1, "Water") / 1e3
    assert ours == pytest.approx(helmholtz, rel=2e-4)
    assert ours == pytest.approx(IAPWS97(T=celsius + 273.15, x=0).P * 1e3, rel=2e-4)


@pytest.mark.parametrize("celsius", TEMPERATURES)
def test_the_density_agrees_with_the_reference_equation_of_state(celsius: float) -> None:
    reference = PropsSI("D", "T", celsius + 273.15, "P", 101325.0, "Water")
    assert water_density_kg_m3(celsius) == pytest.approx(reference, rel=1e-4)


@pytest.mark.parametrize("celsius", TEMPERATURES)
def test_the_slope_is_the_derivative_of_the_pressure(celsius: float) -> None:
    above = saturation_vapour_pressure_kpa(celsius + 1e-3)
    below = saturation_vapour_pressure_kpa(celsius - 1e-3)
    assert vapour_pressure_slope_kpa_k(celsius) == pytest.approx((above - below) / 2e-3, rel=1e-6)


@pytest.mark.parametrize("gas", ["CO2", "CH4", "N2", "O2", "H2S", "H2"])
@pytest.mark.parametrize("celsius", [5.0, 25.0, 55.0])
def test_henrys_constant_agrees_with_the_reference_library(gas: str, celsius: float) -> None:
    reference = _Henry(celsius + 273.15, gas) * 1e3
    assert henry_kpa(gas, celsius) == pytest.approx(reference, rel=2e-4)


def test_warm_water_dissolves_less() -> None:
    warm = solubility_mol_m3_kpa("CO2", np.array([10.0, 25.0, 40.0]))
    assert np.all(np.diff(warm) < 0.0)


def test_below_freezing_the_curve_is_that_of_supercooled_water() -> None:
    # Murphy and Koop 2005 give 0.28650 kPa over liquid at -10 degC (value from memory).
    assert saturation_vapour_pressure_kpa(-10.0) == pytest.approx(0.2865, rel=3e-3)


def test_a_float_gives_a_float_and_an_array_an_array() -> None:
    assert type(saturation_vapour_pressure_kpa(20.0)) is float
    assert saturation_vapour_pressure_kpa(np.array([20.0])).shape == (1,)


@pytest.mark.parametrize("wrong", [-40.0, 300.0, float("nan")])
def test_an_impossible_temperature_is_refused_by_name(wrong: float) -> None:
    with pytest.raises(InputError) as caught:
        saturation_vapour_pressure_kpa(wrong)
    assert caught.value.field == "temperature_c"


def test_an_unknown_gas_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match="CH4, CO2"):
        henry_kpa("CO", 20.0)


def test_brine_is_heavier_dries_the_gas_and_takes_less_carbon_dioxide() -> None:
    assert BRINE.density_kg_m3(20.0) == pytest.approx(1197.0, rel=1e-4)
    assert BRINE.water_activity < FRESH_WATER.water_activity
    assert BRINE.co2_solubility_ratio < FRESH_WATER.co2_solubility_ratio
    assert ACIDIFIED_BRINE.alkalinity_mol_m3 == 0.0


def test_every_liquid_names_a_source_that_exists() -> None:
    for liquid in BARRIER_LIQUIDS.values():
        assert source(liquid.source).citation
