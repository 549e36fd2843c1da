"""How much to feed: the most burnable gas at less than a given risk of souring."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps.courses import feeding
from marshlight.decide.watch.steps.following import Followed, fewer, follow, span, worth_of
from marshlight.decide.watch.steps.risk import Risk
from marshlight.errors import require
from marshlight.process.model import Liquid

HORIZON_D = 30
# A shorter stay than this washes methane formers out, slower than the days looked at here show:
# common practice, no source, keeps slurry 20 to 60 days.
SHORTEST_STAY_D = 20.0
# At most this share of the slurry at a time: our choice, a larger one chills and shocks.
MOST_AT_ONCE = 0.25
# What a small fed digester usually takes a day (source `feed_limit_practice`).
USUAL_SHARE_A_DAY = 1.0 / 40.0
SEARCHED_LIVES = 128
_LADDER = (0.0625, 0.125, 0.25, 0.5, 0.75, 1.0)
_HALVINGS = 6
BINDS = {
    "risk": "more of it takes the risk of souring above the limit",
    "already": "left unfed it is already at more risk than the limit",
    "stay": "more of it would wash the methane formers out",
    "stock": "there is no more of it at hand",
    "few": "too few lives fit the readings to tell the risk of more than is usual",
    "gas": "more of it brings no more burnable gas",
}


@dataclass(frozen=True)
class Rung:
    """One amount tried: fed each time [kg], its risk, and burnable gas of a day (``span``)."""

    amount_kg: float
    risk: Risk
    burnable_m3_d: tuple[float, float, float]

    @property
    def mean_m3_d(self) -> float:
        """Give the middle of the lives [normal m3/d]."""
        return self.burnable_m3_d[1]


@dataclass(frozen=True)
class FeedingPlan:
    """How much to feed each time, what then comes, and what keeps it from being more.

    ``binds`` is a key of ``BINDS``; ``tried`` holds every amount looked at, in order.
    """

    every_d: float
    best: Rung
    unfed: Rung
    binds: str
    limit: float
    tried: tuple[Rung, ...]
    liquid: Liquid
    level_m3: float

    @property
    def above_usual(self) -> bool:
        """Tell whether it is more than a small digester usually takes."""
        return self._share_a_day > USUAL_SHARE_A_DAY * (1.0 + 1e-6)

    @property
    def _share_a_day(self) -> float:
        return self.best.amount_kg * self.liquid.volume_m3 / self.every_d / self.level_m3


@dataclass(frozen=True)
class Food:
    """What can be fed: a kilogram of it as it is poured, with water, and what is at hand [kg]."""

    a_kilogram: Liquid
    stock_kg: float | None = None


def feeding_plan(
    lives: Lives,
    log: RunLog,
    food: Food,
    *,
    every_d: float,
    limit: float,
    seed: int,
    level_m3: float,
    horizon_d: int = HORIZON_D,
    before_each: Callable[[], object] | None = None,
) -> FeedingPlan:
    """Find the largest even feed at less than a given risk of ending sour.

    Parameters
    ----------
    lives, log : Lives, RunLog
        The digester as it may be.
    food : Food
        What is fed.
    every_d : float
        Days between feeds, 0.5 or more [d]; the first is today.
    limit : float
        Risk of ending sour that is borne, above 0 to 0.5.
    seed : int
        Luck of the strays, shared by all amounts.
    level_m3 : float
        Slurry in the vessel now [m3].
    horizon_d : int
        Days looked at [d].
    before_each : callable, optional
        Called before each amount is tried; what it raises ends the search.

    Returns
    -------
    FeedingPlan
        With every amount tried.

    Raises
    ------
    InputError
        When a number is out of its limits.
    FitError
        When the lives cannot be run.

    Notes
    -----
    Bisection on the amount with the same lives and strays at every step, so that a higher limit
    never gives less. The risk counts lives, not doubts about the model; what sours later than the
    days looked at is held off by the shortest stay alone. Where the lives are worth too few draws
    to tell the limit from no risk at all, no more is fed than a small digester usually takes.

    References
    ----------
    feed_limit_practice, batstone_2002
    """
    require(
        0.0 < limit <= 0.5 and every_d >= 0.5 and horizon_d >= 2.0 * every_d,
        field="risk limit",
        value=(limit, every_d, horizon_d),
        allowed="above 0 to 50 %, with two feeds at least within the days looked at",
        remedy="Choose a smaller risk or a shorter time between feeds",
    )
    few = fewer(lives, SEARCHED_LIVES)
    can_tell = Risk(0, len(few), worth_of(few)).limits[1] <= limit
    most, why = _most(food, every_d, horizon_d, level_m3=level_m3, can_tell=can_tell)
    when = lives.day + np.arange(0.0, horizon_d - 0.5 * every_d, every_d)
    tried: dict[float, Rung] = {}

    def at(share: float) -> Rung:
        if share not in tried:
            if before_each is not None:
                before_each()
            fed = food.a_kilogram.scaled(share * most)
            events = feeding(
                fed, when, level_m3=level_m3, vessel_m3=log.digester.vessel_m3
            ) if share > 0.0 else ()  # fmt: skip
            # Unfed is told elsewhere too, by all lives: no two risks of the same course.
            followed = few if share > 0.0 else lives
            course = follow(followed, log, events, days=np.arange(horizon_d + 1.0), seed=seed)
            tried[share] = _rung(share * most, course)
        return tried[share]

    share, binds = _highest(at, limit, why)
    return FeedingPlan(
        every_d, at(share), at(0.0), binds, limit,
        tuple(tried[key] for key in sorted(tried)), food.a_kilogram, level_m3,
    )  # fmt: skip


def _most(
    food: Food, every_d: float, horizon_d: int, *, level_m3: float, can_tell: bool
) -> tuple[float, str]:
    """Give the most that is fed at a time for other reasons than souring [kg]."""
    a_day, why = (1.0 / SHORTEST_STAY_D, "stay") if can_tell else (USUAL_SHARE_A_DAY, "few")
    share = min(every_d * a_day, MOST_AT_ONCE)
    by_volume = share * level_m3 / max(food.a_kilogram.volume_m3, 1e-9)
    if food.stock_kg is None:
        return by_volume, why
    times = max(1, int(np.ceil((horizon_d - 0.5 * every_d) / every_d)))
    by_stock = food.stock_kg / times
    return (by_stock, "stock") if by_stock < by_volume else (by_volume, why)


def _highest(at: Callable[[float], Rung], limit: float, why: str) -> tuple[float, str]:
    """Search the share of the most: the risk limit first, then where more gives no more."""
    if at(0.0).risk.share > limit:
        return 0.0, "already"
    useful = max(_LADDER, key=lambda share: at(share).mean_m3_d)
    if at(1.0).risk.share <= limit:
        return (useful, "gas") if useful < 1.0 else (1.0, why)
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if at(middle).risk.share <= limit else (low, middle)
    return (useful, "gas") if useful < low else (low, "risk")


def _rung(amount_kg: float, course: Followed) -> Rung:
    return Rung(amount_kg, course.risk, span(course.burnable_m3_d))
