"""When to draw off and refill, and how much: the most burnable gas a day in the long run."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps.courses import refilling
from marshlight.decide.watch.steps.following import fewer, follow, span
from marshlight.decide.watch.steps.ration import SHORTEST_STAY_D
from marshlight.decide.watch.steps.risk import Floats, Risk
from marshlight.errors import require
from marshlight.process.model import Liquid

LENGTHS_D = (7.0, 14.0, 21.0, 30.0, 45.0, 60.0)
SHARES = (0.25, 0.33, 0.5, 0.67, 0.8)
# Rounds until what one leaves for the next hardly changes, and of these the last are averaged.
ROUNDS, COUNTED = 4, 2
# Cycles within this of the best are as good as it: what lots of one kind differ by at the least.
FLAT = 0.05
SEARCHED_LIVES = 40
_LOOK_D = 90


@dataclass(frozen=True)
class Cycle:
    """One way of going on for good: refilled every ``days`` with a ``share`` drawn off.

    ``burnable_m3_d`` is the long-run mean of a day (``span`` of the lives), waiting for the gas to
    come back included; ``lag_d`` days until half the gas rate of the cycle's best day is back.
    """

    days: float
    share: float
    burnable_m3_d: tuple[float, float, float]
    by_life: Floats
    lag_d: float
    risk: Risk

    @property
    def mean_m3_d(self) -> float:
        """Give the middle of the lives [normal m3/d]."""
        return self.burnable_m3_d[1]

    @property
    def stay_d(self) -> float:
        """Give how long slurry stays in the mean [d]."""
        return self.days / self.share


@dataclass(frozen=True)
class RefillPlan:
    """The best cycle, all that were tried, those as good, and when the first refill is due.

    Ways that keep slurry for less than 20 days are not tried. ``best`` is None where every cycle
    sours too often. ``due_d`` is days from now over the lives (``span``); ``too_risky`` counts
    what the risk limit rules out.
    """

    best: Cycle | None
    tried: tuple[Cycle, ...]
    flat: tuple[Cycle, ...]
    due_d: tuple[float, float, float] | None
    limit: float
    too_risky: int


def refill_plan(
    lives: Lives,
    log: RunLog,
    fresh: Liquid,
    *,
    level_m3: float,
    limit: float,
    seed: int,
    lengths_d: Sequence[float] = LENGTHS_D,
    shares: Sequence[float] = SHARES,
    before_each: Callable[[], object] | None = None,
) -> RefillPlan:
    """Compare ways of drawing off and refilling for good.

    Parameters
    ----------
    lives, log : Lives, RunLog
        The digester as it may be.
    fresh : Liquid
        What is filled in, water included; scaled to what was drawn off.
    level_m3 : float
        Slurry in the vessel now, kept [m3].
    limit : float
        Risk of ending sour that is borne, above 0 to 0.5.
    seed : int
        Luck of the strays, shared by all cycles.
    lengths_d, shares : sequence of float
        Days between refills [d], and shares of the slurry drawn off, to try.
    before_each : callable, optional
        Called before each way is tried; what it raises ends the search.

    Returns
    -------
    RefillPlan
        With every cycle tried.

    Raises
    ------
    InputError
        When the limit or a share is out of its limits.
    FitError
        When the lives cannot be run.

    Notes
    -----
    Each way is run for four rounds from how the digester stands now, and the last two are
    averaged, so that what is left as inoculum has settled and the wait for gas after each refill
    counts. The first refill is due where gas so far, less the long-run mean times the days waited,
    is greatest: then every further day brings less than a day of the next rounds (the renewal
    argument, derived).

    References
    ----------
    batstone_2002
    """
    require(
        0.0 < limit <= 0.5,
        field="risk limit",
        value=limit,
        allowed="above 0 to 50 %",
        remedy="Choose a smaller risk",
    )
    few = fewer(lives, SEARCHED_LIVES)
    tried = []
    for days, share in product(lengths_d, shares):
        if days < SHORTEST_STAY_D * share:
            continue
        if before_each is not None:
            before_each()
        tried.append(_cycle(few, log, fresh, days=days, share=share, level_m3=level_m3, seed=seed))
    borne = [c for c in tried if c.risk.share <= limit]
    if not borne:
        return RefillPlan(None, tuple(tried), (), None, limit, len(tried))
    best = max(borne, key=lambda c: c.mean_m3_d)
    flat = tuple(c for c in borne if c.mean_m3_d >= (1.0 - FLAT) * best.mean_m3_d)
    due = _due(few, log, best, seed)
    return RefillPlan(best, tuple(tried), flat, due, limit, len(tried) - len(borne))


def _cycle(
    lives: Lives,
    log: RunLog,
    fresh: Liquid,
    *,
    days: float,
    share: float,
    level_m3: float,
    seed: int,
) -> Cycle:
    starts = [lives.day + i * days for i in range(ROUNDS)]
    events = [event for day in starts for event in refilling(day, share, fresh, level_m3=level_m3)]
    # Ten looks into each round tell how long the gas takes to come back.
    looks = np.linspace(0.0, ROUNDS * days, 10 * ROUNDS + 1)
    course = follow(lives, log, events, days=looks, seed=seed)
    from_round = 10 * (ROUNDS - COUNTED)
    gas = course.burnable_m3
    by_life = (gas[:, -1] - gas[:, from_round]) / (COUNTED * days)
    return Cycle(
        days,
        share,
        span(by_life),
        np.asarray(by_life),
        _lag(looks[-11:] - looks[-11], gas[:, -11:]),
        course.risk,
    )


def _lag(day: Floats, gas_m3: Floats) -> float:
    """Tell when the middle life is back at half of the rate of its best stretch."""
    rate = np.median(np.diff(gas_m3, axis=1), axis=0)
    back = np.flatnonzero(rate >= 0.5 * rate.max())
    return float(day[back[0]]) if back.size else float(day[-1])


def _due(lives: Lives, log: RunLog, best: Cycle, seed: int) -> tuple[float, float, float]:
    day = np.arange(_LOOK_D + 1.0)
    gas = follow(lives, log, (), days=day, seed=seed).burnable_m3
    ahead_of_mean = gas - best.by_life[:, None] * day
    due = day[np.argmax(ahead_of_mean, axis=1)]
    return span(due)
