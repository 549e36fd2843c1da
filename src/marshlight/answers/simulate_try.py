"""What is tried on a run: the form, and what was typed as events from today on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.asked import Asked, Question
from marshlight.answers.simulate_past import Past, liquid_of, thinned
from marshlight.decide.watch.steps import feeding, refilling
from marshlight.errors import InputError, MarshlightError
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.mixing import Part
from marshlight.notebook.bridge import Charge, lot_as_kept
from marshlight.notebook.models import Lot, Run
from marshlight.notebook.moments import site_zone
from marshlight.process.model import Dose, DrawOff, Event, Liquid, SetTemperature
from marshlight.units import show

AHEAD_D = 30
AS_BEFORE = "as before"
_MOST_DRAWN = 0.9
FIELDS = {
    "feed": "feed",
    "amount": "amount of feed",
    "every": "every",
    "skip": "skip feeding for",
    "dose": "sodium bicarbonate",
    "warm": "warmer by",
    "draw": "draw off",
    "refill": "refill with",
}


def _said(value: float, quantity: str) -> str:
    """Repeat an amount as it was given: no noughts that nobody typed."""
    number, _, unit = show(value, quantity).partition(" ")
    return f"{float(number):g} {unit}"


@dataclass(frozen=True)
class Habit:
    """How a run was fed of late: the same charge again, so many days apart, last on ``day``."""

    charge: Charge
    every_d: float
    day: float

    @property
    def words(self) -> str:
        """Say it, as the engine speaks: in metric units."""
        names = " and ".join(part.feedstock.name for part in self.charge.parts)
        return f"{_said(self.charge.mass_kg, 'mass')} ({names}) every {_said(self.every_d, 'time')}"


@dataclass(frozen=True)
class Larder:
    """What can be fed to a run: lots and materials by name, its habit, and its charge.

    ``charged`` is the first charge without the part that brought its microbes, ``water_kg`` the
    water it was charged with.
    """

    lots: Mapping[str, Feedstock]
    habit: Habit | None
    charged: tuple[Part, ...]
    water_kg: float


def larder_of(run: Run, analysis: Analysis, now: datetime) -> Larder:
    """Find what can be fed: lots of the site as they are today, then what went in before."""
    on = now.astimezone(site_zone(run.site.time_zone)).date()
    found: dict[str, Feedstock] = {}
    for lot in Lot.objects.in_use().filter(site=run.site).select_related("feedstock", "site"):
        try:
            found[lot.name] = lot_as_kept(lot, on).ageing.feedstock
        except MarshlightError:
            continue
    # What went in goes by its material's name: no second entry beside a lot of the same.
    known = {feedstock.name for feedstock in found.values()}
    for charge in analysis.records.charges:
        for part in charge.parts:
            if part.feedstock.name not in known:
                found.setdefault(part.feedstock.name, part.feedstock)
    first = analysis.records.first_charge
    parts = () if first is None else _without_inoculum(first.parts)
    water = 0.0 if first is None else first.water_kg
    return Larder(found, _habit(analysis.records.feeds), parts, water)


def _habit(feeds: tuple[Charge, ...] | list[Charge]) -> Habit | None:
    known = sorted((feed for feed in feeds if feed.parts), key=lambda feed: feed.day)
    if len(known) < 2:
        return None
    # The last few tell the habit; a beginner's first weeks do not.
    gaps = np.diff([feed.day for feed in known[-6:]])
    every = float(np.clip(np.median(gaps), 0.5, AHEAD_D))
    return Habit(known[-1], every, known[-1].day)


def _without_inoculum(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Leave out the part that brings most of the microbes, unless it is all there is."""

    def brought(part: Part) -> float:
        held = part.feedstock.get("methanogenic_activity")
        return 0.0 if held is None else held.value * part.mass_kg * part.feedstock.value("TS")

    most = max(parts, key=brought, default=None)
    if most is None or brought(most) <= 0.0:
        return parts
    rest = tuple(part for part in parts if part is not most)
    return rest or parts


def questions(larder: Larder) -> tuple[Question, ...]:
    """Ask what is tried."""
    lots = tuple((name, name) for name in larder.lots)
    before = ()
    if larder.habit is not None:
        before = ((AS_BEFORE, f"as before: {larder.habit.words}"),)
    charged = (("as charged", "as it was charged, without inoculum"),) if larder.charged else ()
    return (
        Question("feed", FIELDS["feed"], choices=(("", "nothing"), *before, *lots)),
        Question("amount", FIELDS["amount"], "mass", "kg", low=0.0, high=1e5,
                 hint="Fresh, each time."),
        Question("every", FIELDS["every"], "time", "d", low=0.5, high=AHEAD_D,
                 hint="Empty: once, now."),
        Question("skip", FIELDS["skip"], "time", "d", low=0.0, high=AHEAD_D,
                 hint="Then feed as chosen above, or as before."),
        Question("dose", FIELDS["dose"], "mass", "g", low=0.0, high=1e4, hint="Once, now."),
        Question("warm", FIELDS["warm"], "temperature_difference", "K", low=-40.0, high=40.0,
                 hint="From now on; a minus sign cools."),
        Question("draw", FIELDS["draw"], "volume", "L", low=0.0, high=1e6,
                 hint="Slurry, once, now."),
        Question("refill", FIELDS["refill"],
                 choices=(("", "nothing"), ("water", "water"), *charged, *lots),
                 hint="To the same level, with its water, or thinned to a tenth of solids."),
    )  # fmt: skip


def tried(asked: Asked, past: Past, larder: Larder) -> tuple[tuple[Event, ...], str]:
    """Turn the form into events from today on, and say them in words.

    Raises
    ------
    InputError
        Under the words of the field that cannot be used.
    """
    values: Mapping[str, Any] = asked.values
    warmed, said_warm = _warmed(values, past)
    # Drawn off first: a dose would leave with the slurry.
    drawn, said_drawn, level_m3 = _drawn(values, past, larder)
    dosed, said_dose = _dosed(values, past)
    fed, said_fed = _fed(values, past, larder, level_m3)
    said = [words for words in (said_warm, said_drawn, said_dose, said_fed) if words]
    return (*warmed, *drawn, *dosed, *fed), " and ".join(said)


def _warmed(values: Mapping[str, Any], past: Past) -> tuple[tuple[Event, ...], str]:
    if not values["warm"]:
        return (), ""
    to = past.celsius + float(values["warm"])
    if not 1.0 <= to <= 60.0:
        raise InputError(FIELDS["warm"], f"to {to:.0f} °C", "1 to 60 °C in the end", "Change it")
    way = "warmer" if values["warm"] > 0 else "colder"
    return (SetTemperature(past.today, to),), f"{abs(values['warm']):.3g} K {way}"


def _dosed(values: Mapping[str, Any], past: Past) -> tuple[tuple[Event, ...], str]:
    if not values["dose"]:
        return (), ""
    words = f"{_said(values['dose'], 'mass')} of sodium bicarbonate"
    return (Dose(past.today, "sodium bicarbonate", float(values["dose"])),), words


def _drawn(
    values: Mapping[str, Any], past: Past, larder: Larder
) -> tuple[tuple[Event, ...], str, float]:
    with_what = values["refill"]
    if not values["draw"]:
        if with_what:
            raise InputError(FIELDS["draw"], "", "above 0", "Say how much is drawn off first")
        return (), "", past.liquid_m3
    share = float(values["draw"]) / past.liquid_m3
    if share > _MOST_DRAWN:
        raise InputError(
            FIELDS["draw"],
            show(values["draw"], "volume"),
            "at most nine tenths of what is in the vessel",
            "Leave a tenth at least: it holds the microbes",
        )
    words = f"{_said(values['draw'], 'volume')} drawn off"
    if not with_what:
        event = DrawOff(past.today, float(values["draw"]))
        return (event,), words, past.liquid_m3 - event.volume_m3
    fresh, name = fresh_of(with_what, larder)
    events = refilling(past.today, share, fresh, level_m3=past.liquid_m3)
    return events, f"{words} and refilled with {name}", past.liquid_m3


def fresh_of(choice: str, larder: Larder) -> tuple[Liquid, str]:
    """Give what is filled in after a draw-off, thinned to be poured, and its name."""
    if choice == "water":
        return liquid_of((), 1.0), "water"
    if choice == "as charged":
        return thinned(larder.charged, larder.water_kg), "a fresh charge"
    return thinned((Part(larder.lots[choice], 1.0),)), choice


def _fed(
    values: Mapping[str, Any], past: Past, larder: Larder, level_m3: float
) -> tuple[tuple[Event, ...], str]:
    skip = float(values["skip"] or 0.0)
    choice = values["feed"]
    if skip and not choice:
        if larder.habit is None:
            raise InputError(
                FIELDS["skip"], show(skip, "time"), "a run that is fed", "Choose what is fed"
            )
        choice = AS_BEFORE
    if choice == AS_BEFORE:
        return _as_before(values, past, larder, level_m3=level_m3, skip=skip)
    if choice and not values["amount"]:
        raise InputError(FIELDS["amount"], "", "above 0", "Say how much of it, such as 0.5 kg")
    if values["amount"] and not choice:
        raise InputError(FIELDS["feed"], "", "one of the list", "Say what is fed")
    if not choice:
        return (), ""
    amount = float(values["amount"])
    every = None if not values["every"] else float(values["every"])
    days = [skip] if every is None else np.arange(skip, AHEAD_D, every)
    liquid = liquid_of((Part(larder.lots[choice], amount),))
    often = f" every {_said(every, 'time')}" if every else ""
    words = f"{_said(amount, 'mass')} of {choice}{often}{_after(skip)}"
    return _events(liquid, past, days, amount=amount, level_m3=level_m3), words


def _as_before(
    values: Mapping[str, Any], past: Past, larder: Larder, *, level_m3: float, skip: float
) -> tuple[tuple[Event, ...], str]:
    habit = larder.habit
    if habit is None:
        raise InputError(FIELDS["feed"], AS_BEFORE, "one of the list", "Say what is fed")
    if values["amount"]:
        raise InputError(
            FIELDS["amount"], show(values["amount"], "mass"), "nothing beside a feed as before",
            "Leave it empty, or choose what is fed",
        )  # fmt: skip
    every = float(values["every"] or habit.every_d)
    first = max(habit.day + every - past.today, skip, 0.0)
    liquid = liquid_of(habit.charge.parts, habit.charge.water_kg)
    words = f"the usual feed, {_said(habit.charge.mass_kg, 'mass')} every {_said(every, 'time')}"
    events = _events(
        liquid, past, np.arange(first, AHEAD_D, every), amount=habit.charge.mass_kg,
        level_m3=level_m3,
    )  # fmt: skip
    return events, words + _after(skip)


def _after(skip: float) -> str:
    return f", after {_said(skip, 'time')} without" if skip else ""


def _events(
    liquid: Liquid, past: Past, days: Any, *, amount: float, level_m3: float
) -> tuple[Event, ...]:
    if liquid.volume_m3 > 0.5 * level_m3:
        raise InputError(
            FIELDS["amount"],
            show(amount, "mass"),
            "at most half of what is in the vessel at a time",
            "Feed less, more often",
        )
    when = [past.today + float(d) for d in days]
    return feeding(liquid, when, level_m3=level_m3, vessel_m3=past.digester.vessel_m3)
