"""Early warning: how likely it turns sour in the coming days if it is fed on as now."""

from dataclasses import dataclass, replace

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog, ahead, dry_gas
from marshlight.decide.watch.diagnosis.weighing import Weighed
from marshlight.errors import FitError, require
from marshlight.process.model import DrawOff, Event, Feed
from marshlight.process.model.kernel import Reals, layout
from marshlight.process.model.liquid import MODEL

# Sour enough to stop the methane formers: between the 6.2 where they stop and the 6.8 from which
# they are at their best (source `gerardi_2003`).
TOO_LOW_PH = 6.5
_WORLDS = 64
# Feeding "as now" repeats the last week, or the last two where a week saw no feed; our choice.
_HABIT_D = (7.0, 14.0)
_STEP_D = 0.5
# Gas "now" is that of the last days, a round of feeding or so.
_LATELY_D = 3.0


@dataclass(frozen=True)
class SouringRisk:
    """Chances over the coming ``days`` [d] if fed on as now, and when half the souring ones are.

    ``low_ph`` that pH goes below 6.5; ``half_gas`` that the gas of a day falls by half;
    ``either`` that one of them does; ``middle_day`` the day [d since the start] by which half of
    the lives that sour have done so, None where hardly any does.
    """

    days: float
    low_ph: float
    half_gas: float
    either: float
    middle_day: float | None


def souring_risk(
    weighed: Weighed, log: RunLog, *, rng: np.random.Generator, days: float = 10.0
) -> SouringRisk:
    """Run the worlds that fit the log on, fed as lately, and count those that turn sour.

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
    because food runs out is no souring.

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
    events = as_lately(log, days)
    try:
        run = ahead(lives, log, days=when, events=events)
    except FitError:
        # More drawn off than there is, in lives far from the digester: then without draw-offs.
        kept = [event for event in events if not isinstance(event, DrawOff)]
        run = ahead(lives, log, days=when, events=kept)
    ph, acids = run["pH"], run.acids_kg_m3
    daily = _per_day(dry_gas(run))
    low = np.minimum.accumulate(ph, axis=1) < TOO_LOW_PH
    gathers = acids > np.maximum(1.5 * acids[:, :1], 1.0)
    halved = (daily < 0.5 * lately[:, None]) & gathers
    halved = np.maximum.accumulate(halved, axis=1)
    sours = low | halved
    chance = sours.mean(axis=0)
    middle = None
    if chance[-1] > 0.05:
        middle = float(when[int(np.argmax(chance >= 0.5 * chance[-1]))])
    return SouringRisk(
        days,
        float(low[:, -1].mean()),
        float(halved[:, -1].mean()),
        float(chance[-1]),
        middle,
    )


def as_lately(log: RunLog, days: float) -> tuple[Event, ...]:
    """Feeds and draw-offs of the last week again, over the coming days.

    Parameters
    ----------
    log : RunLog
        The log up to today.
    days : float
        How far to look ahead [d].

    Returns
    -------
    tuple of Event
        Each a week later (two, where the last week saw no feed); none where it was not fed lately.
    """
    for span in _HABIT_D:
        habit = [
            event
            for event in log.events
            if isinstance(event, (Feed, DrawOff)) and event.day > log.today - span
        ]
        if any(isinstance(event, Feed) for event in habit):
            rounds = range(1, int(np.ceil(days / span)) + 1)
            again = (replace(e, day=e.day + i * span) for i in rounds for e in habit)
            return tuple(event for event in again if event.day <= log.today + days)
    return ()


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
