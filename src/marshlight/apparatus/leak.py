"""Leak test: a leak rate from falling pressure or level, with its doubt and an honest verdict."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.gas import NORMAL_PRESSURE_KPA
from marshlight.matter.water import KELVIN, saturation_vapour_pressure_kpa

Floats = NDArray[np.float64]
VERDICTS = ("leaks", "tight enough", "cannot tell yet")
_DAY_H = 24.0
_LEAST_READINGS = 3


@dataclass(frozen=True)
class LeakTest:
    """A leak test's answer.

    Parameters
    ----------
    leak_m3_per_d : Estimate
        Gas lost, dry and normal; below zero where the gas increased [m3/d].
    share_per_d : float
        Loss as a share of the gas enclosed [1/d].
    verdict : str
        One of ``VERDICTS``.
    sentence : str
        What that means.
    more_h : float
        Further hours after which this question could be answered; 0 when it is [h].
    enclosed_m3 : float
        Gas enclosed at the start, dry and normal [m3].
    residual_u_m3 : float
        Scatter of the readings about the straight line [m3].
    """

    leak_m3_per_d: Estimate
    share_per_d: float
    verdict: str
    sentence: str
    more_h: float
    enclosed_m3: float
    residual_u_m3: float


def pressure_decay(
    hours: ArrayLike,
    gauge_kpa: ArrayLike,
    *,
    volume_m3: float,
    gas_c: ArrayLike,
    barometer_kpa: ArrayLike,
    allowed_m3_per_d: float,
    made_m3_per_d: Estimate | None = None,
    u_gauge_kpa: float = 0.02,
    u_gas_k: float = 0.3,
    u_barometer_kpa: float = 0.05,
    u_volume: float = 0.03,
) -> LeakTest:
    """Return the leak rate of a rigid space from its falling pressure.

    Parameters
    ----------
    hours, gauge_kpa : array_like, shape (n,)
        Times, rising, and pressure over the air's; three or more [h, kPa].
    volume_m3 : float
        Gas volume enclosed, above zero [m3].
    gas_c, barometer_kpa : array_like, shape (n,) or scalar
        Gas temperature and air pressure at each time; one value if they did not change.
    allowed_m3_per_d : float
        Leak that would still be accepted, dry and normal, above zero [m3/d].
    made_m3_per_d : Estimate, optional
        Gas made meanwhile, dry and normal; none if left out [m3/d].
    u_gauge_kpa, u_gas_k, u_barometer_kpa : float
        Standard uncertainty of one reading of each [kPa, K, kPa].
    u_volume : float
        Relative standard uncertainty of the volume [-].

    Returns
    -------
    LeakTest
        Rate with uncertainty, and whether it leaks.

    Raises
    ------
    InputError
        If readings are too few or impossible.

    Notes
    -----
    ``n = (p - p_w) V / (R T)`` at each time, saturated; a straight line by least
    squares. A single warm reading counts: 1 K is 0.33 % of all gas, or some 0.35 kPa
    of pressure, more than most gauges' own doubt.

    References
    ----------
    pressure_decay.
    """
    t, gauge = _series(hours, "hours"), _series(gauge_kpa, "pressure")
    warm, air = _like(gas_c, t, "gas temperature"), _like(barometer_kpa, t, "barometer")
    _check(t, gauge, allowed_m3_per_d)
    require(
        volume_m3 > 0.0,
        field="volume",
        value=volume_m3,
        allowed="above zero",
        remedy="Give the gas space, holder and pipes that are shut in",
    )
    kelvin = warm + KELVIN
    dry = gauge + air - saturation_vapour_pressure_kpa(warm)
    require(
        bool(np.all(dry > 0.0)),
        field="pressure",
        value=float(gauge.min()),
        allowed="pressure over the air's, with the air's own above vapour pressure",
        remedy="Give the barometer's absolute value in kPa",
    )
    per_kpa = volume_m3 / NORMAL_PRESSURE_KPA * KELVIN / kelvin
    amount = per_kpa * dry
    u = per_kpa * np.sqrt(u_gauge_kpa**2 + u_barometer_kpa**2 + (dry / kelvin * u_gas_k) ** 2)
    return _judge(t, amount, u, u_volume, allowed=allowed_m3_per_d, made=made_m3_per_d)


def level_decay(
    hours: ArrayLike,
    volume_m3: ArrayLike,
    *,
    gauge_kpa: float,
    gas_c: ArrayLike,
    barometer_kpa: ArrayLike,
    allowed_m3_per_d: float,
    made_m3_per_d: Estimate | None = None,
    u_volume_m3: float,
    u_gas_k: float = 0.3,
    u_barometer_kpa: float = 0.05,
) -> LeakTest:
    """Return the leak rate of a holder that sinks at constant pressure.

    Parameters
    ----------
    hours, volume_m3 : array_like, shape (n,)
        Times, rising, and gas volume as it stands; three or more [h, m3].
    gauge_kpa : float
        The holder's own pressure over the air's [kPa].
    gas_c, barometer_kpa : array_like, shape (n,) or scalar
        Gas temperature and air pressure at each time.
    allowed_m3_per_d : float
        Leak that would still be accepted, dry and normal, above zero [m3/d].
    made_m3_per_d : Estimate, optional
        Gas made meanwhile, dry and normal; none if left out [m3/d].
    u_volume_m3 : float
        Standard uncertainty of one volume, from the ruler [m3].
    u_gas_k, u_barometer_kpa : float
        Standard uncertainty of one reading of each [K, kPa].

    Returns
    -------
    LeakTest
        Rate with uncertainty, and whether it leaks.

    Raises
    ------
    InputError
        If readings are too few or impossible.

    References
    ----------
    pressure_decay.
    """
    t, volume = _series(hours, "hours"), _series(volume_m3, "gas volume")
    warm, air = _like(gas_c, t, "gas temperature"), _like(barometer_kpa, t, "barometer")
    _check(t, volume, allowed_m3_per_d)
    require(
        bool(np.all(volume >= 0.0)),
        field="gas volume",
        value=float(volume.min()),
        allowed="zero or more",
        remedy="Give the level above the rest",
    )
    kelvin = warm + KELVIN
    dry = gauge_kpa + air - saturation_vapour_pressure_kpa(warm)
    per_m3 = dry / NORMAL_PRESSURE_KPA * KELVIN / kelvin
    amount = per_m3 * volume
    relative = np.hypot(u_gas_k / kelvin, u_barometer_kpa / dry)
    u = np.hypot(per_m3 * u_volume_m3, amount * relative)
    return _judge(t, amount, u, 0.0, allowed=allowed_m3_per_d, made=made_m3_per_d)


def leak_at_pressure(
    test: LeakTest, *, tested_kpa: float, working_kpa: float
) -> tuple[float, float]:
    """Return what a measured leak would be at another pressure, as a range.

    Parameters
    ----------
    test : LeakTest
        Measured at the tested pressure.
    tested_kpa, working_kpa : float
        Mean gauge pressure of the test and of ordinary use, above zero [kPa].

    Returns
    -------
    tuple of float
        Low and high [m3/d]: with the root of the pressure, and in proportion to it.

    Raises
    ------
    InputError
        If a pressure is not above zero.

    References
    ----------
    leak_scaling.
    """
    for field, value in (("tested pressure", tested_kpa), ("working pressure", working_kpa)):
        require(
            value > 0.0,
            field=field,
            value=value,
            allowed="above zero",
            remedy="Give pressure over the air's",
        )
    ratio = working_kpa / tested_kpa
    ends = [test.leak_m3_per_d.value * ratio**power for power in (0.5, 1.0)]
    return min(ends), max(ends)


def _series(values: ArrayLike, field: str) -> Floats:
    found = np.atleast_1d(np.asarray(values, dtype=np.float64))
    require(
        found.ndim == 1 and bool(np.all(np.isfinite(found))),
        field=field,
        value=found.tolist()[:5],
        allowed="finite numbers",
        remedy="Write one number for each reading",
    )
    return found


def _like(values: ArrayLike, t: Floats, field: str) -> Floats:
    found = _series(values, field)
    require(
        found.size in (1, t.size),
        field=field,
        value=found.size,
        allowed=f"one for each of the {t.size} readings, or one for all",
        remedy="Read it each time, or give its one value",
    )
    return np.broadcast_to(found, t.shape).astype(np.float64)


def _check(t: Floats, values: Floats, allowed: float) -> None:
    require(
        t.size >= _LEAST_READINGS and bool(np.all(np.diff(t) > 0.0)),
        field="hours",
        value=t.tolist()[:5],
        allowed=f"{_LEAST_READINGS} or more, rising",
        remedy="Read at least at the start, in the middle and at the end",
    )
    require(
        values.size == t.size,
        field="readings",
        value=values.size,
        allowed=f"one for each of the {t.size} times",
        remedy="Write one reading for each time",
    )
    require(
        math.isfinite(allowed) and allowed > 0.0,
        field="leak still accepted",
        value=allowed,
        allowed="above zero",
        remedy="Nothing is perfectly tight: say what would not matter, such as 2 % of a day's gas",
    )


def _judge(
    hours: Floats,
    amount: Floats,
    u: Floats,
    u_scale: float,
    *,
    allowed: float,
    made: Estimate | None,
) -> LeakTest:
    t = hours / _DAY_H
    weight = 1.0 / u**2
    middle = float(np.average(t, weights=weight))
    spread = float(np.sum(weight * (t - middle) ** 2))
    slope = float(np.sum(weight * (t - middle) * amount)) / spread
    level = float(np.average(amount, weights=weight))
    rest = amount - level - slope * (t - middle)
    # Scatter beyond what the instruments explain counts as well.
    excess = max(1.0, float(np.sum(weight * rest**2)) / (t.size - 2))
    u_slope = math.sqrt(excess / spread)
    made = Estimate(0.0, 0.0) if made is None else made
    leak = made.value - slope
    doubt = math.sqrt(u_slope**2 + (u_scale * slope) ** 2 + made.u**2)
    found = Estimate(leak, doubt)
    low, high = found.interval(0.95)
    verdict = "leaks" if low > allowed else "tight enough" if high < allowed else VERDICTS[2]
    more = 0.0
    if verdict == VERDICTS[2]:
        more = _more_hours(float(hours[-1] - hours[0]), u_slope, made.u, abs(leak - allowed))
    return LeakTest(
        found,
        leak / float(amount[0]) if amount[0] > 0.0 else 0.0,
        verdict,
        _sentence(verdict, low, high, allowed, more_h=more, rising=leak < -2.0 * doubt),
        more,
        float(amount[0]),
        float(np.sqrt(np.mean(rest**2))),
    )


def _more_hours(length_h: float, u_slope: float, u_made: float, gap: float) -> float:
    """Longer tests sharpen a slope in proportion; what is made meanwhile they do not."""
    room = (gap / 1.96) ** 2 - u_made**2
    if room <= 0.0:
        return math.inf
    return max(length_h * (u_slope / math.sqrt(room) - 1.0), 0.25 * length_h)


def _sentence(
    verdict: str, low: float, high: float, allowed: float, *, more_h: float, rising: bool
) -> str:
    span = f"{max(low, 0.0) * 1e3:.3g} to {max(high, 0.0) * 1e3:.3g} L a day"
    limit = f"{allowed * 1e3:.3g} L a day"
    if rising:
        return (
            "The gas increased, so something makes gas or warms it: this test says nothing about "
            "leaks. Shut the digester off from what is tested, and let temperatures settle."
        )
    if verdict == "leaks":
        return f"It leaks: {span}, more than the {limit} accepted."
    if verdict == "tight enough":
        return f"Tight enough: at most {high * 1e3:.3g} L a day, less than the {limit} accepted."
    if math.isinf(more_h):
        return (
            f"Cannot tell yet: anything from {span} fits, and the gas made meanwhile is too "
            "uncertain. Shut the digester off from what is tested."
        )
    return (
        f"Cannot tell yet: anything from {span} fits, around the {limit} accepted. Go on reading "
        f"for about {more_h:.2g} h more, and read gas temperature and barometer each time."
    )
