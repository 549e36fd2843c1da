"""Heat and gas together: the temperature drives the gas, and the gas carries heat out."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus.heat import Body, Course, Flows, Heater, Weather, warm_course
from marshlight.errors import require
from marshlight.process.bands import Band, band
from marshlight.process.temperature import temperature_factor

Floats = NDArray[np.float64]
DRAWS = 60
# Relative standard uncertainty of a computed heat loss (source `heat_spread`).
LOSS_U = 0.15
# Standard uncertainty of a thermometer read by hand: our choice.
START_U_K = 0.5
_TABLE_LOW_C, _TABLE_STEP_K = -20.0, 0.05
_TABLE = temperature_factor(np.arange(_TABLE_LOW_C, 60.0, _TABLE_STEP_K)).tolist()


def quick_factor(slurry_c: float) -> float:
    """Give ``temperature_factor`` from a table fine enough for hourly steps [-]."""
    place = int((slurry_c - _TABLE_LOW_C) / _TABLE_STEP_K + 0.5)
    return float(_TABLE[place]) if 0 <= place < len(_TABLE) else 0.0


@dataclass
class BatchGas:
    """A batch's gas: first order in what is left, at a rate that follows the temperature.

    ``left_m3`` is dry normal gas still to come, used up as it is made; ``rate_per_d`` holds
    at 38 degC.
    """

    left_m3: float
    rate_per_d: float

    def __post_init__(self) -> None:
        """Refuse negative gas or rate.

        Raises
        ------
        InputError
            If either is negative.
        """
        require(
            self.left_m3 >= 0.0 and self.rate_per_d >= 0.0,
            field="gas to come and rate",
            value=(self.left_m3, self.rate_per_d),
            allowed="zero or more",
            remedy="Take them from the run's forecast",
        )

    def made_m3(self, slurry_c: float, step_d: float) -> float:
        """Give the gas of one step and use it up [m3]."""
        part = -math.expm1(-self.rate_per_d * quick_factor(slurry_c) * step_d)
        made = self.left_m3 * part
        self.left_m3 -= made
        return made


@dataclass
class FedGas:
    """A fed digester's gas: so much a day at 38 degC, less or more as the temperature bids.

    ``daily_m3`` is dry normal gas at 38 degC [m3/d]. Short spells only: what is not digested in
    a cold week is left for a warm one, which this does not remember.
    """

    daily_m3: float

    def made_m3(self, slurry_c: float, step_d: float) -> float:
        """Give the gas of one step [m3]."""
        return self.daily_m3 * quick_factor(slurry_c) * step_d


GasOfRun = BatchGas | FedGas


@dataclass(frozen=True)
class HeatForecast:
    """Slurry temperature to come as bands, the heater's duty, and the most likely course.

    Parameters
    ----------
    day : array, shape (n + 1,)
        Days [d].
    slurry_c : Band
        Temperature at those days [degC].
    duty : Band
        Share of each step the heater is on, shape (n,) [-].
    middle : Course
        With the usual values.
    draws : int
        Courses behind the bands.
    """

    day: Floats
    slurry_c: Band
    duty: Band
    middle: Course
    draws: int


def heat_forecast(
    body: Body,
    heater: Heater,
    air: Weather,
    *,
    days: float,
    start_c: float,
    rng: np.random.Generator,
    air_u_k: float,
    start_day: float = 0.0,
    start_u_k: float = START_U_K,
    loss_u: float = LOSS_U,
    flows: Flows | None = None,
    gas: GasOfRun | None = None,
    pressure_kpa: float = 101.325,
    draws: int = DRAWS,
    step_h: float = 1.0,
) -> HeatForecast:
    """Forecast the slurry's temperature with bands.

    Parameters
    ----------
    body, heater, air : Body, Heater, Weather
        As ``warm_course`` takes them.
    days : float
        How far ahead, above zero [d].
    start_c : float
        Slurry temperature now [degC].
    rng : numpy.random.Generator
        Source of randomness: the same seed gives the same bands.
    air_u_k : float
        Standard uncertainty of the temperature around the vessel [K].
    start_day : float
        Time of day now [d].
    start_u_k : float
        Standard uncertainty of the temperature now [K].
    loss_u : float
        Relative standard uncertainty of the computed loss [-].
    flows : Flows, optional
        Feed.
    gas : BatchGas or FedGas, optional
        Left as it was: every course works on its own copy.
    pressure_kpa : float
        Air pressure [kPa].
    draws : int
        Courses, 20 or more.
    step_h : float
        Step [h].

    Returns
    -------
    HeatForecast
        Bands and the most likely course.

    Raises
    ------
    InputError
        If draws are too few.

    References
    ----------
    lumped_balance; heat_spread.
    """
    require(
        draws >= 20,
        field="draws",
        value=draws,
        allowed="20 or more",
        remedy="Draw more courses: a 95 % band rests on the outermost few",
    )

    def follow(scale: float, shift_k: float, start_k: float) -> Course:
        return warm_course(
            body,
            heater,
            air.shifted(shift_k),
            days=days,
            start_c=start_c + start_k,
            start_day=start_day,
            flows=flows,
            gas=None if gas is None else replace(gas),
            step_h=step_h,
            loss_factor=scale,
            pressure_kpa=pressure_kpa,
        )

    middle = follow(1.0, 0.0, 0.0)
    scales = np.exp(loss_u * rng.standard_normal(draws)).tolist()
    shifts = np.clip(air_u_k * rng.standard_normal(draws), -15.0, 15.0).tolist()
    starts = (start_u_k * rng.standard_normal(draws)).tolist()
    courses = [follow(*drawn) for drawn in zip(scales, shifts, starts, strict=True)]
    return HeatForecast(
        middle.day,
        band(np.stack([course.slurry_c for course in courses])),
        band(np.stack([course.duty for course in courses])),
        middle,
        draws,
    )
