"""A lot is a feedstock with a past: live microbes die and easily degraded matter goes."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from marshlight.errors import require
from marshlight.estimate import Range
from marshlight.matter.feedstock import PROPERTIES, SPLIT, Feedstock, Property
from marshlight.matter.macromolecules import MACROMOLECULES, METHANE_POTENTIAL
from marshlight.matter.storage import COLD_LIMIT_C, STORAGE, TOO_DRY_TO_ROT, Storage

PROTEIN_PER_NITROGEN = 6.25
VENT_CAUTION = "A closed store of wet waste makes gas that burns: leave a vent, no flame near it."
# What rots first; fibre and lignin stay.
_FIRST_TO_GO = ("carbohydrate", "protein", "lipid")


@dataclass(frozen=True)
class Ageing:
    """What storage did to a lot; the shares are of what was there when it was fresh."""

    feedstock: Feedstock
    live_left: Range | None
    organic_left: Range
    methane_left: Range
    sentence: str


@dataclass(frozen=True)
class Lot:
    """A feedstock with its age [d], how it was kept, at what temperature [degC], and drying.

    ``water_lost`` is the share of the water first present that has dried off, 0 to 0.99.
    """

    feedstock: Feedstock
    age_d: float
    storage: str
    temperature_c: float
    water_lost: float = 0.0

    @property
    def ageing(self) -> Ageing:
        """Give what storage did to the lot."""
        return age(
            self.feedstock,
            age_d=self.age_d,
            temperature_c=self.temperature_c,
            storage=self.storage,
            water_lost=self.water_lost,
        )


def aged(
    feedstock: Feedstock,
    *,
    age_d: float,
    temperature_c: float,
    storage: str,
    water_lost: float = 0.0,
) -> Feedstock:
    """Give the feedstock as it is after storage; see ``age`` for the rest of the story."""
    return age(
        feedstock,
        age_d=age_d,
        temperature_c=temperature_c,
        storage=storage,
        water_lost=water_lost,
    ).feedstock


def age(
    feedstock: Feedstock,
    *,
    age_d: float,
    temperature_c: float,
    storage: str,
    water_lost: float = 0.0,
) -> Ageing:
    """Age a lot: live microbes, easily degraded organic matter and, if stated, water go.

    Parameters
    ----------
    feedstock : Feedstock
        As it was when fresh.
    age_d : float
        Days since it was fresh [d], 0 to 3650.
    temperature_c : float
        Mean temperature of the store [degC], -30 to 60; at and below 0 nothing changes.
    storage : str
        ``covered`` (wet, airless), ``cold`` (the same at 10 degC at the most), ``open`` (heap)
        or ``dry`` (spread out to dry).
    water_lost : float
        Share of the water first present that has dried off [-], 0 to 0.99; only an open or dry
        store loses water.

    Returns
    -------
    Ageing
        The aged feedstock (each changed property keeps what it replaces), the shares left, and
        a sentence.

    Raises
    ------
    InputError
        When the storage is unknown, a number is out of its range, a cold store is warm, or a
        closed store is said to have dried.

    Notes
    -----
    First order in time: live share exp(-b t), easily degraded share exp(-k t), with b and k of
    ``STORAGE``. What is lost leaves as gas: carbohydrate, protein and fat in their proportion,
    with the methane they would have given; protein leaves its nitrogen behind as ammonia, and
    ammonia goes in step with dried-off water. Ash, phosphorus, potassium and alkalinity stay;
    rain and seepage are neglected, and the rate of what is left is not changed. Nothing rots
    above 85 % TS. Rates of open and dry stores are common practice, starved decay is from
    memory, the airless rate is from pig slurry; as only the easily degraded part can go here,
    warm slurry kept for months can lose more (that study: half its potential in 90 d at 20
    degC). Drying may kill less than assumed: digester microbes dried in a laboratory made
    methane again soon after wetting.

    References
    ----------
    Sources ``hilgert_2022``, ``starved_decay_memory``, ``parkin_owen_1986_memory``,
    ``storage_practice``, ``dry_manure_practice``, ``drying_methanogens_2022``.

    Examples
    --------
    >>> from marshlight.matter.library import find
    >>> heap = age(find("cow manure"), age_d=30, temperature_c=15, storage="open")
    >>> round(heap.live_left.value, 3)
    0.011
    """
    _check(age_d, temperature_c, storage, water_lost)
    store = STORAGE[storage]
    dry = feedstock.get("TS")
    rots = dry is None or dry.value < TOO_DRY_TO_ROT
    whole = Range(1.0, 1.0, 1.0, 0.95)
    live = store.live.left(age_d, temperature_c)
    easy_left = store.organic.left(age_d, temperature_c) if rots else whole
    lost = _lost(feedstock, easy_left)
    properties = {
        name: _changed(feedstock, name, lost=lost, live=live, water_lost=water_lost, store=store)
        for name in feedstock.properties
    }
    after = replace(feedstock, properties=properties)
    if storage in ("covered", "cold") and age_d > 0.0 and lost.high > 0.0:
        after = replace(
            after,
            cautions=(*feedstock.cautions, VENT_CAUTION),
            hazards=tuple(dict.fromkeys((*feedstock.hazards, "pressure", "explosive_gas"))),
        )
    active = feedstock.get("methanogenic_activity")
    outcome = Ageing(
        feedstock=after,
        live_left=live if active is not None and active.value > 0.0 else None,
        organic_left=Range(1.0 - lost.high, 1.0 - lost.value, 1.0 - lost.low, 0.95),
        methane_left=_methane_left(feedstock, lost),
        sentence="",
    )
    said = _sentence(
        outcome,
        store,
        age_d=age_d,
        temperature_c=temperature_c,
        water_lost=water_lost,
        rots=rots,
    )
    notes = " ".join(filter(None, (feedstock.notes, said)))
    return replace(outcome, feedstock=replace(after, notes=notes), sentence=said)


def _check(age_d: float, temperature_c: float, storage: str, water_lost: float) -> None:
    require(
        storage in STORAGE,
        field="storage",
        value=storage,
        allowed="one of " + ", ".join(STORAGE),
        remedy="Choose how the lot was kept",
    )
    require(
        0.0 <= age_d <= 3650.0,
        field="age",
        value=age_d,
        allowed="0 to 3650 d",
        remedy="Give the days since it was fresh",
    )
    require(
        -30.0 <= temperature_c <= 60.0,
        field="storage temperature",
        value=temperature_c,
        allowed="-30 to 60 degC",
        remedy="Give the mean temperature of the store",
    )
    require(
        storage != "cold" or temperature_c <= COLD_LIMIT_C,
        field="storage temperature",
        value=temperature_c,
        allowed=f"{COLD_LIMIT_C:g} degC at the most in a cold store",
        remedy="Call it covered, or correct the temperature",
    )
    require(
        0.0 <= water_lost <= 0.99 and (water_lost == 0.0 or storage in ("open", "dry")),
        field="water lost",
        value=water_lost,
        allowed="a share of 0 to 0.99, and only of an open or dry store",
        remedy="Leave it out for a closed store",
    )


def _value(feedstock: Feedstock, name: str) -> float:
    held = feedstock.get(name)
    return 0.0 if held is None else held.value


def _going(feedstock: Feedstock) -> Mapping[str, float]:
    """Share the lost matter out over what rots first; carbohydrate alone if no split is known."""
    held = {name: _value(feedstock, name) for name in _FIRST_TO_GO}
    total = sum(held.values())
    if total <= 0.0:
        return {"carbohydrate": 1.0}
    return {name: share / total for name, share in held.items()}


def _lost(feedstock: Feedstock, easy_left: Range) -> Range:
    """Give the organic matter lost per organic matter there was [kg/kg VS]."""
    easy = _value(feedstock, "easily_degraded")
    parts = [_value(feedstock, name) for name in _FIRST_TO_GO]
    pool = min(easy, sum(parts)) if sum(parts) > 0.0 else easy
    return Range(
        low=pool * (1.0 - easy_left.high),
        value=pool * (1.0 - easy_left.value),
        high=pool * (1.0 - easy_left.low),
        level=0.95,
    )


def _methane_per_lost(feedstock: Feedstock) -> float:
    """Methane that goes with each kilogram lost [m3/kg], never more than the potential holds."""
    full = sum(METHANE_POTENTIAL[name] * share for name, share in _going(feedstock).items())
    easy = _value(feedstock, "easily_degraded")
    held = _value(feedstock, "methane_potential")
    return min(full, held / easy) if easy > 0.0 else full


def _methane_left(feedstock: Feedstock, lost: Range) -> Range:
    potential = _value(feedstock, "methane_potential")
    if potential <= 0.0:
        return Range(1.0, 1.0, 1.0, 0.95)
    per_lost = _methane_per_lost(feedstock) / potential
    return Range(
        low=max(0.0, 1.0 - lost.high * per_lost),
        value=max(0.0, 1.0 - lost.value * per_lost),
        high=1.0 - lost.low * per_lost,
        level=0.95,
    )


def _after(feedstock: Feedstock, name: str, lost: float, water_lost: float) -> float:
    """Give a property's value after losing organic matter [kg/kg VS] and a share of the water."""
    was = _value(feedstock, name)
    if name in SPLIT:
        return max(0.0, was - lost * _going(feedstock).get(name, 0.0)) / (1.0 - lost)
    if name == "easily_degraded":
        return max(0.0, was - lost) / (1.0 - lost)
    if name == "methane_potential":
        return max(0.0, was - lost * _methane_per_lost(feedstock)) / (1.0 - lost)
    if name == "methanogenic_activity":
        return was / (1.0 - lost)
    dry, organic = _value(feedstock, "TS"), _value(feedstock, "VS")
    solids_left = 1.0 - organic * lost
    mass_left = 1.0 - dry * organic * lost - water_lost * (1.0 - dry)
    ammonia = _value(feedstock, "TAN") + _ammonia_freed(feedstock, lost)
    nitrogen = _value(feedstock, "TKN")
    kept = max(0.0, nitrogen - ammonia * water_lost / dry) if dry > 0.0 else nitrogen
    changed = {
        "TS": dry * solids_left / mass_left,
        "VS": organic * (1.0 - lost) / solids_left,
        "TKN": kept / solids_left,
        "TAN": ammonia * (1.0 - water_lost) / mass_left,
        "P": was / solids_left,
        "K": was / solids_left,
        "alkalinity": was / mass_left,
    }
    if name == "C_to_N" and kept > 0.0:
        return max(0.0, was * nitrogen - organic * lost * _carbon_of_lost(feedstock)) / kept
    return changed.get(name, was)


def _ammonia_freed(feedstock: Feedstock, lost: float) -> float:
    """Nitrogen that lost protein leaves behind as ammonia [kg/kg fresh]."""
    gone = lost * _value(feedstock, "VS") * _value(feedstock, "TS")
    return gone * _going(feedstock).get("protein", 0.0) / PROTEIN_PER_NITROGEN


def _carbon_of_lost(feedstock: Feedstock) -> float:
    """Carbon in what is lost [kg/kg], by the formulas of the model compounds."""
    return sum(
        MACROMOLECULES[name].elements.mass_fraction("C") * share
        for name, share in _going(feedstock).items()
    )


def _changed(
    feedstock: Feedstock,
    name: str,
    *,
    lost: Range,
    live: Range,
    water_lost: float,
    store: Storage,
) -> Property:
    """Give the aged property: its value moved, its range moved and widened by the loss's range."""
    held = feedstock.properties[name]
    fresh = _after(feedstock, name, 0.0, 0.0)
    if fresh <= 0.0:
        return held
    factors = [
        _after(feedstock, name, part, water_lost) / fresh
        for part in (lost.low, lost.value, lost.high)
    ]
    low, best, high = min(factors), factors[1], max(factors)
    source = store.organic.source
    if name == "methanogenic_activity":
        low, best, high = low * live.low, best * live.value, high * live.high
        source = store.live.source
    if (low, best, high) == (1.0, 1.0, 1.0):
        return held
    limit = PROPERTIES[name].maximum
    value = min(held.value * best, limit)
    lowest = min(held.low * low, value)
    if name == "TAN" and water_lost > 0.0:
        # Nobody knows how much ammonia went with the water: from all of it to none.
        lowest, high = 0.0, high / (1.0 - water_lost)
    return Property(
        value,
        lowest,
        max(min(held.high * high, limit), value),
        source,
        f"aged {store.words}",
        held,
    )


def _sentence(
    outcome: Ageing,
    store: Storage,
    *,
    age_d: float,
    temperature_c: float,
    water_lost: float,
    rots: bool,
) -> str:
    """Say in one plain sentence what storage did."""
    live, methane = outcome.live_left, outcome.methane_left
    if live is None:
        microbes = "it carries no live methane microbes to speak of"
    else:
        microbes = (
            f"{_percent(live.value)} of its live methane microbes are left"
            f" ({_percent(live.low)} to {_percent(live.high)})"
        )
    if not rots:
        gas = "and it is too dry to rot"
    elif _value(outcome.feedstock, "methane_potential") <= 0.0:
        gas = "and there is nothing in it to rot"
    elif 1.0 - methane.value < 0.005:
        gas = "and hardly any of its methane is gone"
    else:
        gas = (
            f"and {_percent(1.0 - methane.value)} of its methane is gone"
            f" ({_percent(1.0 - methane.high)} to {_percent(1.0 - methane.low)})"
        )
    dried = f", with {_percent(water_lost)} of its water dried off" if water_lost > 0.0 else ""
    return (
        f"After {age_d:.3g} d {store.words} at {temperature_c:.3g} degC, {microbes} {gas}{dried}."
    )


def _percent(share: float) -> str:
    """Write a share as a whole percentage, and say so when it is too small for one."""
    if 0.0 < share < 0.005:
        return "less than 1 %"
    return f"{100.0 * share:.0f} %"
