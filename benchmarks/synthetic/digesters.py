"""What an invented keeper has, does and writes down: vessel, recipe, feeding, when he looks.

Everything in this package is invented: vessels, recipes, readings and faults. Truth is known only
because of that, which is what it is for; nothing of it says that the model is right.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.matter import find
from marshlight.process.model import (
    INOCULA,
    Digester,
    DrawOff,
    Event,
    Feed,
    Holder,
    Liquid,
    inoculum,
    liquid_from_feedstock,
    water,
)

Floats = NDArray[np.float64]
INOCULUM_KINDS = ("digested cattle manure", "digested sewage sludge", "digested food waste")
# A meter lets gas pass as it is made.
METER = Holder("bag")
FOODS = (
    "goat manure with straw bedding",
    "stale bread",
    "apple pomace",
    "kitchen peelings",
    "sweet whey, whole",
    "spent yeast",
    "cattle slurry",
    "grass, fresh cut",
    "food waste from a canteen or household",
)


@dataclass(frozen=True)
class Looks:
    """Days on which the keeper reads what [d]; ``emptied`` tells whether gas visits vent."""

    gas: Floats
    ph: Floats
    methane: Floats
    titration: Floats
    flame: Floats
    temperature: Floats
    emptied: bool


@dataclass(frozen=True)
class Setup:
    """A digester as its keeper knows it; ``lively`` is the doubt on its microbes (low, high).

    ``swing_k`` is how far its warmth really swings from day to day, standard: little in a bath.
    """

    kind: str
    dense: bool
    digester: Digester
    charge: Liquid
    events: tuple[Event, ...]
    lively: tuple[float, float]
    length_d: float
    room_c: float
    looks: Looks
    swing_k: float = 1.0

    @property
    def is_fed(self) -> bool:
        """Tell whether it gets food after the charge."""
        return any(isinstance(event, Feed) for event in self.events)


def draw_setup(kind: str, rng: np.random.Generator, *, dense: bool) -> Setup:
    """Draw one digester of a kind of ``KINDS`` and how it is looked after."""
    return KINDS[kind](rng, dense)


def _batch_bottle(rng: np.random.Generator, dense: bool) -> Setup:
    """A bottle of 1 L in a bath, gas collected in a bag, volume read at each visit."""
    digester = Digester(0.001, Holder("bag", capacity_m3=0.02, gauge_kpa=0.5), temperature_c=37.0)
    charge, lively = _batch_charge(rng, 0.00055)
    length = float(rng.uniform(30.0, 60.0))
    looks = _looks(rng, length, dense=dense, emptied=True, flame=False)
    return Setup("batch bottle", dense, digester, charge, (), lively, length, 20.0, looks, 0.3)


def _batch_drum(rng: np.random.Generator, dense: bool) -> Setup:
    """A drum of 25 L with a floating cylinder or a meter, warmed or left at the room's warmth."""
    metered = bool(rng.random() < 0.4)
    celsius = float(rng.choice([25.0, 32.0, 37.0]))
    floating = Holder("floating", float(rng.choice([0.012, 0.03])), gauge_kpa=0.2)
    digester = Digester(0.025, METER if metered else floating, temperature_c=celsius)
    charge, lively = _batch_charge(rng, 0.017)
    length = float(rng.uniform(35.0, 80.0))
    looks = _looks(rng, length, dense=dense, emptied=not metered, flame=True)
    return Setup("batch drum", dense, digester, charge, (), lively, length, 18.0, looks)


def _fed_drum(rng: np.random.Generator, dense: bool) -> Setup:
    """A drum of 25 L with a meter, started with inoculum and fed every two to four days."""
    digester = Digester(0.025, METER, temperature_c=37.0)
    charge, lively = _fed_charge(rng, 0.017)
    length = float(rng.uniform(40.0, 70.0))
    events = _feeding(rng, 0.017, length, every=float(rng.integers(2, 5)))
    looks = _looks(rng, length, dense=dense, emptied=False, flame=True)
    return Setup("fed drum", dense, digester, charge, events, lively, length, 18.0, looks)


def _fed_barrel(rng: np.random.Generator, dense: bool) -> Setup:
    """A barrel of 220 L in straw, fed twice a week, gas to a bag of 300 L that is emptied."""
    celsius = float(rng.uniform(24.0, 33.0))
    digester = Digester(0.22, Holder("bag", 0.3, gauge_kpa=0.3), temperature_c=celsius)
    charge, lively = _fed_charge(rng, 0.16)
    length = float(rng.uniform(45.0, 80.0))
    events = _feeding(rng, 0.16, length, every=3.5, most=1.6)
    looks = _looks(rng, length, dense=dense, emptied=True, flame=True, apart=2.5)
    return Setup("fed barrel", dense, digester, charge, events, lively, length, 15.0, looks)


KINDS: Mapping[str, Callable[[np.random.Generator, bool], Setup]] = {
    "batch bottle": _batch_bottle,
    "batch drum": _batch_drum,
    "fed drum": _fed_drum,
    "fed barrel": _fed_barrel,
}


def _live(rng: np.random.Generator, volume_m3: float) -> tuple[Liquid, float, tuple[float, float]]:
    """Give inoculum, its volatile solids [kg] and how lively it may be."""
    kind = str(rng.choice(INOCULUM_KINDS))
    usual = INOCULA[kind]
    bounds = (usual.low / usual.activity, usual.high / usual.activity)
    return inoculum(kind, volume_m3), usual.vs * volume_m3, bounds


def _batch_charge(rng: np.random.Generator, volume_m3: float) -> tuple[Liquid, tuple[float, float]]:
    """Two thirds or so inoculum, and one to three parts of its solids as food."""
    live, organic_kg, lively = _live(rng, float(rng.uniform(0.5, 0.8)) * volume_m3)
    ratio = float(np.exp(rng.uniform(np.log(0.8), np.log(3.5))))
    charge = live + food(str(rng.choice(FOODS)), organic_kg / ratio)
    return charge + water(max(volume_m3 - charge.volume_m3, 0.05 * volume_m3)), lively


def _fed_charge(rng: np.random.Generator, volume_m3: float) -> tuple[Liquid, tuple[float, float]]:
    live, _, lively = _live(rng, float(rng.uniform(0.5, 1.0)) * volume_m3)
    return live + water(max(volume_m3 - live.volume_m3, 0.0)), lively


def food(name: str, organic_kg: float) -> Liquid:
    """Give so much volatile solids of a feedstock as it comes, water included."""
    stock = find(name)
    return liquid_from_feedstock(stock, organic_kg / (stock.value("TS") * stock.value("VS")))


def _feeding(
    rng: np.random.Generator, volume_m3: float, length_d: float, *, every: float, most: float = 2.5
) -> tuple[Event, ...]:
    """Feed one food, more from a day on, drawing off before what comes in; at most half water."""
    load = float(np.exp(rng.uniform(np.log(0.4), np.log(most))))  # kg VS/(m3 d)
    name, found = str(rng.choice(FOODS)), list[Event]()
    step_day, step = float(rng.uniform(0.3, 0.9)) * length_d, float(rng.uniform(0.7, 1.6))
    for day in np.arange(3.0, length_d, every):
        share = step if day >= step_day else 1.0
        meal = food(name, load * share * every * volume_m3 * float(rng.uniform(0.85, 1.15)))
        meal = meal + water(max(0.02 * volume_m3 * every / 3.0 - meal.volume_m3, 0.0))
        found += [DrawOff(float(day), meal.volume_m3), Feed(float(day), meal)]
    return tuple(found)


def _looks(
    rng: np.random.Generator,
    length_d: float,
    *,
    dense: bool,
    emptied: bool,
    flame: bool,
    apart: float = 4.0,
) -> Looks:
    """Draw visits: every day with all instruments, or every few days with strips and a flame."""

    def about(every: float) -> Floats:
        days = np.arange(every, length_d, every)
        days = days + rng.uniform(-0.2, 0.2, days.size) * min(every, 1.5)
        return np.round(days[(days > 0.1) & (days < length_d - 0.1)], 3)

    none = np.zeros(0)
    return Looks(
        gas=about(1.0 if dense else apart),
        ph=about(2.0 if dense else 7.0),
        methane=about(4.0) if dense else none,
        titration=about(12.0) if dense else none,
        flame=about(6.0) if flame and not dense else none,
        # One keeper in four without instruments trusts the thermostat.
        temperature=about(1.0 if dense else 7.0) if dense or rng.random() < 0.75 else none,
        emptied=emptied,
    )
