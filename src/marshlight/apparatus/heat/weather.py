"""How warm it is around the vessel: constant, daily swing, measured series or monthly table."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
YEAR_D = 365.0
_COLDEST_C, _HOTTEST_C = -60.0, 60.0


@dataclass(frozen=True)
class Weather:
    """A temperature through time; days count from midnight of the first day.

    Make one with ``constant``, ``swing``, ``series`` or ``monthly``. ``half_swing_k`` is added
    as a sine that is warmest at ``warmest_h`` o'clock.
    """

    day: tuple[float, ...]
    value_c: tuple[float, ...]
    half_swing_k: float = 0.0
    warmest_h: float = 15.0
    period_d: float = 0.0
    words: str = ""

    def __post_init__(self) -> None:
        """Refuse what no place on Earth has.

        Raises
        ------
        InputError
            If a temperature is out of range, days don't rise or the swing is negative.
        """
        values = np.array(self.value_c, dtype=np.float64)
        require(
            values.size > 0 and bool(np.all((values >= _COLDEST_C) & (values <= _HOTTEST_C))),
            field="temperature around the vessel",
            value=self.value_c[:3],
            allowed=f"{_COLDEST_C:g} to {_HOTTEST_C:g} degC",
            remedy="Check the temperatures and their unit",
        )
        require(
            len(self.day) == values.size and bool(np.all(np.diff(self.day) > 0.0)),
            field="days of the temperatures",
            value=self.day[:3],
            allowed="one rising day for each temperature",
            remedy="Give day and temperature in order",
        )
        require(
            0.0 <= self.half_swing_k <= 30.0,
            field="daily swing",
            value=2.0 * self.half_swing_k,
            allowed="0 to 60 K from coldest to warmest",
            remedy="Give the warmest and the coldest of a usual day",
        )

    @classmethod
    def constant(cls, temperature_c: float) -> "Weather":
        """Make a steady temperature [degC]."""
        return cls((0.0,), (temperature_c,), words=f"steady at {temperature_c:g} degC")

    @classmethod
    def swing(cls, low_c: float, high_c: float, *, warmest_h: float = 15.0) -> "Weather":
        """Make a daily swing between two temperatures [degC], warmest at an hour of the day."""
        require(
            low_c <= high_c,
            field="daily swing",
            value=(low_c, high_c),
            allowed="coldest first, then warmest",
            remedy="Swap the two",
        )
        middle, half = 0.5 * (low_c + high_c), 0.5 * (high_c - low_c)
        words = f"between {low_c:g} and {high_c:g} degC every day"
        return cls((0.0,), (middle,), half, warmest_h, words=words)

    @classmethod
    def series(cls, day: Sequence[float], value_c: Sequence[float]) -> "Weather":
        """Make a measured series, straight in between and held before and after [d, degC]."""
        days, values = tuple(map(float, day)), tuple(map(float, value_c))
        return cls(days, values, words=f"{len(values)} measured temperatures")

    @classmethod
    def monthly(
        cls, means_c: Sequence[float], *, half_swing_k: float = 0.0, start_day: float = 0.0
    ) -> "Weather":
        """Make a year from twelve monthly means [degC]; ``start_day`` of the year is day 0 [d]."""
        require(
            len(means_c) == 12,
            field="monthly temperatures",
            value=len(means_c),
            allowed="12, January to December",
            remedy="Give one mean for each month",
        )
        ends = np.cumsum(MONTH_DAYS)
        middles = ends - np.array(MONTH_DAYS) / 2.0 - start_day
        order = np.argsort(np.mod(middles, YEAR_D))
        days = np.mod(middles, YEAR_D)[order]
        values = np.array(means_c, dtype=np.float64)[order]
        return cls(
            tuple(days.tolist()),
            tuple(values.tolist()),
            half_swing_k,
            period_d=YEAR_D,
            words="twelve monthly means",
        )

    def at(self, day: ArrayLike) -> Floats:
        """Return the temperature at some days.

        Parameters
        ----------
        day : array_like
            Days since the first midnight [d], any shape.

        Returns
        -------
        ndarray
            Temperature [degC].

        Examples
        --------
        >>> Weather.swing(6.0, 24.0).at([0.125, 0.625]).tolist()
        [6.0, 24.0]
        """
        days = np.asarray(day, dtype=np.float64)
        known = np.array(self.day), np.array(self.value_c)
        if self.period_d > 0.0:
            base = np.interp(days, *known, period=self.period_d)
        else:
            base = np.interp(days, *known)
        if self.half_swing_k == 0.0:
            return np.asarray(base)
        turn = 2.0 * math.pi * (days - self.warmest_h / 24.0)
        return np.asarray(base + self.half_swing_k * np.cos(turn))

    def shifted(self, by_k: float) -> "Weather":
        """Give the same course so many kelvin warmer or colder."""
        return replace(self, value_c=tuple(value + by_k for value in self.value_c))

    def seen_from(self, hour: float) -> "Weather":
        """Give the same course with days counted from an hour of the day, not midnight [h].

        Examples
        --------
        >>> Weather.swing(6.0, 24.0).seen_from(9.0).at(0.25).tolist()
        24.0
        """
        days = tuple(day - hour / 24.0 for day in self.day)
        return replace(self, day=days, warmest_h=self.warmest_h - hour)

    @property
    def mean_c(self) -> float:
        """Mean of the course without its swing [degC]."""
        return float(np.mean(self.value_c))

    @property
    def coldest_c(self) -> float:
        """Coldest moment [degC]."""
        return min(self.value_c) - self.half_swing_k

    @property
    def warmest_c(self) -> float:
        """Warmest moment [degC]."""
        return max(self.value_c) + self.half_swing_k
