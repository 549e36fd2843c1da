"""The air around a vessel: a usual day, a run's own room log, or a series read elsewhere."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from types import MappingProxyType

import numpy as np

from marshlight.answers.asked import Asked
from marshlight.apparatus.heat import Weather
from marshlight.errors import InputError, require
from marshlight.notebook.bridge import Series
from marshlight.units import parse

AIR_USUAL, AIR_LOGGED, AIR_TYPED = "usual", "logged", "typed"
AIRS: Mapping[str, str] = MappingProxyType(
    {
        AIR_USUAL: "a usual day, coldest and warmest",
        AIR_LOGGED: "as the run's own log has it, repeated",
        AIR_TYPED: "as read below, repeated",
    }
)
# Fewer readings or a shorter time do not show how a day goes: our choice.
LEAST_READINGS, LEAST_D = 6, 0.9
# Older air is another season's: our choice.
LOOKED_BACK_D = 14.0
MOST_READINGS = 20_000
_HEAD = re.compile(r"[A-Za-z]")


def air_of(asked: Asked, logged: Series | None, start_h: float) -> Weather:
    """Make the air that a form describes.

    Parameters
    ----------
    asked : Asked
        With ``air``, ``low``, ``high`` and ``series``.
    logged : Series or None
        Room temperatures of a run's log.
    start_h : float
        Time of day at which the log's days begin [h].

    Returns
    -------
    Weather
        Days from midnight; a series repeats itself, whole days at a time.

    Raises
    ------
    InputError
        If there are too few readings or one cannot be used.
    """
    source = str(asked.values.get("air"))
    if source == AIR_TYPED:
        return repeated(*read_series(str(asked.values.get("series") or "")))
    if source == AIR_LOGGED:
        if logged is None or logged.day.size == 0:
            raise InputError(
                "air", "logged", "room temperatures in the run's log",
                "Log or import some, or give coldest and warmest of a usual day",
            )  # fmt: skip
        recent = logged.day > logged.day[-1] - LOOKED_BACK_D
        return repeated(logged.day[recent] + start_h / 24.0, logged.value[recent])
    return Weather.swing(asked.number("low"), asked.number("high"))


def repeated(day: np.ndarray, value_c: np.ndarray) -> Weather:
    """Make a series that repeats its newest whole days for ever.

    Parameters
    ----------
    day : ndarray
        Days, rising; equal ones count once [d].
    value_c : ndarray
        Temperatures [degC].

    Returns
    -------
    Weather
        Periodic.

    Raises
    ------
    InputError
        If the readings are too few or span less than a day.
    """
    days, first = np.unique(np.asarray(day, dtype=np.float64), return_index=True)
    values = np.asarray(value_c, dtype=np.float64)[first]
    span = float(days[-1] - days[0]) if days.size else 0.0
    require(
        days.size >= LEAST_READINGS and span >= LEAST_D,
        field="temperatures read",
        value=f"{days.size} readings over {span:.1f} days",
        allowed=f"{LEAST_READINGS} readings or more, over a day",
        remedy="Read day and night, or give coldest and warmest of a usual day",
    )
    whole = max(float(np.floor(span + 0.1)), 1.0)
    kept = days > days[-1] - whole
    folded, order = np.unique(np.mod(days[kept], whole), return_index=True)
    made = Weather.series(folded.tolist(), values[kept][order].tolist())
    return replace(made, period_d=whole)


def read_series(text: str) -> tuple[np.ndarray, np.ndarray]:
    """Read temperatures as they are typed or stand in a file.

    Parameters
    ----------
    text : str
        Readings parted by semicolons or lines, each a time and a temperature parted by blanks,
        a comma or a tab. A time is hours, or a date with a time of day such as 2026-03-01 06:00.
        A heading is passed over.

    Returns
    -------
    tuple of ndarray
        Days [d] and temperatures [degC], in order of time.

    Raises
    ------
    InputError
        If a line can't be read, naming it.

    Examples
    --------
    >>> day, value = read_series("hour,celsius; 0,12; 6 9.5; 12 64 F")
    >>> day.tolist(), value.round(1).tolist()
    ([0.0, 0.25, 0.5], [12.0, 9.5, 17.8])
    """
    rows = [row.strip() for row in re.split(r"[;\n]+", text) if row.strip()]
    if rows and _HEAD.match(rows[0]):
        rows = rows[1:]
    require(
        len(rows) <= MOST_READINGS,
        field="temperatures read",
        value=len(rows),
        allowed=f"{MOST_READINGS} readings at most",
        remedy="Keep one reading an hour",
    )
    read = sorted(_row(row) for row in rows)
    return np.array([day for day, _ in read]), np.array([value for _, value in read])


_ROW = re.compile(
    r"^(?P<when>\d{4}-\d\d-\d\d[T ]\d\d:\d\d(?::\d\d)?|-?\d+(?:[.]\d+)?)"
    r"\s*(?:h\b)?[\s,]\s*(?P<what>.+)$"
)


def _row(row: str) -> tuple[float, float]:
    found = _ROW.match(row)
    if found is None:
        raise InputError(
            "temperatures read", row, "a time and a temperature, such as 6 9.5",
            "Write hours, then the temperature",
        )  # fmt: skip
    when, what = found["when"], found["what"]
    value = parse(what.strip(), "temperature", field="temperatures read", unit="degC",
                  minimum=-60, maximum=60)  # fmt: skip
    if "-" in when[1:]:
        moment = datetime.fromisoformat(when)
        clock = moment.hour + moment.minute / 60.0 + moment.second / 3600.0
        return moment.toordinal() + clock / 24.0, value
    return float(when) / 24.0, value
