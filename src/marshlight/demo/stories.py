"""The stories that the demonstration tells, all invented, by role and never by name.

Amounts are ordinary bench amounts. Drums and barrel are played by the process model, each bent a
little; what happens to them (a souring, a rescue, a cold week) is what the model makes of what was
done. ``vigour``, ``ph`` and ``methane`` count only where the model is not compiled.
"""

from dataclasses import dataclass, field

import numpy as np

from marshlight.demo.course import Knots
from marshlight.demo.keeper import Entry
from marshlight.demo.played import AS_THE_MODEL_SAYS, Bend

WARM: Knots = ((0.0, 30.0), (0.8, 37.0))
FIRST_GAS: Knots = ((0.0, 0.02), (3.0, 0.32), (6.0, 0.50), (12.0, 0.60), (60.0, 0.63))


@dataclass(frozen=True)
class Feed:
    """Lots (by name) in kilograms and water in litres that went in on a day."""

    day: float
    parts: dict[str, float]
    water_l: float = 0.0
    better: float = 1.0
    """Gas in the end over what the library says."""
    lag_d: float = 0.0
    """Counts only for bottles, and where the process model is not compiled."""


@dataclass(frozen=True)
class Story:
    """One drum: when it began, what went in, what happened to it."""

    name: str
    began_days_ago: float
    feeds: tuple[Feed, ...]
    slurry_c: Knots = WARM
    vigour: Knots = ((0.0, 1.0),)
    ph: Knots = ((0.0, 6.9), (3.0, 6.8), (8.0, 7.1), (30.0, 7.3))
    methane: Knots = FIRST_GAS
    escaping: Knots = ((0.0, 0.0),)
    bend: Bend = AS_THE_MODEL_SAYS
    doses: tuple[tuple[float, float, str], ...] = ()
    """Bicarbonate: day, grams, what the keeper wrote beside it."""
    done: tuple[Entry, ...] = field(default=())
    ended_day: float | None = None


MANURE, LIVE, BREAD = "Goat manure", "Live slurry from the barrel", "Stale bread"
WHEY, POMACE, PEELINGS, YEAST = "Whole whey", "Apple pomace", "Kitchen peelings", "Spent yeast"

# Enough live slurry to carry the food, as somebody who has soured a drum before would take.
_USUAL = {LIVE: 5.0, MANURE: 0.3}

# What the process model cannot be asked for where it is not compiled: a souring told by hand.
_SLOWED: Knots = (
    (0.0, 1.0), (12.4, 1.0), (13.2, 0.7), (14.5, 0.1), (20.0, 0.06), (26.0, 0.7), (31.0, 1.0),
)  # fmt: skip
_SOURED_PH: Knots = (
    (0.0, 6.9), (8.0, 7.0), (12.0, 7.0), (13.5, 6.2), (15.0, 5.6), (18.3, 5.2), (18.5, 6.2),
    (22.0, 7.0), (28.0, 7.4),
)  # fmt: skip
_SOURED_METHANE: Knots = (
    (0.0, 0.02), (3.0, 0.32), (6.0, 0.5), (12.0, 0.58), (14.5, 0.30), (19.0, 0.28), (24.0, 0.5),
    (30.0, 0.58),
)  # fmt: skip

DRUMS: tuple[Story, ...] = (
    Story(
        "Drum 1, start to spent",
        58.4,
        (Feed(0.0, _USUAL | {BREAD: 0.03}, 11.0, 1.04, 0.8),),
        bend=Bend(food=1.05, pace=0.9),
        done=(Entry(55.9, "event", "end", note="spent; drawn off for the garden of the orchard"),),
        ended_day=55.9,
    ),
    Story(
        "Drum 2, soured and rescued",
        33.3,
        # Little live slurry and much water: it holds little alkalinity against the bread's acids.
        (
            Feed(0.0, {LIVE: 3.0, MANURE: 0.3, BREAD: 0.03}, 13.0, 1.0, 0.9),
            Feed(12.0, {BREAD: 0.25}, 0.3, 0.95, 0.2),
            Feed(27.0, {BREAD: 0.03}, 0.1, 1.0, 0.2),
            Feed(31.0, {BREAD: 0.03}, 0.1, 1.0, 0.2),
        ),
        bend=Bend(pace=1.05, cells=0.95),
        vigour=_SLOWED,
        ph=_SOURED_PH,
        methane=_SOURED_METHANE,
        doses=((18.35, 45.0, "first dose"), (20.3, 30.0, "second dose")),
        done=(
            Entry(14.1, "event", "note", note="Smells sharp. Feeding stopped."),
            Entry(26.9, "event", "note", note="Burns and smells right again. Feeding a little."),
        ),
    ),
    Story(
        "Drum 3, a seal that leaks",
        20.2,
        # Coarse bedding digests slowly: there is still gas to lose when the seal goes.
        (Feed(0.0, _USUAL | {MANURE: 0.9, PEELINGS: 0.2}, 10.0, 1.02, 0.7),),
        bend=Bend(food=0.97, pace=0.5),
        escaping=((0.0, 0.0), (13.0, 0.0), (13.2, 0.6), (60.0, 0.6)),
    ),
    Story(
        "Drum 4, a cold week",
        30.1,
        (Feed(0.0, _USUAL | {YEAST: 0.12}, 11.0, 0.97, 0.8),),
        bend=Bend(food=1.03, pace=0.95),
        slurry_c=((0.0, 30.0), (0.8, 37.0), (13.8, 37.0), (15.3, 21.5), (20.9, 20.5), (22.2, 37.0)),
        done=(Entry(20.9, "event", "note", note="The heating cable's plug was out. Back in."),),
    ),
    Story(
        "Drum 5, at its best",
        6.6,
        (Feed(0.0, _USUAL | {POMACE: 0.12}, 11.0, 1.0, 0.9),),
        # Its live slurry stood for some days.
        bend=Bend(food=1.02, cells=0.5),
    ),
    Story("Drum 6, just charged", 0.55, (Feed(0.0, _USUAL | {WHEY: 0.5}, 10.5, 1.0, 1.0),)),
)

BARREL_DAYS = 364.0


def barrel(rng: np.random.Generator) -> Story:
    """Tell a year of feeding at uneven intervals, with whey warm from the creamery."""
    feeds = [Feed(0.0, {LIVE: 60.0, MANURE: 12.0}, 70.0, 1.0, 1.5)]
    day = 6.0
    while day < BARREL_DAYS - 0.6:
        scraps = {MANURE: 2.0, PEELINGS: 1.0, WHEY: 1.5} | (
            {BREAD: 0.15} if rng.random() < 0.4 else {}
        )
        feeds.append(Feed(round(day, 2), scraps, 2.0, float(rng.normal(1.0, 0.06)), 0.3))
        day += float(rng.choice([2.9, 3.5, 4.1, 7.4], p=[0.35, 0.4, 0.2, 0.05]))
    # Straw keeps what warm whey and the microbes bring: well above the shed, below the drums.
    seasons = tuple(
        (float(d), 24.0 + 4.0 * np.cos(2.0 * np.pi * (d - 60.0) / 365.0)) for d in range(0, 366, 5)
    )
    return Story(
        "Barrel, a year of feeding",
        BARREL_DAYS,
        tuple(feeds),
        slurry_c=seasons,
        ph=((0.0, 6.9), (10.0, 7.2), (365.0, 7.3)),
        methane=((0.0, 0.05), (6.0, 0.5), (15.0, 0.6), (365.0, 0.6)),
        bend=Bend(food=0.95),
    )


# The trial: role, lot, grams, and by how much this bottle differs; the third pomace bottle leaks.
TRIAL_DAYS = 27.3
TRIAL: tuple[tuple[str, str, float], ...] = (
    *((f"blank {i}", "", 0.0) for i in (1, 2, 3)),
    *((f"cellulose {i}", "Cellulose powder", 2.0) for i in (1, 2, 3)),
    *((f"bread {i}", BREAD, 3.2) for i in (1, 2, 3)),
    *((f"pomace {i}", POMACE, 8.2) for i in (1, 2, 3)),
    *((f"whey {i}", WHEY, 36.0) for i in (1, 2, 3)),
)
TRIAL_NAME = "Otterbeck scraps"
TRIAL_LEAK = "pomace 3"
TRIAL_INOCULUM_KG, TRIAL_WATER_L = 0.25, 0.35
