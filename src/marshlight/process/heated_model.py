"""The process model kept as warm as heater and weather allow: temperature and gas, hand in hand."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus.heat import Body, Course, Flows, Heater, Weather, warm_course
from marshlight.errors import FitError, require
from marshlight.process.model import Digester, DigesterRun, Liquid, SetTemperature, simulate
from marshlight.process.model.events import Event

Floats = NDArray[np.float64]
# The model restarts at every step of temperature: finer ones change its gas by less than 1 %.
STEP_K = 0.5
_AGREE_K = 0.05
_MOST_ROUNDS = 5
# The range the model's temperature laws are made for.
_LOWEST_C, _HIGHEST_C = 5.0, 60.0


@dataclass
class _RecordedGas:
    """Gas as the model made it in the round before, taken step by step [m3]."""

    day: Floats
    total_m3: Floats
    now_d: float = 0.0

    def made_m3(self, slurry_c: float, step_d: float) -> float:
        """Give the gas of the next step [m3]."""
        before, after = np.interp([self.now_d, self.now_d + step_d], self.day, self.total_m3)
        self.now_d += step_d
        return float(after - before)


@dataclass(frozen=True)
class HeatedRun:
    """A digester's run with the temperature course it had; ``rounds`` until both agreed."""

    run: DigesterRun
    course: Course
    rounds: int


def simulate_heated(
    digester: Digester,
    charge: Liquid,
    body: Body,
    heater: Heater,
    *,
    air: Weather,
    days: int,
    start_c: float,
    events: Sequence[Event] = (),
    flows: Flows | None = None,
    from_day: float = 0.0,
    step_h: float = 1.0,
) -> HeatedRun:
    """Run the process model at the temperature that heater and weather give it.

    Parameters
    ----------
    digester : Digester
        Vessel and holder; its temperature is replaced by the course's, from ``from_day`` on.
    charge : Liquid
        What is in it at day 0.
    body : Body
        The same vessel as ways for heat, laid out for the heater's place.
    heater : Heater
        With or without a thermostat.
    air : Weather
        Around the vessel; its days are the run's own.
    days : int
        Length, 1 or more [d].
    start_c : float
        Temperature when the course begins, 5 to 60 [degC].
    events : sequence of Event
        Feeds, doses and the rest; temperatures only before ``from_day``.
    flows : Flows, optional
        Mean feed with its temperature, for the heat it takes.
    from_day : float
        When the course begins: a run up to now may have had any temperatures [d].
    step_h : float
        Step of the temperature course [h].

    Returns
    -------
    HeatedRun
        Gas, pH and the rest; the temperature course and its heat book.

    Raises
    ------
    InputError
        If days or temperatures are out of range, or an event sets a temperature that the course
        should.
    FitError
        If temperature and gas do not come to agree.

    Notes
    -----
    The course is worked out, the model run at it in steps of half a kelvin, its gas put
    back as vapour that carries heat out, until the course moves by less than 0.05 K. As
    vapour takes a few percent of the heat, two or three rounds do.

    References
    ----------
    lumped_balance; vapour_heat; batstone_2002.
    """
    require(
        days >= 1 and from_day >= 0.0 and _LOWEST_C <= start_c <= _HIGHEST_C,
        field="days or start",
        value=(days, from_day, start_c),
        allowed=f"1 or more days from day 0 or later; {_LOWEST_C:g} to {_HIGHEST_C:g} degC",
        remedy="Check length and starting temperature",
    )
    require(
        all(event.day < from_day for event in events if isinstance(event, SetTemperature)),
        field="events",
        value="SetTemperature",
        allowed="any but temperatures once the course has begun",
        remedy="Leave the temperature to heater and weather",
    )
    report = from_day + np.arange(days + 1.0)
    first = (0.0,) if from_day > 0.0 else ()
    gas: _RecordedGas | None = None
    before: Floats | None = None
    for turn in range(1, _MOST_ROUNDS + 1):
        course = warm_course(
            body, heater, air, days=float(days), start_c=start_c, start_day=from_day, flows=flows,
            gas=gas, step_h=step_h,
        )  # fmt: skip
        programme = temperature_programme(course, from_day=from_day)
        begun = digester if first else replace(digester, temperature_c=programme[0].celsius)
        run = simulate(
            begun,
            charge,
            days=np.concatenate([first, report]),
            events=_in_order(programme if first else programme[1:], events),
        )
        if before is not None and float(np.max(np.abs(course.slurry_c - before))) < _AGREE_K:
            return HeatedRun(run, course, turn)
        before = course.slurry_c
        made = np.asarray(run.biogas_m3, dtype=np.float64)[len(first) :]
        gas = _RecordedGas(report - from_day, made)
    raise FitError(
        "Temperature and gas do not come to agree: the gas seems to carry out as much heat as the "
        "heater brings. Check the vessel's size and the heater's power."
    )


def temperature_programme(
    course: Course, *, step_k: float = STEP_K, from_day: float = 0.0
) -> tuple[SetTemperature, ...]:
    """Turn a temperature course into steps that the process model takes.

    Parameters
    ----------
    course : Course
        From ``warm_course``; its first day is the model's ``from_day``.
    step_k : float
        A new step begins where the course has left the last by this much [K].
    from_day : float
        Day of the model when the course begins [d].

    Returns
    -------
    tuple of SetTemperature
        The first when the course begins; held to the 5 to 60 degC that the model is made for.
    """
    held = np.clip(course.slurry_c, _LOWEST_C, _HIGHEST_C)
    steps = [SetTemperature(from_day, float(held[0]))]
    for day, celsius in zip(course.day - course.day[0] + from_day, held, strict=True):
        if abs(celsius - steps[-1].celsius) >= step_k and day > from_day:
            steps.append(SetTemperature(float(day), float(celsius)))
    return tuple(steps)


def _in_order(programme: Sequence[Event], events: Sequence[Event]) -> tuple[Event, ...]:
    return tuple(sorted((*programme, *events), key=lambda event: event.day))
