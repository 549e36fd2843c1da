"""Heat and gas together."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    Body,
    Heater,
    Stand,
    Weather,
    Wrap,
    body_of,
    layer_of,
    warm_course,
)
from marshlight.errors import InputError
from marshlight.process.heated import BatchGas, FedGas, heat_forecast, quick_factor
from marshlight.process.temperature import temperature_factor

SHED = Weather.swing(6.0, 24.0)


def _body() -> Body:
    foam = (layer_of("eps", 0.04),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.003),), side=foam, lid=foam, base=foam)
    return body_of(
        Vessel.cylinder(diameter_m=0.28, height_m=0.406),
        slurry_m3=0.016,
        wrap=wrap,
        stand=Stand("table"),
        heater_place="wall",
    )


def test_the_quick_factor_is_the_curve_itself() -> None:
    asked = np.linspace(-30.0, 70.0, 501)
    quick = np.array([quick_factor(float(t)) for t in asked])
    assert np.allclose(quick, temperature_factor(asked), atol=0.004)


def test_a_batch_uses_up_what_it_has_and_a_fed_one_does_not() -> None:
    batch = BatchGas(0.1, 0.2)
    days = [batch.made_m3(38.0, 1.0) for _ in range(60)]
    assert sum(days) == pytest.approx(0.1 * (1.0 - np.exp(-12.0)))
    assert days[0] > days[10] > days[30]
    fed = FedGas(0.02)
    assert fed.made_m3(38.0, 1.0) == pytest.approx(0.02)
    assert fed.made_m3(20.0, 1.0) == pytest.approx(0.02 * float(temperature_factor(20.0)), rel=0.01)


def test_a_warm_vessel_makes_more_gas_than_a_cold_one() -> None:
    warm, cold = (
        warm_course(_body(), heater, SHED, days=20.0, start_c=20.0, gas=BatchGas(0.1, 0.1))
        for heater in (Heater("cable", 40.0, 37.0), Heater())
    )
    assert warm.gas_m3.sum() > 1.5 * cold.gas_m3.sum()


def _forecast(seed: int = 1, **more: object) -> object:
    given: dict[str, object] = {"days": 4.0, "start_c": 25.0, "air_u_k": 2.0, "step_h": 2.0} | more
    return heat_forecast(
        _body(),
        Heater("cable", 10.0),
        SHED,
        rng=np.random.default_rng(seed),
        **given,  # type: ignore[arg-type]
    )


def test_bands_widen_with_time_and_hold_the_middle_course() -> None:
    seen = _forecast()
    wide = seen.slurry_c.high95 - seen.slurry_c.low95
    assert wide[-1] > 1.5 * wide[0]
    inside = (seen.middle.slurry_c >= seen.slurry_c.low95) & (
        seen.middle.slurry_c <= seen.slurry_c.high95
    )
    assert bool(inside.all())


def test_the_same_seed_gives_the_same_bands() -> None:
    assert np.array_equal(_forecast(3).slurry_c.median, _forecast(3).slurry_c.median)


def test_the_run_s_own_gas_is_not_used_up_by_looking_ahead() -> None:
    gas = BatchGas(0.05, 0.2)
    _forecast(gas=gas)
    assert gas == replace(gas, left_m3=0.05)


def test_a_greater_loss_settles_cooler() -> None:
    cable = Heater("cable", 10.0)
    near, far = (
        warm_course(_body(), cable, SHED, days=30.0, start_c=25.0, loss_factor=factor).slurry_c[-1]
        for factor in (0.8, 1.2)
    )
    assert near > far + 1.0


def test_too_few_draws_and_negative_gas_are_refused() -> None:
    with pytest.raises(InputError, match="draws"):
        _forecast(draws=5)
    with pytest.raises(InputError, match="gas to come"):
        BatchGas(-1.0, 0.1)
