"""How the slurry's warmth may go on: a log follows what it was, nobody can tell what it will be."""

import numpy as np
from scipy.special import ndtri

from marshlight.decide.watch.calibration.counting import SWING_D
from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.decide.watch.calibration.wandering import wander
from marshlight.process.model import SetTemperature

# Days looked back on: several swings, but not another season. Fewer than these say too little. The
# largest changes from day to day, this share of all, are left out: a heater that went out and came
# back is no swing. All our choice.
_BACK_D, _FEWEST_D, _LEFT_OUT = 28, 8, 0.15
# Further off its usual warmth than so many swings it was set to another, and holds to that. Our
# choice.
_SET = 2.0


def swings_told(log: RunLog) -> tuple[float, float]:
    """Tell how the slurry's warmth, as the log follows it, swings from day to day.

    Parameters
    ----------
    log : RunLog
        Its changes of temperature up to today count.

    Returns
    -------
    (float, float)
        How far the warmth last told lies above its usual one, and the standard swing [K]; zeros
        where the log follows no swings, as when only a set point is known.

    Notes
    -----
    Swings are taken for an Ornstein-Uhlenbeck process with a memory of ``SWING_D``, its size from
    the changes between days, the largest left out. Where the warmth lies further off than two
    swings it was set to another, and no way back is to be expected.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.006), today=20.0,
    ...              events=tuple(SetTemperature(float(d), 35.0 + d % 2) for d in range(20)))
    >>> off, swing = swings_told(log)
    >>> round(off, 1), 0.5 < swing < 2.0
    (0.5, True)
    """
    changes = sorted((e.day, e.celsius) for e in log.events if isinstance(e, SetTemperature))
    when = np.array([0.0, *(day for day, _ in changes)])
    celsius = np.array([log.digester.temperature_c, *(told for _, told in changes)])
    days = np.arange(log.today, max(log.today - _BACK_D, 0.0) - 1e-9, -1.0)[::-1]
    if len(days) <= _FEWEST_D:
        return 0.0, 0.0
    told = celsius[np.searchsorted(when, days + 1e-9) - 1]
    squares = np.sort(np.diff(told) ** 2)
    left_out = int(np.ceil(_LEFT_OUT * squares.size))
    in_a_day = 2.0 * (1.0 - np.exp(-1.0 / SWING_D))
    usual = squares[:-left_out].mean() / _share_left(left_out / squares.size)
    swing = float(np.sqrt(usual / in_a_day))
    off = float(told[-1] - told.mean())
    return (off if abs(off) <= _SET * swing else 0.0), swing


def _share_left(left_out: float) -> float:
    """Give the mean square of normal numbers without their largest, relative to that of all."""
    edge = float(ndtri(1.0 - 0.5 * left_out))
    height = float(np.exp(-0.5 * edge**2) / np.sqrt(2.0 * np.pi))
    return 1.0 - 2.0 * edge * height / (1.0 - left_out)


def warmer_to_come(
    told: tuple[float, float], span_d: Floats, *, members: int, rng: np.random.Generator
) -> Floats:
    """Draw how much warmer the slurry will be than it was last told [K], shape (member, time).

    Parameters
    ----------
    told : (float, float)
        As ``swings_told`` gives them.
    span_d : array, shape (time,)
        Days from today on, increasing [d].
    members : int
        How many courses.
    rng : numpy.random.Generator
        The state to draw from; left alone where nothing swings.
    """
    off, swing = told
    if swing <= 0.0:
        return np.zeros((members, len(span_d)))
    gaps = np.diff(span_d, prepend=0.0)
    later = wander(np.full(members, off), gaps, size=swing, memory_d=SWING_D, rng=rng)
    return np.asarray(later - off)
