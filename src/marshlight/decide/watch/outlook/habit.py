"""Feeding that goes on as before: what the coming days hold if nobody changes their ways."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.steps.courses import feeding
from marshlight.process.model import Event, Feed, Liquid
from marshlight.process.model.feed import LABILE

# Feeds of the last four weeks show a habit, three of them at least; our choice.
_BACK_D, _FEWEST = 28.0, 3
# After three usual pauses without a feed the habit has ended; our choice.
_LAPSED = 3.0
# Feeds closer together than this are one visit.
_ONE_VISIT_D = 0.1
# A meal with more than so many times the food of the middle one is a feast; our choice: usual meals
# differ by less.
_FEAST = 2.0
# What was given within a week may be given again; our choice.
_FRESH_D = 7.0

_Visits = Sequence[tuple[float, Liquid]]


@dataclass(frozen=True)
class Habit:
    """How it is fed: every ``every_d`` days [d], ``liquid`` each time, next on day ``next_d``."""

    every_d: float
    liquid: Liquid
    next_d: float

    def events(self, until: float, *, level_m3: float, vessel_m3: float) -> tuple[Event, ...]:
        """Give the feeds up to a day [d], drawing off what would not fit above the level now."""
        days = np.arange(self.next_d, until - 1e-9, self.every_d)
        return feeding(self.liquid, days.tolist(), level_m3=level_m3, vessel_m3=vessel_m3)


def habit_of(log: RunLog) -> Habit | None:
    """Read the feeding habit off a log; None where there is none, or it has ended.

    Parameters
    ----------
    log : RunLog
        With its feeds.

    Returns
    -------
    Habit or None
        The middle pause and the mean feed of the last four weeks, feasts left out.

    Notes
    -----
    A feast is a meal with more than twice the food of the middle one. One or two are no habit and
    not expected again; from the third on they are.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> fed = tuple(Feed(day, water(0.0002)) for day in (1.0, 3.0, 5.0))
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)),
    ...              inoculum("digested cattle manure", 0.006), today=6.0, events=fed)
    >>> habit = habit_of(log)
    >>> habit.every_d, habit.next_d
    (2.0, 7.0)
    """
    visits = _visits(log)
    usual = _without_feasts(visits)
    if len(usual) < _FEWEST:
        return None
    every = float(np.median(np.diff([day for day, _ in usual])))
    last = visits[-1][0]
    if log.today - last > _LAPSED * every:
        return None
    whole = sum((liquid for _, liquid in usual[1:]), start=usual[0][1])
    return Habit(every, whole.scaled(1.0 / len(usual)), max(last + every, log.today))


def feast_of(log: RunLog) -> Liquid | None:
    """Give the newest meal if it is out of the habit and a week old at most; else None.

    Parameters
    ----------
    log : RunLog
        With its feeds.

    Returns
    -------
    Liquid or None
        A feast among usual meals, or whatever was fed last where there is no habit.

    Examples
    --------
    >>> from marshlight.process.model import Digester, Holder, inoculum, water
    >>> log = RunLog(Digester(0.01, Holder("bag", 0.1)), inoculum("digested cattle manure", 0.006),
    ...              today=6.0, events=(Feed(5.0, water(0.0002)),))
    >>> feast_of(log).volume_m3
    0.0002
    """
    visits = _visits(log)
    if not visits or log.today - visits[-1][0] > _FRESH_D:
        return None
    usual = habit_of(log) is not None and visits[-1] in _without_feasts(visits)
    return None if usual else visits[-1][1]


def _visits(log: RunLog) -> _Visits:
    """Feeds of the last weeks, those of one visit poured together, in order."""
    feeds = [e for e in log.events if isinstance(e, Feed) and e.day >= log.today - _BACK_D]
    visits = list[tuple[float, Liquid]]()
    for feed in sorted(feeds, key=lambda e: e.day):
        if visits and feed.day - visits[-1][0] < _ONE_VISIT_D:
            visits[-1] = (visits[-1][0], visits[-1][1] + feed.liquid)
        else:
            visits.append((feed.day, feed.liquid))
    return visits


def _without_feasts(visits: _Visits) -> _Visits:
    """Leave feasts out, unless there are enough of them to be a habit themselves."""
    if not visits:
        return visits
    food = [sum(liquid.amounts.get(name, 0.0) for name in LABILE) for _, liquid in visits]
    most = _FEAST * float(np.median(food))
    usual = [visit for visit, much in zip(visits, food, strict=True) if much <= most]
    return usual if len(visits) - len(usual) < _FEWEST else visits
