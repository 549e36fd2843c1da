"""The stories that the demonstration tells, all invented, by role and never by name.

Amounts are ordinary bench amounts; how much gas a charge holds is the engine's own blend of the
same lots, times a factor that stands for how this lot differs from the library's.
"""

from dataclasses import dataclass, field

from marshlight.demo.course import Knots
from marshlight.demo.keeper import Entry

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
    done: tuple[Entry, ...] = field(default=())
    ended_day: float | None = None


MANURE, LIVE, BREAD = "Goat manure", "Live slurry from the barrel", "Stale bread"
WHEY, POMACE, PEELINGS, YEAST = "Whole whey", "Apple pomace", "Kitchen peelings", "Spent yeast"

_USUAL = {LIVE: 2.5, MANURE: 0.3}

DRUMS: tuple[Story, ...] = (
    Story(
        "Drum 1, start to spent",
        58.4,
        (Feed(0.0, _USUAL | {BREAD: 0.03}, 13.4, 1.04, 0.8),),
        done=(Entry(55.9, "event", "end", note="spent; drawn off for the garden of the orchard"),),
        ended_day=55.9,
    ),
    Story(
        "Drum 2, soured and rescued",
        33.3,
        (
            Feed(0.0, _USUAL | {BREAD: 0.03}, 13.4, 1.0, 0.9),
            Feed(12.0, {BREAD: 0.17}, 0.3, 0.95, 0.2),
        ),
        vigour=(
            (0.0, 1.0),
            (12.4, 1.0),
            (13.2, 0.7),
            (14.5, 0.1),
            (20.0, 0.06),
            (26.0, 0.7),
            (31.0, 1.0),
        ),
        ph=(
            (0.0, 6.9),
            (8.0, 7.2),
            (12.0, 7.2),
            (13.5, 6.5),
            (15.0, 5.9),
            (18.3, 5.7),
            (18.5, 6.6),
            (22.0, 6.8),
            (28.0, 7.1),
        ),
        methane=(
            (0.0, 0.02),
            (3.0, 0.32),
            (6.0, 0.5),
            (12.0, 0.58),
            (14.5, 0.30),
            (19.0, 0.28),
            (24.0, 0.5),
            (30.0, 0.58),
        ),
        done=(
            Entry(14.1, "event", "note", note="Smells sharp. Feeding stopped."),
            Entry(18.35, "event", "dose", "35 g", {"substance": "bicarbonate"}, "first dose"),
            Entry(20.3, "event", "dose", "20 g", {"substance": "bicarbonate"}, "second dose"),
        ),
    ),
    Story(
        "Drum 3, a seal that leaks",
        24.2,
        (Feed(0.0, _USUAL | {PEELINGS: 0.2}, 13.2, 1.02, 0.7),),
        escaping=((0.0, 0.0), (13.0, 0.0), (13.2, 0.55), (60.0, 0.6)),
    ),
    Story(
        "Drum 4, a cold week",
        30.1,
        (Feed(0.0, _USUAL | {YEAST: 0.12}, 13.3, 0.97, 0.8),),
        slurry_c=((0.0, 30.0), (0.8, 37.0), (13.8, 37.0), (15.3, 21.5), (20.9, 20.5), (22.2, 37.0)),
        done=(Entry(20.9, "event", "note", note="The heating cable's plug was out. Back in."),),
    ),
    Story("Drum 5, climbing", 6.6, (Feed(0.0, _USUAL | {POMACE: 0.12}, 13.3, 1.0, 0.9),)),
    Story("Drum 6, just charged", 0.55, (Feed(0.0, _USUAL | {WHEY: 0.6}, 12.8, 1.0, 1.0),)),
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
