"""A year of heat, hour by hour with gas, and a fortnight's bands for a page."""

from collections.abc import Iterable

import numpy as np
from benchmarks.harness import BenchRow, against, seconds

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
    layer_of,
    losses,
    warm_course,
)
from marshlight.process.heated import FedGas, heat_forecast
from marshlight.process.temperature import temperature_factor

_MONTHS = (2.0, 3.0, 6.0, 9.0, 13.0, 16.0, 18.0, 18.0, 15.0, 11.0, 6.0, 3.0)
_FORTNIGHT_D = 14.0


def _drum() -> Body:
    foam = (layer_of("eps", 0.04),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.003),), side=foam, lid=foam, base=foam)
    return body_of(
        Vessel.cylinder(diameter_m=0.28, height_m=0.406),
        slurry_m3=0.016,
        wrap=wrap,
        stand=Stand("table"),
        heater_place="wall",
    )


def _solver(body: Body, air: Weather, days: float) -> object:
    """Solve the same equations, cable always on, with a general stiff solver."""
    from scipy.integrate import solve_ivp

    cable = Heater("cable", 15.0)

    def rate(t: float, y: np.ndarray) -> list[float]:
        now = float(y[0])
        gas = Flows(gas_m3_per_d=0.02 * float(temperature_factor(now)))
        found = losses(body, now, Outside(float(air.at(t / 86400.0)), air.mean_c), gas)
        heat = 15.0 * cable.share_in(body, found.passages)
        return [(heat - found.total_w) / body.heat_capacity_j_k]

    return solve_ivp(rate, (0.0, days * 86400.0), [30.0], method="BDF", rtol=1e-5, max_step=7200.0)


def _with_model(body: Body, air: Weather) -> object:
    """Follow temperature and the whole process model for a year, cable always on."""
    from marshlight.matter import find
    from marshlight.process.heated_model import simulate_heated
    from marshlight.process.model import Digester, Holder, inoculum, liquid_from_feedstock, water

    charge = inoculum("digested cattle manure", 0.010) + water(0.005)
    charge = charge + liquid_from_feedstock(find("goat manure"), 1.0)
    drum = Digester(0.025, Holder("floating", capacity_m3=0.5, gauge_kpa=0.2), temperature_c=30.0)
    return simulate_heated(
        drum, charge, body, Heater("cable", 15.0), air=air, days=365, start_c=30.0
    )


def rows() -> Iterable[BenchRow]:
    """Time hourly courses against a general solver on the same equations."""
    body = _drum()
    year = Weather.monthly(_MONTHS, half_swing_k=5.0)
    yield against(
        "a year of heat at hourly steps, temperature driving gas",
        lambda: warm_course(
            body, Heater("cable", 15.0), year, days=365.0, start_c=30.0, gas=FedGas(0.02)
        ),
        lambda: _solver(body, year, 365.0),
        repeats=3,
        target="below 1000 ms; baseline scipy's BDF, two hours a step at the most",
    )
    held = Heater("cable", 40.0, 37.0)
    yield BenchRow(
        "a year of heat with a thermostat that switches",
        seconds(
            lambda: warm_course(body, held, year, days=365.0, start_c=37.0, gas=FedGas(0.02)),
            repeats=3,
        )
        * 1e3,
        "ms",
        target="below 1000 ms",
    )
    yield BenchRow(
        "a year of heat and the process model together, hourly steps",
        seconds(lambda: _with_model(body, year), repeats=3) * 1e3,
        "ms",
        target="below 1000 ms",
    )
    yield BenchRow(
        "a fortnight's temperature bands, 60 courses",
        seconds(
            lambda: heat_forecast(
                body,
                held,
                Weather.swing(6.0, 24.0),
                days=_FORTNIGHT_D,
                start_c=30.0,
                rng=np.random.default_rng(1),
                air_u_k=2.0,
                gas=FedGas(0.02),
                step_h=2.0,
            ),
            repeats=3,
        )
        * 1e3,
        "ms",
        target="below 300 ms",
    )
