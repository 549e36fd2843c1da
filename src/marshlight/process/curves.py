"""Cumulative-gas curves: value, rate, slopes in the parameters, milestones.

A curve is a record of plain functions, so that the fit and the forecast treat
all six alike and a reader can find each equation in one place.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.process import curve_forms as forms

Floats = NDArray[np.float64]
CurveFunction = Callable[..., Floats]
CurveSlopes = Callable[..., tuple[Floats, ...]]
CurvePeak = Callable[..., tuple[Floats, Floats]]


@dataclass(frozen=True)
class CurveParameter:
    """One parameter of a curve: its name, unit, scale for fitting, and bounds.

    `scale` is "log" (positive), "share" (0 to 1) or "linear". Bounds are hard;
    data-driven bounds (a lag no longer than the data) come with the fit.
    """

    name: str
    unit: str
    scale: str
    low: float
    high: float


@dataclass(frozen=True)
class Curve:
    """A cumulative-gas curve.

    All functions take days (shape m) and parameters (shape k, or n x k for n
    curves at once) and return an array of shape m, or n x m.
    """

    name: str
    plain_name: str
    parameters: tuple[CurveParameter, ...]
    source: str
    _value: CurveFunction
    _rate: CurveFunction
    _slopes: CurveSlopes
    _time_to: CurveFunction
    _peak: CurvePeak

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the parameters, in order."""
        return tuple(parameter.name for parameter in self.parameters)

    def value(self, day: ArrayLike, parameters: ArrayLike) -> Floats:
        """Cumulative gas at each day.

        Parameters
        ----------
        day : array_like
            Days since the start [d], shape m. Before day 0 the gas is 0.
        parameters : array_like
            Shape k or n x k, in the order of `names` [m3, 1/d, d, share].

        Returns
        -------
        ndarray
            Cumulative gas [m3], shape m or n x m.

        Examples
        --------
        >>> from marshlight.process.curves import curve
        >>> round(float(curve("first_order").value(10.0, [350.0, 0.1])), 2)
        221.24
        """
        t, p = self._split(day, parameters)
        return np.asarray(np.where(t < 0, 0.0, self._value(np.maximum(t, 0.0), *p)))

    def rate(self, day: ArrayLike, parameters: ArrayLike) -> Floats:
        """Gas per day at each day (shapes as `value`) [m3/d]."""
        t, p = self._split(day, parameters)
        return np.asarray(np.where(t < 0, 0.0, self._rate(np.maximum(t, 0.0), *p)))

    def slopes(self, day: ArrayLike, parameters: ArrayLike) -> Floats:
        """Exact derivatives of the value by each parameter, shape (..., m, k)."""
        t, p = self._split(day, parameters)
        columns = self._slopes(np.maximum(t, 0.0), *p)
        shape = np.broadcast_shapes(*(np.shape(c) for c in columns), np.shape(t))
        stacked = np.stack([np.broadcast_to(c, shape) for c in columns], axis=-1)
        return np.asarray(np.where((t < 0)[..., None], 0.0, stacked))

    def time_to_fraction(self, fraction: float, parameters: ArrayLike) -> Floats:
        """Day at which a fraction of the ultimate gas has come.

        Parameters
        ----------
        fraction : float
            Between 0 and 1, both excluded [m3/m3].
        parameters : array_like
            Shape k or n x k.

        Returns
        -------
        ndarray
            Day [d], shape () or n; 0 where the curve starts above the fraction.

        Raises
        ------
        InputError
            If the fraction is not between 0 and 1.
        """
        require(
            0.0 < fraction < 1.0,
            field="fraction",
            value=fraction,
            allowed="between 0 and 1",
            remedy="give a share of the final gas, such as 0.8",
        )
        p = np.asarray(parameters, dtype=np.float64)
        parts = tuple(p[..., i] for i in range(p.shape[-1]))
        return np.maximum(np.asarray(self._time_to(fraction, *parts)), 0.0)

    def peak(self, parameters: ArrayLike) -> tuple[Floats, Floats]:
        """Day and size of the highest daily rate ([d], [m3/d])."""
        p = np.asarray(parameters, dtype=np.float64)
        day, rate = self._peak(*(p[..., i] for i in range(p.shape[-1])))
        return np.asarray(day), np.asarray(rate)

    def tangent_lag(self, parameters: ArrayLike) -> Floats:
        """Where the steepest tangent meets the time axis: the lag all curves share [d]."""
        p = np.asarray(parameters, dtype=np.float64)
        day, rate = self.peak(p)
        at_peak = self._value(day, *(p[..., i] for i in range(p.shape[-1])))
        return np.asarray(day - at_peak / np.maximum(rate, 1e-300))

    def _split(self, day: ArrayLike, parameters: ArrayLike) -> tuple[Floats, tuple[Floats, ...]]:
        t = np.asarray(day, dtype=np.float64)
        p = np.asarray(parameters, dtype=np.float64)
        if p.ndim > 1 and t.ndim > 0:
            p = p[..., None, :]
        return t, tuple(p[..., i] for i in range(p.shape[-1]))


_ULTIMATE = CurveParameter("ultimate", "m3", "log", 1e-12, 1e12)
_RATE = CurveParameter("rate", "1/d", "log", 1e-7, 50.0)
_MAX_RATE = CurveParameter("max_rate", "m3/d", "log", 1e-15, 1e12)
_LAG = CurveParameter("lag", "d", "linear", 0.0, 1e4)
_SIGNED_LAG = CurveParameter("lag", "d", "linear", -1e4, 1e4)

CURVES: Mapping[str, Curve] = MappingProxyType(
    {
        c.name: c
        for c in (
            Curve(
                "first_order",
                "first order",
                (_ULTIMATE, _RATE),
                "kinetic_review_2020",
                forms.first_order,
                forms.first_order_rate,
                forms.first_order_slopes,
                forms.first_order_time,
                forms.first_order_peak,
            ),
            Curve(
                "first_order_lag",
                "first order after a lag",
                (_ULTIMATE, _RATE, _LAG),
                "kinetic_review_2020",
                forms.lagged,
                forms.lagged_rate,
                forms.lagged_slopes,
                forms.lagged_time,
                forms.lagged_peak,
            ),
            Curve(
                "two_pool",
                "a fast and a slow pool",
                (
                    _ULTIMATE,
                    CurveParameter("fast_share", "1", "share", 1e-4, 1 - 1e-4),
                    CurveParameter("fast_rate", "1/d", "log", 1e-6, 50.0),
                    CurveParameter("slow_rate", "1/d", "log", 1e-7, 50.0),
                ),
                "kinetic_review_2020",
                forms.two_pool,
                forms.two_pool_rate,
                forms.two_pool_slopes,
                forms.two_pool_time,
                forms.two_pool_peak,
            ),
            Curve(
                "gompertz",
                "modified Gompertz",
                (_ULTIMATE, _MAX_RATE, _SIGNED_LAG),
                "zwietering_1990",
                forms.gompertz,
                forms.gompertz_rate,
                forms.gompertz_slopes,
                forms.gompertz_time,
                forms.gompertz_peak,
            ),
            Curve(
                "logistic",
                "modified logistic",
                (_ULTIMATE, _MAX_RATE, _SIGNED_LAG),
                "zwietering_1990",
                forms.logistic,
                forms.logistic_rate,
                forms.logistic_slopes,
                forms.logistic_time,
                forms.logistic_peak,
            ),
            Curve(
                "cone",
                "cone",
                (_ULTIMATE, _RATE, CurveParameter("shape", "1", "log", 0.3, 15.0)),
                "kinetic_review_2020",
                forms.cone,
                forms.cone_rate,
                forms.cone_slopes,
                forms.cone_time,
                forms.cone_peak,
            ),
        )
    }
)


def curve(name: str) -> Curve:
    """Look up a curve by name.

    Parameters
    ----------
    name : str
        One of "first_order", "first_order_lag", "two_pool", "gompertz",
        "logistic", "cone".

    Returns
    -------
    Curve
        The curve's functions and parameters.

    Raises
    ------
    InputError
        If there is no such curve.

    Examples
    --------
    >>> curve("cone").names
    ('ultimate', 'rate', 'shape')
    """
    require(
        name in CURVES,
        field="curve",
        value=name,
        allowed=", ".join(CURVES),
        remedy="choose one of these names, or auto",
    )
    return CURVES[name]
