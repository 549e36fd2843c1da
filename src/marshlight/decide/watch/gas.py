"""Newest gas against what was expected of it."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from marshlight.decide.watch.facts import HOTTEST_C, GasRecord, RunFacts, Track
from marshlight.errors import FitError
from marshlight.process import CurvePrior, Forecast, fit_curve, forecast, temperature_factor
from marshlight.process.temperature import FACTOR_SPREAD

# Stretches shorter than this are merged: a level read twice in an hour is no gas rate.
_STRETCH_D = 0.5
_AHEAD_D = 40.0


@dataclass(frozen=True)
class Stretch:
    """Gas rate between two readings [m3/d], its u, and the 95 % band expected of it."""

    start: float
    end: float
    rate: float
    u: float
    expected: float
    low: float
    high: float
    at_least: bool

    @property
    def below(self) -> bool:
        """Under the band by more than reading error; gas that went unseen proves nothing."""
        return not self.at_least and self.rate + 2.0 * self.u < self.low

    @property
    def above(self) -> bool:
        """Over the band by more than reading error."""
        return self.rate - 2.0 * self.u > self.high


def expected_without_latest(
    gas: GasRecord,
    prior: CurvePrior | None,
    *,
    rng: np.random.Generator,
    held_back: int = 2,
) -> Forecast | None:
    """Forecast of a batch made without its newest readings.

    Parameters
    ----------
    gas : GasRecord
        Gas so far.
    prior : CurvePrior or None
        The recipe's expectation.
    rng : numpy.random.Generator
        Source of randomness.
    held_back : int
        How many half-day stretches to hold back, 1 or more.

    Returns
    -------
    Forecast or None
        Days from 0 to 40 past the newest reading; None when too little is known.

    Notes
    -----
    Readings can't be surprising to a forecast that has already bent to them.
    """
    ends = _stretch_ends(gas.day)
    last = float(gas.day[ends[-1 - held_back]]) if len(ends) > held_back else 0.0
    known = gas.day <= last
    days = np.arange(0.0, float(gas.day[-1] if gas.day.size else 0.0) + _AHEAD_D, 0.5)
    try:
        if known.sum() > 1:
            fit = fit_curve(
                gas.day[known],
                gas.total_m3[known],
                gas.u_m3[known],
                prior=prior,
                lower_bound=gas.unseen[known],
            )
            return forecast(fit, days, rng=rng, draws=600)
        return None if prior is None else forecast(prior, days, rng=rng, draws=600)
    except FitError:
        return None


def newest_stretches(facts: RunFacts, count: int = 2) -> tuple[Stretch, ...]:
    """The last few stretches of at least half a day, oldest first, against the expectation."""
    gas, seen = facts.gas, facts.expected or facts.forecast
    if gas is None or seen is None or gas.day.size < 2:
        return ()
    ends = _stretch_ends(gas.day)[-count - 1 :]
    found = (_stretch(gas, seen, a, b) for a, b in pairwise(ends))
    return tuple(_at_its_warmth(facts, seen, stretch) for stretch in found)


def _at_its_warmth(facts: RunFacts, seen: Forecast, stretch: Stretch) -> Stretch:
    """The expectation slowed by cold, so that cold is not taken for a leak or for acid.

    Compared with the warmth the forecast learned from, else with the set point;
    warmth is not credited: an expectation never rises here.
    """
    now = _mean_between(facts.slurry_c, stretch.start, stretch.end)
    before = _mean_between(facts.slurry_c, -1.0, seen.from_day)
    aim = 37.0 if facts.set_point_c is None else facts.set_point_c
    if now is None or now > HOTTEST_C:
        return stretch
    usual = float(temperature_factor(aim if before is None else min(before, HOTTEST_C)))
    pace = min(float(temperature_factor(now)) / max(usual, 0.05), 1.0)
    # How far the factor itself may be off matters only once there is something to slow.
    least = max(pace - FACTOR_SPREAD, 0.0) if pace < 1.0 else 1.0
    return replace(stretch, expected=pace * stretch.expected, low=least * stretch.low)


def _mean_between(track: Track, start: float, end: float) -> float | None:
    inside = [v for d, v in zip(track.day, track.value, strict=True) if start < d <= end]
    return float(np.mean(inside)) if inside else None


def _stretch_ends(day: np.ndarray) -> list[int]:
    ends: list[int] = []
    for i in range(day.size - 1, -1, -1):
        if not ends or day[ends[-1]] - day[i] >= _STRETCH_D:
            ends.append(i)
    return ends[::-1]


def _stretch(gas: GasRecord, seen: Forecast, first: int, last: int) -> Stretch:
    start, end = float(gas.day[first]), float(gas.day[last])
    span = end - start
    inside = np.linspace(start + min(1.0, span), end, 5)

    def mean(values: np.ndarray) -> float:
        return float(np.mean(np.interp(inside, seen.day, values)))

    return Stretch(
        start=start,
        end=end,
        rate=float(gas.total_m3[last] - gas.total_m3[first]) / span,
        u=float(gas.u_between(first, last)) / span,
        expected=mean(seen.daily.median),
        low=mean(seen.daily.low95),
        high=mean(seen.daily.high95),
        at_least=bool(np.any(gas.unseen[first + 1 : last + 1])),
    )
