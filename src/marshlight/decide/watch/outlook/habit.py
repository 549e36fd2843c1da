"""Feeding that goes on as before: what the coming days hold if nobody changes their ways."""

from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.steps.courses import feeding
from marshlight.process.model import Event, Feed, Liquid

# Feeds of the last four weeks show a habit, three of them at least; our choice.
_BACK_D, _FEWEST = 28.0, 3
# After three usual pauses without a feed the habit has ended; our choice.
_LAPSED = 3.0
# Feeds closer together than this are one visit.
_ONE_VISIT_D = 0.1


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
        The middle pause and the mean feed of the last four weeks.

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
    feeds = [e for e in log.events if isinstance(e, Feed) and e.day >= log.today - _BACK_D]
    visits = list[tuple[float, Liquid]]()
    for feed in sorted(feeds, key=lambda e: e.day):
        if visits and feed.day - visits[-1][0] < _ONE_VISIT_D:
            visits[-1] = (visits[-1][0], visits[-1][1] + feed.liquid)
        else:
            visits.append((feed.day, feed.liquid))
    if len(visits) < _FEWEST:
        return None
    days = np.array([day for day, _ in visits])
    every = float(np.median(np.diff(days)))
    if log.today - days[-1] > _LAPSED * every:
        return None
    whole = sum((liquid for _, liquid in visits[1:]), start=visits[0][1])
    return Habit(every, whole.scaled(1.0 / len(visits)), max(float(days[-1]) + every, log.today))
