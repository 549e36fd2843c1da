"""The process model at the temperature that heater and weather give it."""

import numpy as np
import pytest

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import Body, Heater, Stand, Weather, Wrap, body_of, layer_of
from marshlight.errors import InputError
from marshlight.matter import find
from marshlight.process.heated_model import HeatedRun, simulate_heated, temperature_programme
from marshlight.process.model import (
    Digester,
    Holder,
    Liquid,
    SetTemperature,
    inoculum,
    liquid_from_feedstock,
    simulate,
    water,
)

SHED = Weather.swing(8.0, 20.0)
DRUM = Digester(0.012, Holder("floating", capacity_m3=0.03, gauge_kpa=0.2), temperature_c=37.0)


def _charge() -> Liquid:
    liquid = inoculum("digested cattle manure", 0.004) + water(0.002)
    return liquid + liquid_from_feedstock(find("goat manure"), 0.5)


def _body(place: str = "slurry") -> Body:
    foam = (layer_of("eps", 0.04),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.003),), side=foam, lid=foam, base=foam)
    return body_of(
        Vessel.given(volume_m3=0.012),
        slurry_m3=0.0066,
        wrap=wrap,
        stand=Stand("table"),
        heater_place=place,
    )


def _run(heater: Heater, *, air: Weather = SHED, start_c: float = 37.0) -> HeatedRun:
    return simulate_heated(DRUM, _charge(), _body(), heater, air=air, days=30, start_c=start_c)


def test_held_at_its_set_point_it_is_the_model_at_that_temperature() -> None:
    held = _run(Heater("immersed", 30.0, 37.0))
    plain = simulate(DRUM, _charge(), days=range(31))
    assert held.run.methane_m3[-1] == pytest.approx(plain.methane_m3[-1], rel=1e-4)
    assert np.allclose(held.course.slurry_c, 37.0, atol=1e-6)


def test_a_cold_shed_costs_gas() -> None:
    warm, cold = _run(Heater("immersed", 30.0, 37.0)), _run(Heater())
    assert cold.course.slurry_c[-1] < 20.0
    assert cold.run.methane_m3[-1] < 0.6 * warm.run.methane_m3[-1]


def test_gas_and_heat_agree_and_the_book_closes() -> None:
    found = _run(Heater("immersed", 6.0), start_c=25.0)
    assert found.rounds <= 3
    assert abs(found.course.book.gap) < 1e-9
    assert found.course.book.vapour > 0.0
    assert found.course.gas_m3.sum() == pytest.approx(found.run.biogas_m3[-1], rel=0.02)


def test_steps_of_half_a_kelvin_are_fine_enough() -> None:
    course = _run(Heater("immersed", 6.0), start_c=25.0).course
    gas = []
    for step in (0.5, 0.1):
        programme = temperature_programme(course, step_k=step)
        start = Digester(0.012, DRUM.holder, temperature_c=programme[0].celsius)
        gas.append(simulate(start, _charge(), days=range(31), events=programme[1:]).methane_m3[-1])
    assert gas[0] == pytest.approx(gas[1], rel=0.01)


def test_a_temperature_given_besides_is_refused() -> None:
    with pytest.raises(InputError, match="heater and weather"):
        simulate_heated(
            DRUM,
            _charge(),
            _body(),
            Heater(),
            air=SHED,
            days=5,
            start_c=30.0,
            events=(SetTemperature(1.0, 20.0),),
        )
    with pytest.raises(InputError, match="days or start"):
        _run(Heater(), start_c=90.0)


def test_a_run_goes_on_from_what_its_log_had_done_to_it() -> None:
    held = Heater("immersed", 30.0, 37.0)
    going_on = simulate_heated(
        DRUM, _charge(), _body(), held, air=SHED, days=20, start_c=37.0, from_day=10.0
    )
    plain = simulate(DRUM, _charge(), days=range(31))
    assert going_on.run.day[1] == 10.0
    assert going_on.run.methane_m3[-1] == pytest.approx(plain.methane_m3[-1], rel=1e-3)


def test_temperatures_logged_before_it_goes_on_count() -> None:
    cold_before = simulate_heated(
        DRUM, _charge(), _body(), Heater("immersed", 30.0, 37.0), air=SHED, days=5, start_c=37.0,
        events=(SetTemperature(1.0, 15.0),), from_day=10.0,
    )  # fmt: skip
    warm = simulate(DRUM, _charge(), days=[0.0, 10.0])
    assert cold_before.run.methane_m3[1] < 0.5 * warm.methane_m3[-1]


def test_no_temperature_may_be_set_once_the_course_has_begun() -> None:
    with pytest.raises(InputError, match="once the course has begun"):
        simulate_heated(
            DRUM, _charge(), _body(), Heater(), air=SHED, days=5, start_c=20.0,
            events=(SetTemperature(10.0, 20.0),), from_day=10.0,
        )  # fmt: skip
