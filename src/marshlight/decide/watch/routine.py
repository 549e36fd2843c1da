"""Advice that needs no trouble: holder, first gas, feed, end of a batch, next readings."""

import numpy as np

from marshlight.decide.watch.buffer import CO2_M3_PER_KG
from marshlight.decide.watch.facts import HOTTEST_C, Advice, RunFacts
from marshlight.decide.watch.figures import figure
from marshlight.decide.watch.gas import Stretch
from marshlight.decide.watch.stage import is_spent
from marshlight.decide.watch.troubles import FEED_SHARE_PER_DAY, fed_per_day

_DOSE_D = 2.0
_EARLY_D = 14.0
_STALE_D = {"gas": 2.0, "pH": 5.0, "slurry temperature": 3.0}
_READ_KEY = {"gas": "read_gas", "pH": "read_ph", "slurry temperature": "read_warmth"}


def holder_full(facts: RunFacts) -> Advice | None:
    """Empty the holder when it would be full before the next look."""
    capacity, content, seen = facts.holder_capacity_m3, facts.holder_content_m3, facts.forecast
    if not capacity or content is None or seen is None:
        return None
    ahead = np.linspace(facts.day, facts.day + facts.night_d, 73)
    rate = np.interp(ahead, seen.day, seen.daily.high50)
    filled = content + np.concatenate([[0.0], np.cumsum(rate[:-1] * np.diff(ahead))])
    # The forecast's upper half band: full too early is a nuisance, too late gas is lost.
    full = np.flatnonzero(filled >= 0.95 * capacity)
    if not full.size:
        return None
    hours = 24 * (float(ahead[full[0]]) - facts.day)
    when = "now" if hours < 1 else f"within {hours:.0f} h"
    return Advice(
        key="empty_holder",
        what="Empty the holder",
        why=(
            f"It is {100 * content / capacity:.0f} % full and would be full before the next look; "
            "gas that finds it full is lost."
        ),
        how_sure="likely",
        how_much=f"{figure(1000 * content)} L, burnt outside or let off upwind",
        by_when=when,
        caution=("explosive_gas", "hydrogen_sulfide"),
        source="daily_wander",
        urgent=hours < 12,
    )


def first_gas(facts: RunFacts) -> Advice | None:
    """Let off the first gas, which will not hold a flame."""
    if facts.sealed or facts.in_trial:
        return None  # its gas is let off to be measured, and holds a flame or not
    if facts.fed or facts.day > _EARLY_D or any(o == "holds" for _, o in facts.flame):
        return None
    if facts.gas is None or facts.gas.day.size < 2 or facts.gas.total_m3[-1] <= 0:
        return None
    tested = facts.flame_now
    why = {
        "none": "It did not light: still mostly carbon dioxide.",
        "dies": "It lights and dies: methane is on its way up.",
    }.get(tested or "", "The first gas is mostly carbon dioxide and holds no flame.")
    return Advice(
        key="let_first_gas_out",
        what="Let the first gas out into the open air, away from people and windows",
        why=why,
        how_sure="almost certain" if tested else "likely",
        how_much="until a sample, tested well away from the vessel, holds a flame",
        by_when="each time the holder fills",
        caution=("first_gas", "explosive_gas"),
        source="first_flame_practice",
    )


def too_much_feed(facts: RunFacts) -> Advice | None:
    """Feed no more than a fortieth of the liquid a day."""
    if not facts.liquid_m3 or not facts.feeds_m3:
        return None
    rate, limit = fed_per_day(facts), FEED_SHARE_PER_DAY * facts.liquid_m3
    if rate <= 1.05 * limit:
        return None
    return Advice(
        key="feed_less",
        what="Feed less",
        why=(
            f"It had {figure(1000 * rate)} L a day lately; a small digester takes about a fortieth "
            "of its liquid a day. More washes out or sours what makes the gas."
        ),
        how_sure="likely",
        how_much=f"at most {figure(1000 * limit)} L a day",
        by_when="from the next feed on",
        caution=("souring",),
        source="feed_limit_practice",
    )


def renew(facts: RunFacts) -> Advice | None:
    """Draw off a part of a spent batch and replace it."""
    if facts.sealed or facts.in_trial or not is_spent(facts):
        return None
    part = "a third to a half of the contents"
    if facts.liquid_m3:
        litres = 1000 * facts.liquid_m3
        part = f"{figure(litres / 3)} to {figure(litres / 2)} L"
    return Advice(
        key="renew",
        what="Draw off a part and replace it with fresh charge; the rest starts it at once",
        why="Each of the last three days gave under 1 % of all gas so far.",
        how_sure="almost certain",
        how_much=part,
        by_when="when it suits: nothing is lost by waiting",
        caution=("hydrogen_sulfide", "pathogens", "explosive_gas"),
        source="renewal_practice",
    )


def after_a_dose(facts: RunFacts, stretches: tuple[Stretch, ...]) -> Advice | None:
    """Say that a jump after a dose is the dose's own carbon dioxide."""
    fresh = [d for d in facts.doses_kg if 0 <= facts.day - d.day <= _DOSE_D]
    if not fresh or not stretches or stretches[-1].rate <= stretches[-1].expected:
        return None
    own = CO2_M3_PER_KG * sum(d.amount for d in fresh)
    return Advice(
        key="doubt_the_jump",
        what="Don't take the jump in gas for recovery: read pH and test the flame",
        why=f"The dose itself can give off up to {figure(1000 * own)} L of carbon dioxide.",
        how_sure="likely",
        how_much="pH once, flame once, outside",
        by_when="tomorrow",
        caution=("explosive_gas",),
        source="first_dose_practice",
    )


def hot_reading(facts: RunFacts) -> Advice | None:
    """Never trust a slurry temperature above 60 degC; never leave the heater on it."""
    now = facts.slurry_c.latest
    if now is None or now <= HOTTEST_C:
        return None
    return Advice(
        key="heater_off",
        what="Switch the heater off at the mains and read the temperature again with another meter",
        why=f"{now:.0f} degC: a slip of the thermometer, or a heater that no longer stops.",
        how_sure="almost certain",
        how_much="off until a second reading is below 45 degC",
        by_when="now",
        caution=("mains_heater", "hot_liquid"),
        source="warm_limit_practice",
        urgent=True,
    )


def next_reading(facts: RunFacts) -> Advice | None:
    """Name the reading that would tell most."""
    gas_age = float("inf") if facts.gas is None or facts.gas.day.size < 2 else (
        facts.day - float(facts.gas.day[-1])
    )  # fmt: skip
    ages = {
        "gas": gas_age,
        "slurry temperature": facts.slurry_c.age(facts.day),
        "pH": facts.ph.age(facts.day),
    }
    late = [(name, age) for name, age in ages.items() if age > _STALE_D[name]]
    if not late:
        return None
    name, age = late[0]
    last = "has not been read yet" if np.isinf(age) else f"was last read {age:.0f} days ago"
    others = [n for n, _ in late[1:]]
    return Advice(
        key=_READ_KEY[name],
        what=f"Read {name} next" + (f", then {' and '.join(others)}" if others else ""),
        why=f"{name if name == 'pH' else name[:1].upper() + name[1:]} {last}; "
        "it would tell most now.",
        how_sure="likely",
        how_much="one reading",
        by_when="today",
        caution=(),
        source="watch_weights",
    )
