"""Early warning: how likely it turns sour in the coming days if it is fed on as usual."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas
from marshlight.decide.watch.diagnosis.weighing import Weighed
from marshlight.decide.watch.outlook.habit import feast_of, habit_of
from marshlight.decide.watch.steps.courses import feeding
from marshlight.errors import require
from marshlight.process.model import Event
from marshlight.process.model.kernel import Reals, layout
from marshlight.process.model.liquid import MODEL

# Sour enough to stop the methane formers: between the 6.2 where they stop and the 6.8 from which
# they are at their best (source `gerardi_2003`).
TOO_LOW_PH = 6.5
# Souring that nobody saw coming costs some four weeks of gas until a fresh start has caught up. To
# heed a warning costs a pH strip, a meal or two skipped and, if it was in vain, some trust: about
# one week. So it pays to warn from one in four on. The weeks are our choice; nobody has counted.
WARN = 0.25
_WORLDS = 64
_STEP_D = 0.5
# Gas "now" is that of the last days, a round of feeding or so.
_LATELY_D = 3.0


@dataclass(frozen=True)
class SouringRisk:
    """Chances over the coming ``days`` [d] if fed on as usual, and when half the souring ones are.

    ``low_ph`` that pH goes below 6.5; ``half_gas`` that the gas of a day falls by half while acids
    gather; ``either`` that one of them does; ``middle_day`` the day [d since the start] by which
    half of the lives that sour have done so, None where hardly any does. ``fed`` tells whether
    there is a usual feeding; without one nothing more is fed. ``again`` is the chance if a feast of
    the last week is given once more today, None where there was none or it is warned of anyway.
    """

    days: float
    low_ph: float
    half_gas: float
    either: float
    middle_day: float | None
    fed: bool
    again: float | None = None

    @property
    def warned(self) -> bool:
        """Tell whether a warning is worth what it costs."""
        return self.either >= WARN

    @property
    def premise(self) -> str:
        """Say what the chances rest on."""
        return "Fed on as usual" if self.fed else "Left unfed"


def souring_risk(
    weighed: Weighed, log: RunLog, *, rng: np.random.Generator, days: float = 10.0
) -> SouringRisk:
    """Run the worlds that fit the log on, fed as usual, and count those that turn sour.

    Parameters
    ----------
    weighed : Weighed
        What the diagnosis made of the newest stretch.
    log : RunLog
        The log up to today.
    rng : numpy.random.Generator
        Picks worlds by their weight.
    days : float
        How far to look ahead, 1 to 60 [d].

    Returns
    -------
    SouringRisk
        Chances [1].

    Raises
    ------
    InputError
        When the look ahead is not 1 to 60 days.

    Notes
    -----
    Gas is compared with that of the day before today in the same life, so that a leak is not taken
    for souring. Falling gas alone counts only where pH falls too or acids gather: gas that fades
    because food runs out is no souring. What was eaten already is in the worlds; a feast is not
    taken to come again (``habit_of``).

    References
    ----------
    gerardi_2003
    """
    require(
        1.0 <= days <= 60.0,
        field="days",
        value=days,
        allowed="1 to 60 days",
        remedy="Look ahead by a week or two",
    )
    lives, lately = _worlds_today(weighed, rng)
    when = log.today + np.arange(0.0, days + 1e-9, _STEP_D)
    habit, feast = habit_of(log), feast_of(log)
    level = float(np.median(lives.states[:, layout(MODEL).state_at["volume"]]))
    vessel = log.digester.vessel_m3
    meals = () if habit is None else habit.events(when[-1], level_m3=level, vessel_m3=vessel)
    low, halved = _turned(lives, lately, log, when, meals)
    chance = (low | halved).mean(axis=0)
    middle = None
    if chance[-1] > 0.05:
        middle = float(when[int(np.argmax(chance >= 0.5 * chance[-1]))])
    found = SouringRisk(
        days,
        float(low[:, -1].mean()),
        float(halved[:, -1].mean()),
        float(chance[-1]),
        middle,
        fed=habit is not None,
    )
    if feast is None or found.warned:
        return found
    more = feeding(feast, [log.today], level_m3=level, vessel_m3=vessel)
    low, halved = _turned(lives, lately, log, when, (*more, *meals))
    return replace(found, again=float((low | halved)[:, -1].mean()))


def _turned(
    lives: Lives, lately: Reals, log: RunLog, when: Reals, meals: Sequence[Event]
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Tell by when pH was too low, and gas had halved while acids gathered: (life, time) each."""
    run = ahead(lives, log, days=when, events=meals)
    acids, daily = run.acids_kg_m3, _per_day(dry_gas(run))
    low = np.minimum.accumulate(run["pH"], axis=1) < TOO_LOW_PH
    gathers = acids > np.maximum(1.5 * acids[:, :1], 1.0)
    halved = (daily < 0.5 * lately[:, None]) & gathers
    return low, np.maximum.accumulate(halved, axis=1)


def _per_day(gas_m3: Reals) -> Reals:
    """Gas of the day before each time, from the second day on; before that of the first day."""
    back = round(1.0 / _STEP_D)
    daily = np.empty_like(gas_m3)
    daily[:, back:] = gas_m3[:, back:] - gas_m3[:, :-back]
    daily[:, :back] = daily[:, back : back + 1]
    return daily


def _worlds_today(weighed: Weighed, rng: np.random.Generator) -> tuple[Lives, Reals]:
    """Pick worlds by weight, with their states today, and the gas they made a day lately [m3/d]."""
    weights = np.concatenate([block.weight for block in weighed.blocks])
    owner = np.repeat(np.arange(len(weighed.blocks)), [len(b.weight) for b in weighed.blocks])
    member = np.concatenate([np.arange(len(b.weight)) for b in weighed.blocks])
    steps = (np.arange(_WORLDS) + rng.random()) / _WORLDS
    picked = np.searchsorted(np.cumsum(weights / weights.sum()), steps).clip(max=len(owner) - 1)
    chosen = [(weighed.blocks[int(owner[at])].branch, int(member[at])) for at in picked]
    names = layout(MODEL).states
    lives = replace(
        weighed.base.lives,
        draws=np.array([b.lives.draws[i] for b, i in chosen]),
        settings=np.array([b.run.settings[i] for b, i in chosen]),
        states=np.array([[b.run[n][i, -1] for n in names] for b, i in chosen]),
        stray_now=np.array([b.lives.stray_now[i] for b, i in chosen]),
        day=weighed.seen.today,
    )
    since = max(weighed.seen.today - _LATELY_D, weighed.seen.since)
    span = max(weighed.seen.today - since, 1e-6)
    lately = []
    for branch, i in chosen:
        scale = branch.lives.of("gas_scale")[i] * (1.0 - branch.lives.of("leak")[i])
        shown = branch.gas_m3[i, -1] - np.interp(since, branch.run.day, branch.gas_m3[i])
        lately.append(shown / scale / span)
    return lives, np.array(lately)
