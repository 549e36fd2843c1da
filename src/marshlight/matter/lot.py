"""A lot is a feedstock with a past: live microbes die and easily degraded matter goes."""

from dataclasses import dataclass, replace

from marshlight.errors import require
from marshlight.estimate import Range
from marshlight.matter.feedstock import PROPERTIES, Feedstock, Property
from marshlight.matter.rotting import Loss, after, loss, value_or_zero
from marshlight.matter.storage import COLD_LIMIT_C, STORAGE, TOO_DRY_TO_ROT, Storage

VENT_CAUTION = "A closed store of wet waste makes gas that burns: leave a vent, no flame near it."


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
    """Give the feedstock as it is after storage; see ``age`` for the rest of the story.

    Parameters
    ----------
    feedstock : Feedstock
        As it was when fresh.
    age_d : float
        Days since it was fresh [d], 0 to 3650.
    temperature_c : float
        Mean temperature of the store [degC], -30 to 60.
    storage : str
        One of ``STORAGE``: ``covered``, ``cold``, ``open`` or ``dry``.
    water_lost : float
        Share of the water first present that has dried off [-], 0 to 0.99.

    Returns
    -------
    Feedstock
        With each changed property leading back to what it replaces.

    Raises
    ------
    InputError
        As ``age`` does.
    """
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
    First order in time: live share exp(-b t), shares of the easily degraded matter and of the
    fibre exp(-k t), with b and k of ``STORAGE``. What is lost takes its methane along; protein
    leaves its nitrogen behind as ammonia, and ammonia goes in step with dried-off water. Ash,
    phosphorus, potassium and alkalinity stay; rain and seepage are neglected, and the rate of
    what is left is not changed. Nothing rots above 85 % TS. Rates of open and dry stores are
    common practice, starved decay is from memory, the airless rate is from pig slurry; as no
    fibre goes there, warm slurry kept for months can lose more (that study: half its potential
    in 90 d at 20 degC), and a turned heap in a hot place loses over half its weight in three
    months. Drying may kill less than assumed: digester microbes dried in a laboratory made
    methane again soon after wetting.

    References
    ----------
    Sources ``hilgert_2022``, ``starved_decay_memory``, ``parkin_owen_1986_memory``,
    ``storage_practice``, ``dry_manure_practice``, ``drying_methanogens_2022``,
    ``agamuthu_1994``.

    Examples
    --------
    >>> from marshlight.matter.library import find
    >>> heap = age(find("cow manure"), age_d=30, temperature_c=15, storage="open")
    >>> round(heap.live_left.value, 3)
    0.011
    """
    _check(age_d, temperature_c, storage, water_lost)
    store = STORAGE[storage]
    solids = feedstock.get("TS")
    rots = solids is None or solids.value < TOO_DRY_TO_ROT
    live = store.live.left(age_d, temperature_c)
    past = _Past(
        store=store,
        live=live,
        least=_gone(feedstock, store, age_d if rots else 0.0, temperature_c, end="high"),
        best=_gone(feedstock, store, age_d if rots else 0.0, temperature_c, end="value"),
        most=_gone(feedstock, store, age_d if rots else 0.0, temperature_c, end="low"),
        water_lost=water_lost,
    )
    old = replace(
        feedstock,
        properties={name: _changed(feedstock, name, past) for name in feedstock.properties},
    )
    if storage in ("covered", "cold") and past.most.total > 0.0:
        old = replace(
            old,
            cautions=(*feedstock.cautions, VENT_CAUTION),
            hazards=tuple(dict.fromkeys((*feedstock.hazards, "pressure", "explosive_gas"))),
        )
    carries = value_or_zero(feedstock, "methanogenic_activity") > 0.0
    outcome = Ageing(
        feedstock=old,
        live_left=live if carries else None,
        organic_left=_left(1.0, past.most.total, past.best.total, past.least.total),
        methane_left=_left(
            value_or_zero(feedstock, "methane_potential"),
            past.most.methane,
            past.best.methane,
            past.least.methane,
        ),
        sentence="",
    )
    said = _sentence(outcome, past, age_d, temperature_c, rots=rots)
    notes = " ".join(filter(None, (feedstock.notes, said)))
    return replace(outcome, feedstock=replace(old, notes=notes), sentence=said)


@dataclass(frozen=True)
class _Past:
    """What happened to a lot: losses at the slow end, at best and at the fast end."""

    store: Storage
    live: Range
    least: Loss
    best: Loss
    most: Loss
    water_lost: float


def _gone(
    feedstock: Feedstock, store: Storage, age_d: float, temperature_c: float, *, end: str
) -> Loss:
    easy = store.easy.left(age_d, temperature_c)
    fibre = store.fibre.left(age_d, temperature_c)
    return loss(feedstock, easy_left=getattr(easy, end), fibre_left=getattr(fibre, end))


def _left(whole: float, most: float, best: float, least: float) -> Range:
    """Turn losses into shares left of a whole, all of it where there was none."""
    if whole <= 0.0:
        return Range(1.0, 1.0, 1.0, 0.95)
    low, value, high = (min(1.0, max(0.0, 1.0 - gone / whole)) for gone in (most, best, least))
    return Range(low, value, high, 0.95)


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


def _changed(feedstock: Feedstock, name: str, past: _Past) -> Property:
    """Give the aged property: its value moved, its range moved and widened by the loss's range."""
    held = feedstock.properties[name]
    fresh = held.value
    if fresh <= 0.0:
        return held
    factors = [
        after(feedstock, name, gone, past.water_lost) / fresh
        for gone in (past.least, past.best, past.most)
    ]
    low, best, high = min(factors), factors[1], max(factors)
    source = past.store.easy.source
    if name == "methanogenic_activity":
        low, best, high = low * past.live.low, best * past.live.value, high * past.live.high
        source = past.store.live.source
    if max(abs(f - 1.0) for f in (low, best, high)) < 1e-12:
        return held
    limit = PROPERTIES[name].maximum
    value = min(held.value * best, limit)
    lowest = min(held.low * low, value)
    if name == "TAN" and past.water_lost > 0.0:
        # Nobody knows how much ammonia went with the water: from all of it to none.
        lowest, high = 0.0, high / (1.0 - past.water_lost)
    highest = max(min(held.high * high, limit), value)
    return Property(value, lowest, highest, source, f"aged {past.store.words}", held)


def _sentence(
    outcome: Ageing, past: _Past, age_d: float, temperature_c: float, *, rots: bool
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
    elif value_or_zero(outcome.feedstock, "methane_potential") <= 0.0:
        gas = "and there is nothing in it to rot"
    elif 1.0 - methane.value < 0.005:
        gas = "and hardly any of its methane is gone"
    else:
        gas = (
            f"and {_percent(1.0 - methane.value)} of its methane is gone"
            f" ({_percent(1.0 - methane.high)} to {_percent(1.0 - methane.low)})"
        )
    water = past.water_lost
    dried = f", with {_percent(water)} of its water dried off" if water > 0.0 else ""
    place = f"{past.store.words} at {temperature_c:.3g} °C"
    return f"After {age_d:.3g} d {place}, {microbes} {gas}{dried}."


def _percent(share: float) -> str:
    """Write a share as a whole percentage, and say so when it is too small for one."""
    if 0.0 < share < 0.005:
        return "less than 1 %"
    return f"{100.0 * share:.0f} %"
