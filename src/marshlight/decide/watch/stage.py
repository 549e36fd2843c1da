"""Where a healthy run stands: starting, climbing, steady, fading, spent."""

import numpy as np

from marshlight.decide.watch.facts import RunFacts
from marshlight.process.milestones import SPENT_DAYS, SPENT_SHARE

UNKNOWN = "not enough known"
_STARTED_SHARE = 0.05
_NEAR_PEAK = 0.8
_FRESH_D = 4.0


def stage(facts: RunFacts) -> str:
    """State word of a run without trouble.

    Parameters
    ----------
    facts : RunFacts
        What is known.

    Returns
    -------
    str
        One of starting, climbing, steady, fading, spent, not enough known.

    References
    ----------
    bmp_requirements_2020
    """
    gas, seen = facts.gas, facts.forecast
    if gas is None or gas.day.size < 2 or facts.day - float(gas.day[-1]) > _FRESH_D:
        return "starting" if facts.day < 2.0 else UNKNOWN
    if is_spent(facts):
        return "spent"
    if seen is None:
        return UNKNOWN
    now = float(gas.day[-1])
    total = float(gas.total_m3[-1])
    if facts.fed:
        return "steady" if now > 7.0 else "starting"
    if total < _STARTED_SHARE * seen.ultimate_m3.value:
        return "starting"
    rate = float(np.interp(now, seen.day, seen.daily.median))
    top = float(np.max(seen.daily.median))
    if rate >= _NEAR_PEAK * top:
        return "steady"
    return "climbing" if now < seen.peak_day.value else "fading"


def is_spent(facts: RunFacts) -> bool:
    """Whether each of the last three days gave under 1 % of all gas, and the peak is past."""
    gas = facts.gas
    if gas is None or gas.day.size < 4 or facts.fed:
        return False
    end = float(gas.day[-1])
    if end - float(gas.day[0]) < 2 * SPENT_DAYS:
        return False
    marks = np.interp(end - np.arange(SPENT_DAYS, -1, -1.0), gas.day, gas.total_m3)
    lately = (gas.day >= end - SPENT_DAYS) & gas.unseen
    if lately.any() or marks[-1] <= 0:
        return False
    # The reading error of a day's gas must not make a fading run look spent, nor hide it.
    low = np.diff(marks) < SPENT_SHARE * marks[1:]
    whole = np.interp(np.arange(1.0, end + 1e-9), gas.day, gas.total_m3)
    daily = np.diff(whole, prepend=0.0)
    past_peak = bool(np.argmax(daily) < daily.size - SPENT_DAYS)
    started = facts.forecast is None or marks[-1] > 0.3 * facts.forecast.ultimate_m3.value
    return bool(np.all(low)) and past_peak and started
