"""Equations of the cumulative-gas curves (days since start, ultimate gas A in m3).

First order, cone and two-pool as reviewed by Pererva et al. 2020; the sigmoids
in the form of Zwietering et al. 1990, whose parameters are the steepest rate
and the lag. Note that a sigmoid is above zero on day 0: A exp(-e) for
Gompertz, A / (1 + e^2) for logistic, when the lag is 0.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Exponents beyond this over- or underflow a double; the value is 0 or A by then.
_LIMIT = 700.0
_SMALLEST = 1e-300


def _exp(x: Floats) -> Floats:
    return np.asarray(np.exp(np.clip(x, -_LIMIT, _LIMIT)))


# --- first order: A (1 - e^(-k t)) -----------------------------------------


def first_order(t: Floats, a: Floats, k: Floats) -> Floats:
    """Cumulative gas, first order [m3]."""
    return np.asarray(-a * np.expm1(-k * t))


def first_order_rate(t: Floats, a: Floats, k: Floats) -> Floats:
    """Rate, first order [m3/d]."""
    return np.asarray(a * k * _exp(-k * t))


def first_order_slopes(t: Floats, a: Floats, k: Floats) -> tuple[Floats, ...]:
    """Derivatives by A and k."""
    return np.asarray(-np.expm1(-k * t)), np.asarray(a * t * _exp(-k * t))


def first_order_time(f: float, a: Floats, k: Floats) -> Floats:
    """Day of a fraction, -ln(1 - f)/k [d]."""
    return np.asarray(-np.log1p(-f) / k + 0.0 * a)


def first_order_peak(a: Floats, k: Floats) -> tuple[Floats, Floats]:
    """The first moment is the fastest."""
    return np.asarray(0.0 * k), np.asarray(a * k)


# --- first order after a lag ------------------------------------------------


def lagged(t: Floats, a: Floats, k: Floats, lag: Floats) -> Floats:
    """Cumulative gas, first order from the lag on [m3]."""
    return first_order(np.maximum(t - lag, 0.0), a, k)


def lagged_rate(t: Floats, a: Floats, k: Floats, lag: Floats) -> Floats:
    """Rate, first order from the lag on [m3/d]."""
    return np.asarray(np.where(t >= lag, first_order_rate(np.maximum(t - lag, 0.0), a, k), 0.0))


def lagged_slopes(t: Floats, a: Floats, k: Floats, lag: Floats) -> tuple[Floats, ...]:
    """Derivatives by A, k and lag (from the right at the kink)."""
    by_a, by_k = first_order_slopes(np.maximum(t - lag, 0.0), a, k)
    return by_a, by_k, np.asarray(-lagged_rate(t, a, k, lag))


def lagged_time(f: float, a: Floats, k: Floats, lag: Floats) -> Floats:
    """Day of a fraction [d]."""
    return np.asarray(first_order_time(f, a, k) + lag)


def lagged_peak(a: Floats, k: Floats, lag: Floats) -> tuple[Floats, Floats]:
    """The moment after the lag is the fastest."""
    return np.asarray(lag + 0.0 * k), np.asarray(a * k)


# --- two pools: A (1 - f e^(-k1 t) - (1 - f) e^(-k2 t)) ----------------------


def two_pool(t: Floats, a: Floats, share: Floats, k1: Floats, k2: Floats) -> Floats:
    """Cumulative gas of a fast and a slow pool [m3]."""
    return np.asarray(-a * (share * np.expm1(-k1 * t) + (1 - share) * np.expm1(-k2 * t)))


def two_pool_rate(t: Floats, a: Floats, share: Floats, k1: Floats, k2: Floats) -> Floats:
    """Rate of a fast and a slow pool [m3/d]."""
    return np.asarray(a * (share * k1 * _exp(-k1 * t) + (1 - share) * k2 * _exp(-k2 * t)))


def two_pool_slopes(
    t: Floats, a: Floats, share: Floats, k1: Floats, k2: Floats
) -> tuple[Floats, ...]:
    """Derivatives by A, fast share, fast rate, slow rate."""
    fast, slow = _exp(-k1 * t), _exp(-k2 * t)
    return (
        np.asarray(two_pool(t, np.ones_like(a), share, k1, k2)),
        np.asarray(a * (slow - fast)),
        np.asarray(a * share * t * fast),
        np.asarray(a * (1 - share) * t * slow),
    )


def two_pool_time(f: float, a: Floats, share: Floats, k1: Floats, k2: Floats) -> Floats:
    """Day of a fraction [d], by Newton's steps on the log of what is left.

    That log is convex and falls: from the day on which the faster rate alone would be
    there, every step ends short of the answer, so none can overshoot.
    """
    one = np.ones(np.broadcast_shapes(np.shape(a), np.shape(share), np.shape(k1), np.shape(k2)))
    wanted = np.log1p(-f)
    t = -wanted / (np.maximum(k1, k2) * one)
    for _ in range(60):
        fast, slow = share * _exp(-k1 * t), (1 - share) * _exp(-k2 * t)
        left = np.maximum(fast + slow, _SMALLEST)
        step = (np.log(left) - wanted) * left / np.maximum(k1 * fast + k2 * slow, _SMALLEST)
        t = t + step
        if np.all(np.abs(step) <= 1e-13 * t):
            break
    return np.asarray(t)


def two_pool_peak(a: Floats, share: Floats, k1: Floats, k2: Floats) -> tuple[Floats, Floats]:
    """The first moment is the fastest."""
    return np.asarray(0.0 * k1), np.asarray(a * (share * k1 + (1 - share) * k2))


# --- modified Gompertz: A exp(-exp(Rm e/A (lag - t) + 1)) --------------------


def _gompertz_inner(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    return _exp(rm * np.e / a * (lag - t) + 1.0)


def gompertz(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Cumulative gas, modified Gompertz [m3]."""
    return np.asarray(a * _exp(-_gompertz_inner(t, a, rm, lag)))


def gompertz_rate(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Rate, modified Gompertz [m3/d]."""
    inner = _gompertz_inner(t, a, rm, lag)
    return np.asarray(rm * np.e * inner * _exp(-inner))


def gompertz_slopes(t: Floats, a: Floats, rm: Floats, lag: Floats) -> tuple[Floats, ...]:
    """Derivatives by A, Rm and lag."""
    inner = _gompertz_inner(t, a, rm, lag)
    level = _exp(-inner)
    drop = level * inner * np.e
    return (
        np.asarray(level + drop * rm / a * (lag - t)),
        np.asarray(-drop * (lag - t)),
        np.asarray(-drop * rm),
    )


def gompertz_time(f: float, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Day of a fraction, lag + A/(e Rm) (1 - ln(-ln f)) [d]."""
    return np.asarray(lag + a / (np.e * rm) * (1.0 - np.log(-np.log(f))))


def gompertz_peak(a: Floats, rm: Floats, lag: Floats) -> tuple[Floats, Floats]:
    """Inflection, day lag + A/(e Rm); the start if that lies before it."""
    inflection = lag + a / (np.e * rm)
    day = np.maximum(inflection, 0.0)
    return day, np.where(inflection > 0, rm, gompertz_rate(day, a, rm, lag))


# --- modified logistic: A / (1 + exp(4 Rm/A (lag - t) + 2)) ------------------


def _logistic_inner(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    return _exp(4.0 * rm / a * (lag - t) + 2.0)


def logistic(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Cumulative gas, modified logistic [m3]."""
    return np.asarray(a / (1.0 + _logistic_inner(t, a, rm, lag)))


def logistic_rate(t: Floats, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Rate, modified logistic [m3/d]."""
    level = 1.0 / (1.0 + _logistic_inner(t, a, rm, lag))
    return np.asarray(4.0 * rm * level * (1.0 - level))


def logistic_slopes(t: Floats, a: Floats, rm: Floats, lag: Floats) -> tuple[Floats, ...]:
    """Derivatives by A, Rm and lag."""
    level = 1.0 / (1.0 + _logistic_inner(t, a, rm, lag))
    bend = 4.0 * level * (1.0 - level)
    return (
        np.asarray(level + bend * rm / a * (lag - t)),
        np.asarray(-bend * (lag - t)),
        np.asarray(-bend * rm),
    )


def logistic_time(f: float, a: Floats, rm: Floats, lag: Floats) -> Floats:
    """Day of a fraction, lag + A/(4 Rm) (2 - ln(1/f - 1)) [d]."""
    return np.asarray(lag + a / (4.0 * rm) * (2.0 - np.log(1.0 / f - 1.0)))


def logistic_peak(a: Floats, rm: Floats, lag: Floats) -> tuple[Floats, Floats]:
    """Inflection, day lag + A/(2 Rm); the start if that lies before it."""
    inflection = lag + a / (2.0 * rm)
    day = np.maximum(inflection, 0.0)
    return day, np.where(inflection > 0, rm, logistic_rate(day, a, rm, lag))


# --- cone: A / (1 + (k t)^(-n)) ---------------------------------------------


def _cone_power(t: Floats, k: Floats, n: Floats) -> Floats:
    # (k t)^n through logs, so that t = 0 gives 0 without a warning.
    return _exp(n * np.log(np.maximum(k * t, _SMALLEST)))


def cone(t: Floats, a: Floats, k: Floats, n: Floats) -> Floats:
    """Cumulative gas, cone [m3]."""
    power = _cone_power(t, k, n)
    return np.asarray(a * power / (1.0 + power))


def cone_rate(t: Floats, a: Floats, k: Floats, n: Floats) -> Floats:
    """Rate, cone [m3/d]; below n = 1 it is unbounded at day 0 (given as at 1e-9 d)."""
    later = np.maximum(t, 1e-9)
    power = _cone_power(later, k, n)
    return np.asarray(a * n / later * power / (1.0 + power) ** 2)


def cone_slopes(t: Floats, a: Floats, k: Floats, n: Floats) -> tuple[Floats, ...]:
    """Derivatives by A, k and n."""
    power = _cone_power(t, k, n)
    bend = power / (1.0 + power) ** 2
    return (
        np.asarray(power / (1.0 + power)),
        np.asarray(a * bend * n / k),
        np.asarray(a * bend * np.log(np.maximum(k * t, _SMALLEST))),
    )


def cone_time(f: float, a: Floats, k: Floats, n: Floats) -> Floats:
    """Day of a fraction, (f/(1 - f))^(1/n)/k [d]."""
    return np.asarray((f / (1.0 - f)) ** (1.0 / n) / k + 0.0 * a)


def cone_peak(a: Floats, k: Floats, n: Floats) -> tuple[Floats, Floats]:
    """Peak at ((n-1)/(n+1))^(1/n)/k where the gas is A (n-1)/(2n); day 0 if n <= 1."""
    steep = np.maximum(n - 1.0, 0.0)
    day = (steep / (n + 1.0)) ** (1.0 / n) / k
    return np.asarray(day), cone_rate(day, a, k, n)
