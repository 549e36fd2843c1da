"""A sudden fall of the gas that stays: the mark a leak or an open tap leaves in the record."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.facts import HOTTEST_C, GasRecord, RunFacts, Track
from marshlight.process import temperature_factor
from marshlight.process.milestones import SPENT_SHARE
from marshlight.process.noise import STATED_DOF
from marshlight.process.temperature import FACTOR_SPREAD

Floats = NDArray[np.float64]

# How far back the watch looks, and how many days each side of a fall speak about it; our choice.
_LOOKED_BACK_D, _SIDE_D = 14.0, 7.0
# Stretches shorter than most of a day say more about the ruler than about the gas.
_STRETCH_D = 0.7
_BEFORE, _AFTER = 4, 2
# Before the record shows its own, a day's gas wanders by about 10 % (source `daily_wander`),
# known about as well as a stated uncertainty.
_WANDER, _KNOWN = 0.10, STATED_DOF
# A smaller fall is more often a shift in reading habits than a leak; our choice.
_LEAST_SHARE = 0.25


@dataclass(frozen=True)
class Fall:
    """Gas fell by a share [1] between two days [d] and stayed low.

    `log_odds` is how many times (natural log) likelier the record is with the fall than
    with a smooth course, the search over days already paid for.
    """

    start: float
    end: float
    share: float
    log_odds: float


@dataclass(frozen=True)
class _Rates:
    """Fully seen stretches: start, end [d], log of the rate, of the pace its warmth allows, u.

    `total` is the gas so far at the start of each [m3].
    """

    start: Floats
    end: Floats
    log: Floats
    pace: Floats
    u: Floats
    total: Floats


def sudden_fall(facts: RunFacts) -> Fall | None:
    """Find the sharpest sudden fall of the last two weeks that no cold explains.

    Parameters
    ----------
    facts : RunFacts
        Gas and slurry temperature.

    Returns
    -------
    Fall or None
        None where the record is short, the run is fed, or a smooth course is as likely.

    Notes
    -----
    The log of the daily rate, cleared of what the temperature does, follows a parabola over
    a week each side of a candidate day; with a fall, a step is added. The two are compared
    by likelihood, the scatter integrated out; each day tried, and the size of the step, cost
    what they add to chance (half the log of the number of stretches, and the log of the number of
    days tried). A step that lasts less than two stretches is not looked for.

    References
    ----------
    schwarz_1978, daily_wander, rosso_1993
    """
    if facts.gas is None or facts.fed:
        return None
    rates = _rates(facts.gas, facts.slurry_c)
    recent = [
        i for i in range(_BEFORE, rates.log.size - _AFTER + 1)
        if rates.end[i] > facts.day - _LOOKED_BACK_D
    ]  # fmt: skip
    found = [fall for i in recent if (fall := _fall_at(rates, i)) is not None]
    if not found:
        return None
    best = max(found, key=lambda fall: fall.log_odds)
    odds = best.log_odds - float(np.log(len(recent)))
    return Fall(best.start, best.end, best.share, odds) if odds > 0 else None


def _fall_at(rates: _Rates, i: int) -> Fall | None:
    """Compare a step between stretches i - 1 and i with none."""
    near = (rates.end > rates.start[i] - _SIDE_D) & (rates.start < rates.end[i] + _SIDE_D)
    before = near & (np.arange(near.size) < i)
    if before.sum() < _BEFORE or (near & ~before).sum() < _AFTER:
        return None
    if float(np.exp(rates.log[i - 1])) < SPENT_SHARE * rates.total[i]:
        return None  # spent already: what is left to fall is too little to judge
    t = 0.5 * (rates.start + rates.end)[near] - rates.start[i]
    root = 1.0 / np.hypot(rates.u[near], _WANDER)
    smooth = np.column_stack([np.ones_like(t), t / _SIDE_D, (t / _SIDE_D) ** 2])
    stepped = np.column_stack([smooth, ~before[near]])
    # As it was, and at its warmth: a fall that only one of the two shows is the temperature's.
    tried = [
        _compare(smooth * root[:, None], stepped * root[:, None], y * root)
        for y in (rates.log[near], (rates.log - rates.pace)[near])
    ]
    share, odds = (min(pair) for pair in zip(*tried, strict=True))
    if share < _LEAST_SHARE:
        return None
    return Fall(float(rates.start[i]), float(rates.end[i]), share, odds)


def _compare(smooth: Floats, stepped: Floats, y: Floats) -> tuple[float, float]:
    """Share lost at the step, and the log odds for it."""
    plain, (rest, fitted) = _left_over(smooth, y)[0], _left_over(stepped, y)
    freedom = _KNOWN + max(y.size - stepped.shape[1], 0)
    ratio = 0.5 * freedom * float(np.log((_KNOWN + plain) / (_KNOWN + rest)))
    return float(-np.expm1(fitted[-1])), ratio - 0.5 * float(np.log(y.size))


def _left_over(columns: Floats, y: Floats) -> tuple[float, Floats]:
    fitted = np.linalg.lstsq(columns, y, rcond=None)[0]
    return float(np.sum((y - columns @ fitted) ** 2)), np.asarray(fitted)


def _rates(gas: GasRecord, slurry_c: Track) -> _Rates:
    kept = [0] if gas.day.size else []
    for i in range(1, gas.day.size):
        if gas.day[i] - gas.day[kept[-1]] >= _STRETCH_D:
            kept.append(i)
    at = np.array(kept, dtype=np.intp)
    start, end = gas.day[at][:-1], gas.day[at][1:]
    span = np.maximum(end - start, 1e-9)
    u = np.maximum(gas.u_between(at[:-1], at[1:]) / span, 1e-12)
    rate = np.maximum(np.diff(gas.total_m3[at]) / span, u)
    seen = np.diff(np.cumsum(gas.unseen)[at]) == 0
    pace = np.log(_least_pace(slurry_c, start, end))
    columns = (start, end, np.log(rate), pace, u / rate, gas.total_m3[at][:-1])
    return _Rates(*(column[seen] for column in columns))


def _least_pace(slurry_c: Track, start: Floats, end: Floats) -> Floats:
    """Pace of each stretch against the warmest, as low as its temperature may have made it.

    The factor itself may be off by its spread, but no more than it takes away.
    """
    trusted = [(d, v) for d, v in zip(slurry_c.day, slurry_c.value, strict=True) if v <= HOTTEST_C]
    if not trusted:
        return np.ones_like(start)
    days, warmth = (np.array(x, dtype=np.float64) for x in zip(*trusted, strict=True))
    warm = np.interp(0.5 * (start + end), days, warmth)
    pace = np.maximum(np.asarray(temperature_factor(warm), dtype=np.float64), 0.05)
    pace = pace / np.max(pace, initial=0.05)
    return np.asarray(np.maximum(pace - np.minimum(FACTOR_SPREAD, 1.0 - pace), 0.05))
