"""Limits as ratios of sums: numerator and denominator, each linear in what goes in.

Writing a ratio limit ``n/d <= H`` as ``n - H d <= 0`` is exact, so the mix is found by a linear
programme and every limit can be read back from the same two sums.
"""

from dataclasses import dataclass
from math import exp, inf

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.plan.request import ChargeRequest, LotAtHand
from marshlight.matter.content import CACO3_PER_N, EASY_COD, Content, content
from marshlight.matter.elements import formula
from marshlight.matter.macromolecules import OXYGEN_DEMAND
from marshlight.matter.stoichiometry import chemical_oxygen_demand
from marshlight.matter.water import water_density_kg_m3

Floats = NDArray[np.float64]

ACETIC_COD = chemical_oxygen_demand(formula("C2H4O2"))
# Source inoculum_activity [kg COD/(kg VS d)]: this lively counts as a full inoculum; from the
# second figure up a lot is taken to keep its own food in balance.
FULL_INOCULUM = 0.05
SELF_SEEDED = 0.001
ACID_RATE = 0.5  # 1/d at 35 degC, source acid_rate
GROWTH = (0.237, 0.37, 0.40)  # 1/d at 35 degC: parkin_owen_1986, siegrist_2002, adm1_2002
ACID_DAYS = (1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 9.0, 12.0, 16.0, 21.0, 28.0)


@dataclass(frozen=True)
class Measure:
    """A quantity under a limit: the worst of some ratios of linear sums.

    Each row of ``over`` and ``under`` holds a number per lot, one for water and a constant.
    """

    over: Floats
    under: Floats

    def ratios(self, amounts: Floats) -> Floats:
        """Give every ratio for amounts [kg] of lots and water; 0/0 is 0, n/0 infinite."""
        full = np.append(amounts, 1.0)
        over, under = self.over @ full, self.under @ full
        safe = np.where(under > 0.0, under, 1.0)
        empty = np.select([over > 1e-12, over < -1e-12], [inf, -inf], 0.0)
        return np.where(under > 0.0, over / safe, empty)

    def worst(self, amounts: Floats) -> float:
        """Give the highest ratio."""
        return float(self.ratios(amounts).max())


@dataclass(frozen=True)
class LotNumbers:
    """Per-kilogram numbers of every lot, water last where that makes sense."""

    contents: tuple[Content[float], ...]
    not_counted: dict[str, tuple[str, ...]]


def lot_numbers(request: ChargeRequest) -> LotNumbers:
    """Work out what a kilogram of each lot brings, and which lots leave something unsaid."""
    contents = tuple(_content(lot, request.slurry_c) for lot in request.lots)
    unsaid = {
        "expected gas": [c.methane is None for c in contents],
        "carbon to nitrogen (C:N)": [c.carbon is None or c.nitrogen is None for c in contents],
        "fat": [c.parts is None for c in contents],
        "ammonia nitrogen (TAN)": [c.ammonia_in_the_end is None for c in contents],
    }
    lacking = {
        name: tuple(lot.feedstock.name for lot, gap in zip(request.lots, gaps, strict=True) if gap)
        for name, gaps in unsaid.items()
    }
    return LotNumbers(contents, {name: lots for name, lots in lacking.items() if lots})


def _content(lot: LotAtHand, temperature_c: float) -> Content[float]:
    stock = lot.feedstock
    stock.value("TS")
    stock.value("VS")

    def prop(name: str) -> float | None:
        held = stock.properties.get(name)
        return None if held is None else held.value

    return content(prop, 0.0, temperature_c)


def measures(
    request: ChargeRequest, numbers: LotNumbers, temperature_factor: float
) -> dict[str, Measure]:
    """Set up every limited quantity as a ratio of linear sums.

    Parameters
    ----------
    request : ChargeRequest
        The vessel and the lots.
    numbers : LotNumbers
        What a kilogram of each lot brings.
    temperature_factor : float
        Rates at the slurry's temperature over those at 35 degC [1/1].

    Returns
    -------
    dict[str, Measure]
        By limit key; amounts at hand as ``amount:<lot>`` and ``amount:water`` [kg].

    Notes
    -----
    Acid standing on day t is what easily degraded matter has turned to by then, less what the
    microbes brought along can have eaten as they grow, over the buffer of that day:
    E (1 - exp(-k t)) - A (exp(g t) - 1)/g. It is linear in the amounts on each day, so the worst
    day is one limit a day. What a self-seeded manure eats of its own is not set against it twice.

    References
    ----------
    Sources ``acid_rate``, ``growth_siegrist_2002``, ``acid_ratio``, ``inoculum_activity``.
    """
    held = numbers.contents
    water = 1.0 / water_density_kg_m3(request.slurry_c)
    vessel = _constant(len(held), request.vessel_m3)
    volume = _row([c.volume for c in held], water=water)
    food = [not lot.is_inoculum for lot in request.lots]
    biogas = [_biogas_rate(c) * temperature_factor for c in held]
    found = {
        "fill": Measure(volume, vessel),
        "gas_space": Measure(vessel - volume, vessel),
        "solids": Measure(_row([c.ts for c in held]), _row([1.0] * len(held), water=1.0)),
        "carbon_nitrogen": Measure(
            _row([_if(f and c.nitrogen is not None, c.carbon) for c, f in _pairs(held, food)]),
            _row([_if(f and c.carbon is not None, c.nitrogen) for c, f in _pairs(held, food)]),
        ),
        "inoculum": Measure(
            _row([live_organic_matter(c) for c in held]), _row([foreign_easy(c) for c in held])
        ),
        "acid": _acid(held, temperature_factor),
        "lipid": Measure(
            _row([c.parts["lipid"] * OXYGEN_DEMAND["lipid"] if c.parts else 0.0 for c in held]),
            _row([c.cod or 0.0 for c in held]),
        ),
        "ammonia": Measure(_row([_nitrogen_in_the_end(c) for c in held]), volume),
        "food": Measure(_row([_if(f, c.vs) for c, f in _pairs(held, food)]), vessel),
        "peak_gas": Measure(_row(biogas), _constant(len(held), 1.0)),
    }
    for i, key in enumerate([lot.key for lot in request.lots] + ["water"]):
        one = np.zeros((1, len(held) + 2))
        one[0, i] = 1.0
        found[f"amount:{key}"] = Measure(one, _constant(len(held), 1.0))
    return found


def live_organic_matter(c: Content[float]) -> float:
    """Give organic matter that counts as live inoculum [kg VS/kg], by its activity."""
    return min(c.vs, c.activity / FULL_INOCULUM)


def foreign_easy(c: Content[float]) -> float:
    """Give easily degraded matter that brings no microbes of its own [kg VS/kg]."""
    if c.vs <= 0.0:
        return 0.0
    return easy(c) * (1.0 - min(1.0, c.activity / c.vs / SELF_SEEDED))


def easy(c: Content[float]) -> float:
    """Give easily degraded organic matter [kg VS/kg]; all of it where the lot does not say."""
    return c.vs if c.easily_degraded is None else c.easily_degraded


def easy_cod(c: Content[float]) -> float:
    """Give its oxygen demand [kg COD/kg], never more than all that can be digested."""
    load = easy(c) * EASY_COD
    return load if c.cod_digestible is None else min(load, c.cod_digestible)


def _acid(held: tuple[Content[float], ...], factor: float) -> Measure:
    over, under = [], []
    growth = GROWTH[1] * factor
    for day in ACID_DAYS:
        made = 1.0 - exp(-ACID_RATE * factor * day)
        eaten = factor * (exp(growth * day) - 1.0) / growth
        over.append(_row([(easy_cod(c) * made - c.activity * eaten) / ACETIC_COD for c in held]))
        under.append(_row([_buffer(c, made) for c in held]))
    return Measure(np.vstack(over), np.vstack(under))


def _buffer(c: Content[float], made: float) -> float:
    """Give the buffer once this share of what degrades easily has: with the ammonia it frees."""
    freed = 0.0
    if c.ammonia_in_the_end is not None and c.cod_digestible:
        freed = (c.ammonia_in_the_end - c.ammonia) * min(1.0, easy_cod(c) / c.cod_digestible)
    return c.alkalinity + CACO3_PER_N * freed * made


def _nitrogen_in_the_end(c: Content[float]) -> float:
    """Give ammonia nitrogen in the end; all nitrogen where the digestible share is not known."""
    if c.ammonia_in_the_end is not None:
        return c.ammonia_in_the_end
    return c.ammonia if c.nitrogen is None else max(c.ammonia, c.nitrogen)


def _biogas_rate(c: Content[float]) -> float:
    if c.methane_rate is None or not c.methane:
        return 0.0
    with_dioxide = 1.0 + (c.carbon_dioxide_free or c.methane) / c.methane
    return c.methane_rate * with_dioxide


def _if(condition: bool, value: float | None) -> float:
    return value if condition and value is not None else 0.0


def _pairs(held: tuple[Content[float], ...], food: list[bool]) -> list[tuple[Content[float], bool]]:
    return list(zip(held, food, strict=True))


def _row(lots: list[float], *, water: float = 0.0) -> Floats:
    return np.array([[*lots, water, 0.0]])


def _constant(lots: int, value: float) -> Floats:
    return np.array([[0.0] * (lots + 1) + [value]])
