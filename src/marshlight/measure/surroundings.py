"""The air, the room and the vessel around a holder, at each reading or filled in."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.apparatus import Holder, SealedBottle
from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import WEATHER_RELATIVE_U, AirPressure
from marshlight.measure.readings import Headspace, Instruments

FloatArray = NDArray[np.float64]
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True)
class Surroundings:
    """What holds for all rows: the air, the head-space, the instruments, the room."""

    barometer: AirPressure
    headspace: Headspace | None
    instruments: Instruments
    room: Estimate | None


def gas_temperatures(
    holder: Holder, day: FloatArray, read: FloatArray, vessel: FloatArray, around: Surroundings
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return the gas's temperature at each row, what was not read filled in.

    Parameters
    ----------
    holder : Holder
        The apparatus.
    day : array, shape (n,)
        Times, rising [d].
    read, vessel : array, shape (n,)
        Thermometer at the holder and at the vessel, not a number where unread [degC].
    around : Surroundings
        Room and instruments.

    Returns
    -------
    temperature_c, u_c : array, shape (n,)
        Temperature and its standard uncertainty [degC, K].
    missing : array of bool, shape (n,)
        True where it was filled in.

    Raises
    ------
    InputError
        If no temperature is known at all.
    """
    room = around.room
    if isinstance(holder, SealedBottle):
        # A bottle's gas is as warm as the bottle, not as the room.
        read = np.where(np.isnan(read), vessel, read)
        room = room if around.headspace is None else around.headspace.temperature_c
    filled, missing = _fill(day, read, room, field="temperature_c")
    extra = np.where(missing, around.instruments.u_filled_in_c, 0.0)
    if np.all(missing) and room is not None:
        extra = np.full_like(filled, room.u)
    u_random = np.hypot(around.instruments.u_temperature_c, extra)
    return filled, u_random, missing


def vessel_temperatures(
    day: FloatArray, read: FloatArray, around: Surroundings
) -> tuple[FloatArray, FloatArray]:
    """Return the head-space's temperature at each row and its standard uncertainty.

    Parameters
    ----------
    day, read : array, shape (n,)
        Times and thermometer readings, not a number where unread [d, degC].
    around : Surroundings
        Head-space and instruments.

    Returns
    -------
    temperature_c, u_c : array, shape (n,)
        Temperature and its standard uncertainty [degC, K].
    """
    if around.headspace is None:
        return np.full_like(day, 20.0), np.zeros_like(day)
    filled, missing = _fill(day, read, around.headspace.temperature_c, field="vessel temperature")
    extra = np.where(missing, around.headspace.temperature_c.u, 0.0)
    return filled, np.hypot(around.instruments.u_vessel_c, extra)


def _fill(
    day: FloatArray, read: FloatArray, fallback: Estimate | None, *, field: str
) -> tuple[FloatArray, BoolArray]:
    missing = np.isnan(read)
    if not np.any(missing):
        return read, missing
    if np.all(missing):
        if fallback is None:
            raise InputError(
                field,
                None,
                "at least one temperature, or the room's",
                "Give the temperature of the gas, or the site's usual temperature",
            )
        return np.full_like(read, fallback.value), missing
    known = ~missing
    return np.where(missing, np.interp(day, day[known], read[known]), read), missing


def air_pressures(
    read: FloatArray, around: Surroundings
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the outside pressure at each row, with its fresh and its shared doubt.

    Parameters
    ----------
    read : array, shape (n,)
        Barometer at the reading, not a number where unread [kPa].
    around : Surroundings
        The pressure that stands in, and the instruments.

    Returns
    -------
    pressure_kpa, u_kpa, u_shared_kpa : array, shape (n,)
        Pressure and its two standard uncertainties [kPa].
    """
    missing = np.isnan(read)
    barometer, tools = around.barometer, around.instruments
    weather = 0.0
    if not barometer.covers_weather:
        weather = WEATHER_RELATIVE_U * barometer.pressure_kpa / math.sqrt(2.0)
    stand_in = math.hypot(barometer.u_random_kpa, weather)
    return (
        np.where(missing, barometer.pressure_kpa, read),
        np.where(missing, stand_in, tools.u_pressure_kpa),
        np.where(missing, math.hypot(barometer.u_shared_kpa, weather), tools.u_pressure_shared_kpa),
    )
