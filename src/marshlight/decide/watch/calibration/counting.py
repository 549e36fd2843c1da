"""How likely the counted gas is for a life, strays, reading errors and gross slips included."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import log_ndtr

from marshlight.decide.watch.calibration.log import STRAY_D, Counted, Floats

# Readings that are plainly wrong: three in a hundred, as for the flame test. Our choice.
SLIPS = 0.03
# A slip is of the size of some usual intervals (a digit or a point misplaced), or of ten times the
# reading's own doubt. Our choice.
_SLIP_SIZE = 3.0
# Within a day the model's gas comes an hour or so early or late: our choice [d].
_TIMING_D = 0.05
# Gas that slurry gives off as it warms [m3/(m3 K)]: it holds some 0.35 m3/m3 of carbon dioxide,
# 2.4 % less for each kelvin (source rosen_jeppsson_2006).
HELD_PER_K = 0.35 * 0.024
# Its warmth swings by 0.7 K that nobody logs; our choice. What is given off, standard [m3/m3], is
# soon made up again, so it does not add up.
SWING, SWING_D = HELD_PER_K * 0.7, 2.0
# A life that makes next to nothing strays by this share of the usual gas instead: our choice.
_LEAST_RATE = 0.05
# More intervals than this are joined; their sum says the same of a course of days.
MOST_INTERVALS = 120


@dataclass(frozen=True)
class GasTaken:
    """Gas intervals in order, and what of them does not depend on the life.

    ``usual_m3_d`` is the middle of the rates counted; ``own``, ``end`` and ``begun`` are variances
    of each interval: its own, that of the reading that ends it where the next begins with it, and
    whether it begins with one; ``joins`` whether it begins where the one before ended;
    ``swing_m3`` is how far the gas held in the slurry swings at every reading, standard.
    """

    counted: Counted
    usual_m3_d: float
    own: Floats
    end: Floats
    begun: Floats
    joins: Floats
    swing_m3: float

    @property
    def span_d(self) -> Floats:
        """Length of each interval [d]."""
        return self.counted.end_d - self.counted.start_d


@dataclass(frozen=True)
class GasJudged:
    """What the counted gas says of each life.

    ``log_likelihood`` (member,), ``rows`` (member, row) for slopes of its square form, and the
    stray at the last interval's middle: ``stray`` and ``u_stray`` (member,), ``at`` [d].
    """

    log_likelihood: Floats
    rows: Floats
    stray: Floats
    u_stray: Floats
    at: float


def taken(counted: Counted, *, swing_m3: float = 0.0) -> GasTaken:
    """Put intervals in order, join too many, and share out their variances."""
    order = np.lexsort((counted.end_d, counted.start_d))
    counted = Counted(
        counted.start_d[order],
        counted.end_d[order],
        counted.gas_m3[order],
        counted.u_m3[order],
        counted.at_least[order],
        np.asarray(counted.linked)[order],
    )
    while len(counted) > MOST_INTERVALS:
        joined = _joined(counted)
        if len(joined) == len(counted):
            break
        counted = joined
    variance = counted.u_m3**2
    linked = np.asarray(counted.linked)
    joins = np.zeros(len(counted))
    joins[1:] = np.abs(counted.start_d[1:] - counted.end_d[:-1]) < 1e-6
    begun = np.where(linked, joins, 0.0)
    end, own = np.zeros(len(counted)), variance.copy()
    for i in range(len(counted)):
        before = end[i - 1] if begun[i] else 0.0
        left = max(variance[i] - before, 0.1 * variance[i])
        if i + 1 < len(counted) and begun[i + 1]:
            end[i] = min(left, 0.5 * variance[i + 1]) if not begun[i] else left
        own[i] = left - end[i]
    rate = counted.gas_m3 / (counted.end_d - counted.start_d)
    usual = float(np.median(np.abs(rate))) if len(rate) else 0.0
    return GasTaken(counted, usual, own, end, begun, joins, swing_m3)


def _joined(counted: Counted) -> Counted:
    """Join neighbours in pairs where the sum is as well known: nothing unseen in between."""
    linked = np.asarray(counted.linked)
    first: list[int] = []
    last: list[int] = []
    i = 0
    while i < len(counted):
        meets = i + 1 < len(counted) and abs(counted.start_d[i + 1] - counted.end_d[i]) < 1e-6
        alike = meets and counted.at_least[i] == counted.at_least[i + 1]
        first.append(i)
        last.append(i + 1 if alike else i)
        i = last[-1] + 1
    a, b = np.array(first), np.array(last)
    paired = b > a
    gas = counted.gas_m3[a] + np.where(paired, counted.gas_m3[b], 0.0)
    variance = counted.u_m3[a] ** 2 + np.where(paired, counted.u_m3[b] ** 2, 0.0)
    # The reading between them drops out of the sum.
    variance = variance * np.where(paired & linked[b], 0.5, 1.0)
    return Counted(
        counted.start_d[a],
        counted.end_d[b],
        gas,
        np.sqrt(variance),
        counted.at_least[a],
        linked[a],
    )


@dataclass
class _Belief:
    """Mean and covariance of (stray, error of the last reading), each (member,)."""

    stray: Floats
    error: Floats
    v_stray: Floats
    v_error: Floats
    both: Floats


def judge_gas(gas: GasTaken, shown: Floats, size: Floats) -> GasJudged:
    """Tell how likely the counted gas is.

    Parameters
    ----------
    gas : GasTaken
        What was counted.
    shown : array, shape (member, interval)
        What the holder would count of each life without strays and errors [m3].
    size : array, shape (member,)
        Standard relative stray of the gas rate.

    Returns
    -------
    GasJudged
        Likelihood and the stray left at the end.

    Notes
    -----
    The relative stray is an Ornstein-Uhlenbeck process. With the error of the last reading it is
    followed from interval to interval by a Kalman filter, so that neighbours' errors and strays
    that last are taken for what they are. Each reading may be a gross slip: the two cases are
    weighed by their likelihood and put together by their mean and variance. Where some gas was
    unseen, only that at least so much came counts.

    References
    ----------
    kalman_1960.
    """
    members, count = shown.shape
    variance = size**2
    now = _Belief(
        np.zeros(members), np.zeros(members), variance.copy(), np.zeros(members), np.zeros(members)
    )
    total = np.zeros(members)
    rows = np.zeros((members, 2 * count))
    middle = 0.5 * (gas.counted.start_d + gas.counted.end_d)
    for i in range(count):
        if i:
            _forget(now, float(middle[i] - middle[i - 1]), variance)
        if not gas.joins[i]:
            now.error, now.v_error, now.both = (np.zeros(members) for _ in range(3))
        step = _Step(gas, i, shown[:, i])
        if gas.counted.at_least[i]:
            part, row = _at_least(step, now)
            rows[:, 2 * i] = row
        else:
            part, row, row_width = _counted(step, now)
            rows[:, 2 * i], rows[:, 2 * i + 1] = row, row_width
        total += part
    at = float(middle[-1]) if count else 0.0
    return GasJudged(total, rows, now.stray, np.sqrt(np.maximum(now.v_stray, 0.0)), at)


def _forget(now: _Belief, span_d: float, variance: Floats) -> None:
    kept = float(np.exp(-max(span_d, 0.0) / STRAY_D))
    now.stray = kept * now.stray
    now.both = kept * now.both
    now.v_stray = kept**2 * now.v_stray + (1.0 - kept**2) * variance


class _Step:
    """One interval of all lives: what it shows, how it answers to a stray, its variances."""

    def __init__(self, gas: GasTaken, i: int, shown: Floats) -> None:
        span = float(gas.span_d[i])
        usual = gas.usual_m3_d * span
        ratio = span / STRAY_D
        # A long interval averages the stray over its length.
        averaged = np.sqrt(2.0 * (ratio - 1.0 + np.exp(-ratio))) / ratio if ratio > 1e-4 else 1.0
        self.value, self.shown = float(gas.counted.gas_m3[i]), shown
        self.answer = averaged * np.hypot(shown, _LEAST_RATE * usual)
        # Both shift gas from one interval to the next.
        timing = (_TIMING_D / span * self.answer) ** 2 + gas.swing_m3**2
        last = i + 1 == len(gas.span_d) or not gas.joins[i + 1]
        self.own = gas.own[i] + (timing if last else 0.0) + (0.0 if gas.joins[i] else timing)
        self.end = gas.end[i] + (0.0 if last else timing)
        self.slip = max(100.0 * float(gas.counted.u_m3[i] ** 2), (_SLIP_SIZE * usual) ** 2)
        self.slips_on = not last and bool(gas.begun[i + 1])


def _counted(step: _Step, now: _Belief) -> tuple[Floats, Floats, Floats]:
    off = step.value - step.shown - step.answer * now.stray + now.error
    spread = step.answer**2 * now.v_stray + now.v_error - 2.0 * step.answer * now.both + step.own
    toward = step.answer * now.v_stray - now.both
    ends = (step.end, step.end + step.slip) if step.slips_on else (step.end, step.end)
    wider = (0.0, 0.0 if step.slips_on else step.slip)
    sizes = [spread + end + more for end, more in zip(ends, wider, strict=True)]
    logs = [
        np.log(share) - 0.5 * (off**2 / size + np.log(2.0 * np.pi * size))
        for share, size in zip((1.0 - SLIPS, SLIPS), sizes, strict=True)
    ]
    whole = np.logaddexp(logs[0], logs[1])
    sound = np.exp(logs[0] - whole)
    weights = (sound, 1.0 - sound)
    gains = [(toward / size, end / size) for size, end in zip(sizes, ends, strict=True)]
    means = [(now.stray + g * off, h * off) for g, h in gains]
    stray = weights[0] * means[0][0] + weights[1] * means[1][0]
    error = weights[0] * means[0][1] + weights[1] * means[1][1]
    v_stray, v_error, both = np.zeros_like(off), np.zeros_like(off), np.zeros_like(off)
    cases = zip(weights, gains, sizes, ends, means, strict=True)
    for weight, (g, h), size, end, (stray_k, error_k) in cases:
        v_stray += weight * (now.v_stray - g**2 * size + (stray_k - stray) ** 2)
        v_error += weight * (end - h**2 * size + (error_k - error) ** 2)
        both += weight * (-g * h * size + (stray_k - stray) * (error_k - error))
    now.stray, now.error = stray, error
    now.v_stray, now.v_error, now.both = v_stray, v_error, both
    return whole, np.sqrt(sound) * off / np.sqrt(sizes[0]), np.log(sizes[0]) / np.sqrt(2.0)


def _at_least(step: _Step, now: _Belief) -> tuple[Floats, Floats]:
    """Only that no less came is known: nothing is learnt of the stray."""
    came = step.shown + step.answer * now.stray - now.error - step.value
    spread = step.answer**2 * now.v_stray + now.v_error + step.own + step.end
    sure = log_ndtr(came / np.sqrt(spread))
    part = np.logaddexp(np.log(1.0 - SLIPS) + sure, np.log(SLIPS))
    now.error, now.v_error, now.both = (np.zeros_like(came) for _ in range(3))
    return part, np.sqrt(np.maximum(-2.0 * part, 0.0))


def stray_today(judged: GasJudged, size: Floats, today: float) -> tuple[Floats, Floats]:
    """Give mean and standard deviation of the stray today, each (member,)."""
    now = _Belief(judged.stray, judged.stray, judged.u_stray**2, judged.stray, judged.stray)
    now = replace(now)
    _forget(now, today - judged.at, size**2)
    return now.stray, np.sqrt(np.maximum(now.v_stray, 0.0))
