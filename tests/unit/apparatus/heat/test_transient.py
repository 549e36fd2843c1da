"""Temperature through time beside an independent solver, and weather."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    Body,
    Flows,
    Heater,
    Outside,
    Stand,
    Weather,
    Wrap,
    body_of,
    coil,
    layer_of,
    losses,
    settle,
    warm_course,
    warm_up_s,
)
from marshlight.errors import InputError

DRUM = Vessel.cylinder(diameter_m=0.28, height_m=0.406)
SHED = Weather.swing(6.0, 24.0)


def _body(thickness_m: float = 0.04, place: str = "slurry") -> Body:
    foam = (layer_of("eps", thickness_m),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.003),), side=foam, lid=foam, base=foam)
    return body_of(DRUM, slurry_m3=0.016, wrap=wrap, stand=Stand("table"), heater_place=place)


@pytest.mark.parametrize("thickness", [0.0, 0.04])
def test_hourly_steps_agree_with_an_independent_solver(thickness: float) -> None:
    body, heater = _body(thickness), Heater("immersed", 15.0)
    flows = Flows(0.5, 10.0, 0.01)

    def rate(t: float, y: np.ndarray) -> list[float]:
        air = float(SHED.at(t / 86400.0))
        found = losses(body, float(y[0]), Outside(air, SHED.mean_c), flows)
        return [(15.0 - found.total_w) / body.heat_capacity_j_k]

    exact = solve_ivp(rate, (0.0, 3 * 86400.0), [20.0], rtol=1e-8, atol=1e-8, max_step=1800.0)
    course = warm_course(body, heater, SHED, days=3.0, start_c=20.0, flows=flows)
    assert course.slurry_c[-1] == pytest.approx(exact.y[0, -1], abs=0.15)
    finer = warm_course(body, heater, SHED, days=3.0, start_c=20.0, flows=flows, step_h=0.25)
    assert finer.slurry_c[-1] == pytest.approx(exact.y[0, -1], abs=0.04)


def test_warming_up_takes_as_long_as_the_closed_form_says() -> None:
    body = replace(_body(), ways=())
    course = warm_course(
        body, Heater("immersed", 50.0), Weather.constant(20.0), days=0.5, start_c=20.0
    )
    per_hour = 50.0 * 3600.0 / body.heat_capacity_j_k
    assert course.slurry_c[6] == pytest.approx(20.0 + 6.0 * per_hour)
    exact = warm_up_s(
        20.0,
        30.0,
        heat_capacity_j_k=body.heat_capacity_j_k,
        conductance_w_k=0.0,
        power_w=50.0,
        outside_c=20.0,
    )
    assert course.reaches_day(30.0) == pytest.approx(math.ceil(exact / 3600.0) / 24.0)


def test_it_ends_where_the_steady_balance_settles() -> None:
    body, cable = _body(place="wall"), Heater("cable", 12.0)
    course = warm_course(body, cable, Weather.constant(18.0), days=40.0, start_c=18.0)
    steady = settle(body, cable, Outside(18.0, 18.0))
    assert course.slurry_c[-1] == pytest.approx(steady.slurry_c, abs=0.01)


def test_a_thermostat_holds_and_its_duty_follows_the_shed() -> None:
    body, cable = _body(place="wall"), Heater("cable", 40.0, 37.0)
    course = warm_course(body, cable, SHED, days=5.0, start_c=37.0)
    assert np.allclose(course.slurry_c, 37.0, atol=1e-6)
    cold, warm = course.duty[-24 + 3], course.duty[-24 + 15]
    assert cold > warm > 0.0
    steady = settle(body, cable, Outside(SHED.mean_c, SHED.mean_c))
    assert course.energy_kwh_per_d == pytest.approx(steady.power_w * 0.024, rel=0.02)


def test_a_stuck_thermostat_runs_past_the_set_point() -> None:
    cable = Heater("cable", 40.0, 37.0)
    stuck = warm_course(_body(place="wall"), cable.always_on(), SHED, days=4.0, start_c=37.0)
    assert stuck.slurry_c[-1] > 60.0


def test_above_its_set_point_it_cools_to_it_and_then_holds() -> None:
    course = warm_course(
        _body(), Heater("immersed", 40.0, 30.0), Weather.constant(15.0), days=4.0, start_c=45.0
    )
    assert course.slurry_c[0] == 45.0
    assert course.duty[0] == 0.0
    assert course.slurry_c[-1] == pytest.approx(30.0)
    assert 0.0 < course.duty[-1] < 1.0


def test_the_sun_gives_its_day_s_heat_and_nothing_at_night() -> None:
    sun = Heater("sun", 20.0, daylight_h=8.0)
    course = warm_course(_body(), sun, SHED, days=1.0, start_c=20.0, step_h=0.1)
    assert course.book.given == pytest.approx(20.0 * 0.024, rel=0.002)
    assert course.power_w[0] == 0.0


def test_a_coil_pulls_toward_its_water_and_stops_at_the_set_point() -> None:
    held = replace(coil(55.0, 0.05), set_point_c=37.0)
    course = warm_course(_body(), held, SHED, days=3.0, start_c=15.0)
    assert course.slurry_c.max() == pytest.approx(37.0, abs=1e-6)
    assert abs(course.book.gap) < 1e-9


def test_gas_made_follows_the_maker_and_carries_heat() -> None:
    class Steady:
        def made_m3(self, slurry_c: float, step_d: float) -> float:
            return 0.02 * step_d * (slurry_c > 30.0)

    course = warm_course(
        _body(), Heater("immersed", 40.0, 37.0), SHED, days=4.0, start_c=20.0, gas=Steady()
    )
    assert 0.0 < course.gas_m3.sum() < 0.08
    assert course.book.vapour > 0.0


def test_monthly_means_are_met_in_the_middle_of_the_month() -> None:
    year = Weather.monthly([2, 3, 6, 9, 13, 16, 18, 18, 15, 11, 6, 3])
    assert float(year.at(15.5)) == pytest.approx(2.0)
    assert float(year.at(15.5 + 365.0)) == pytest.approx(2.0)
    spring = Weather.monthly([2, 3, 6, 9, 13, 16, 18, 18, 15, 11, 6, 3], start_day=90.0)
    assert float(spring.at(15.0)) == pytest.approx(9.0)


def test_a_series_is_straight_in_between_and_held_outside() -> None:
    seen = Weather.series([0.0, 1.0, 2.0], [10.0, 20.0, 12.0])
    assert seen.at([-1.0, 0.5, 1.5, 9.0]).tolist() == [10.0, 15.0, 16.0, 12.0]
    assert seen.shifted(-3.0).coldest_c == 7.0
    assert SHED.warmest_c == 24.0


@pytest.mark.parametrize(
    ("act", "field"),
    [
        (lambda: Weather.swing(24.0, 6.0), "daily swing"),
        (lambda: Weather.constant(300.0), "temperature around the vessel"),
        (lambda: Weather.series([1.0, 0.0], [1.0, 2.0]), "days of the temperatures"),
        (lambda: Weather.monthly([1.0, 2.0]), "monthly temperatures"),
        (lambda: warm_course(_body(), Heater(), SHED, days=0.0, start_c=20.0), "days"),
        (
            lambda: warm_course(_body(), Heater(), SHED, days=1.0, start_c=20.0, step_h=48.0),
            "step",
        ),
    ],
)
def test_impossible_weather_and_steps_are_refused_by_name(act: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        act()  # type: ignore[operator]
    assert refused.value.field == field
