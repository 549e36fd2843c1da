"""Air pressure by each route, and what each route leaves in doubt."""

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from marshlight.errors import InputError
from marshlight.matter.atmosphere import (
    AirPressure,
    geopotential_height_m,
    pressure_from_altitude,
    pressure_from_barometer,
    pressure_from_station,
    standard_height_m,
    standard_pressure_kpa,
    station_pressure_kpa,
)


@pytest.mark.parametrize("altitude", [-200.0, 0.0, 640.0, 2500.0, 5000.0])
def test_the_standard_pressure_agrees_with_the_reference_library(altitude: float) -> None:
    reference = ATMOSPHERE_1976(altitude).P / 1e3
    assert standard_pressure_kpa(altitude) == pytest.approx(reference, rel=1e-5)


def test_height_and_pressure_are_each_others_inverse() -> None:
    height = geopotential_height_m(1234.0)
    assert standard_height_m(standard_pressure_kpa(1234.0)) == pytest.approx(height)


def test_the_sea_level_value_of_a_forecast_is_not_the_pressure_in_the_hills() -> None:
    assert station_pressure_kpa(101.325, 640.0) == pytest.approx(standard_pressure_kpa(640.0))
    taken_as_it_is = AirPressure(101.325, 0.1, 0.1, "forecast")
    found = pressure_from_station(101.325, 640.0, reduced_to_sea_level=True)
    assert taken_as_it_is.pressure_kpa - found.pressure_kpa > 7.0


def test_in_cold_air_the_pressure_falls_faster_with_height() -> None:
    cold, warm = (station_pressure_kpa(101.325, 1500.0, air_temperature_c=t) for t in (-10.0, 30.0))
    assert cold < station_pressure_kpa(101.325, 1500.0) < warm


def test_a_standard_column_of_air_gives_the_standard_reduction() -> None:
    standard_air_c = 15.0 - 0.0065 * geopotential_height_m(640.0)
    with_air = station_pressure_kpa(101.325, 640.0, air_temperature_c=standard_air_c)
    assert with_air == pytest.approx(station_pressure_kpa(101.325, 640.0), rel=1e-6)


def test_a_barometer_beats_a_report_and_a_report_beats_the_altitude() -> None:
    barometer = pressure_from_barometer(94.0, u_kpa=0.1)
    report = pressure_from_station(101.3, 640.0, reduced_to_sea_level=True)
    altitude = pressure_from_altitude(640.0)
    assert barometer.u_kpa < report.u_kpa < altitude.u_kpa


def test_a_known_air_temperature_makes_a_report_surer() -> None:
    blind = pressure_from_station(101.3, 1500.0, reduced_to_sea_level=True)
    told = pressure_from_station(101.3, 1500.0, reduced_to_sea_level=True, air_temperature_c=5.0)
    assert told.u_kpa < blind.u_kpa


def test_a_station_value_is_taken_as_it_is() -> None:
    assert pressure_from_station(94.2, 640.0, reduced_to_sea_level=False).pressure_kpa == 94.2


def test_only_the_altitude_route_covers_the_weather() -> None:
    assert pressure_from_altitude(100.0).covers_weather
    assert not pressure_from_barometer(100.0, u_kpa=0.1).covers_weather


def test_an_uncertain_altitude_adds_to_the_doubt() -> None:
    sure, unsure = (pressure_from_altitude(640.0, u_altitude_m=u).u_kpa for u in (0.0, 200.0))
    assert unsure > sure + 0.9


@pytest.mark.parametrize(
    ("call", "field"),
    [
        (lambda: standard_pressure_kpa(20_000.0), "altitude_m"),
        (lambda: standard_pressure_kpa(float("nan")), "altitude_m"),
        (lambda: station_pressure_kpa(1013.0, 640.0), "sea_level_kpa"),
        (lambda: pressure_from_barometer(1013.0, u_kpa=0.1), "pressure_kpa"),
        (lambda: pressure_from_barometer(94.0, u_kpa=-0.1), "u_shared_kpa"),
    ],
)
def test_what_cannot_be_is_refused_by_name(call: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        call()  # type: ignore[operator]
    assert caught.value.field == field
