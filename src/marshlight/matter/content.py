"""What one kilogram of a lot carries: every quantity that adds up when lots are mixed.

The same equations serve plain numbers (the planner solves with them) and numbers with doubt (the
blend carries it through), so each is written once, for either kind.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

from marshlight.matter.elements import ATOMIC_MASS
from marshlight.matter.macromolecules import (
    ASH_DENSITY_0,
    ASH_DENSITY_SLOPE,
    MACROMOLECULES,
    METHANE_POTENTIAL,
    OXYGEN_DEMAND,
)
from marshlight.matter.propagation import Uncertain
from marshlight.matter.properties import SPLIT
from marshlight.matter.stoichiometry import METHANE_PER_COD, gas_from_formula
from marshlight.matter.water import water_density_kg_m3

Number = TypeVar("Number", float, Uncertain)

_PROTEIN_N = MACROMOLECULES["protein"].elements.mass_fraction("N")
_CARBON = {name: m.elements.mass_fraction("C") for name, m in MACROMOLECULES.items()}
_GAS = {name: gas_from_formula(m.elements) for name, m in MACROMOLECULES.items()}
_GAS_HELD = {
    name: gas_from_formula(m.elements, ammonia_in_liquid=True) for name, m in MACROMOLECULES.items()
}
# Oxygen demand of what turns to acid at once: that of carbohydrate [kg/kg].
EASY_COD = OXYGEN_DEMAND["carbohydrate"]
# Alkalinity that comes with each nitrogen set free as ammonium [kg CaCO3/kg N].
CACO3_PER_N = 100.086 / 2.0 / ATOMIC_MASS["N"]
# What ``prop`` may be asked for besides the library's properties: the volume of organic matter of
# unknown make-up, as an input with doubt of its own [m3/kg].
ORGANIC_VOLUME = "organic_volume"


@dataclass(frozen=True)
class Content(Generic[Number]):
    """Amounts in one kilogram of fresh material; None where the lot does not say.

    All in kg per kg fresh unless named otherwise: ``volume`` [m3/kg], ``methane`` and the two
    carbon dioxides [m3/kg], ``methane_rate`` methane times rate [m3/(kg d)], ``activity``
    [kg COD/(kg d)], ``alkalinity`` [kg CaCO3/kg]. ``ammonia_in_the_end`` is nitrogen set free once
    all that can be digested has been; ``cod_digestible`` the oxygen demand of the same.
    """

    ts: Number
    vs: Number
    volume: Number
    parts: dict[str, Number] | None
    cod: Number | None
    cod_digestible: Number | None
    methane: Number | None
    methane_rate: Number | None
    carbon_dioxide_free: Number | None
    carbon_dioxide_held: Number | None
    carbon: Number | None
    nitrogen: Number | None
    ammonia: Number
    ammonia_in_the_end: Number | None
    alkalinity: Number
    easily_degraded: Number | None
    activity: Number
    phosphorus: Number | None
    potassium: Number | None


def content(
    prop: Callable[[str], Number | None], zero: Number, temperature_c: float
) -> Content[Number]:
    """Work out what a kilogram of one lot carries.

    Parameters
    ----------
    prop : Callable[[str], Number | None]
        Gives a property of ``matter.feedstock.PROPERTIES`` in its base unit, or None.
    zero : Number
        Nothing, in the same kind of number.
    temperature_c : float
        Temperature at which volumes are wanted [degC], 0 to 70.

    Returns
    -------
    Content
        Amounts per kilogram fresh [kg/kg].

    Notes
    -----
    Volumes of water, ash and each organic part add up; air in pores is left out, because it
    leaves when the material is wetted, and so are salts' and sugars' effects on volume. Missing
    ammonia, alkalinity and microbes count as none. Nitrogen not stated is that of the protein;
    carbon not stated is that of the make-up; what is easily degraded, not stated, is the
    carbohydrate.

    References
    ----------
    Sources ``choi_okos_1986``, ``buswell_boyle_1977``, ``angelidaki_sanders_2004``.
    """
    solids, volatile = prop("TS"), prop("VS")
    ts = zero if solids is None else solids
    vs = zero if volatile is None else ts * volatile
    shares = _shares(prop)
    parts = None if shares is None else {name: vs * s for name, s in shares.items()}
    tan = _or(prop("TAN"), zero)
    nitrogen = _nitrogen(prop, ts, parts, tan)
    cod = None if parts is None else _weighted(parts, OXYGEN_DEMAND, zero)
    potential, rate = prop("methane_potential"), prop("rate")
    methane = None if potential is None else vs * potential
    digestible = None if methane is None else methane * (1.0 / METHANE_PER_COD)
    easy, activity = prop("easily_degraded"), prop("methanogenic_activity")
    if easy is None and shares is not None:
        easy = shares["carbohydrate"]
    free, held = _carbon_dioxide(parts, methane, zero)
    phosphorus, potassium = prop("P"), prop("K")
    return Content(
        ts=ts,
        vs=vs,
        volume=_volume(prop, ts, vs, parts, temperature_c=temperature_c),
        parts=parts,
        cod=cod,
        cod_digestible=digestible,
        methane=methane,
        methane_rate=None if methane is None or rate is None else methane * rate,
        carbon_dioxide_free=free,
        carbon_dioxide_held=held,
        carbon=_carbon(prop, nitrogen, parts, zero),
        nitrogen=nitrogen,
        ammonia=tan,
        ammonia_in_the_end=_ammonia_in_the_end(nitrogen, tan, cod, digestible),
        alkalinity=_or(prop("alkalinity"), zero),
        easily_degraded=None if easy is None else vs * easy,
        activity=zero if activity is None else vs * activity,
        phosphorus=None if phosphorus is None else ts * phosphorus,
        potassium=None if potassium is None else ts * potassium,
    )


def plain(number: float | Uncertain) -> float:
    """Give the bare value of either kind of number."""
    return number.value if isinstance(number, Uncertain) else number


def _or(given: Number | None, otherwise: Number) -> Number:
    return otherwise if given is None else given


def _shares(prop: Callable[[str], Number | None]) -> dict[str, Number] | None:
    """Give the make-up of the organic matter, made whole; None unless every part is stated."""
    given = {name: prop(name) for name in SPLIT}
    known = {name: share for name, share in given.items() if share is not None}
    if len(known) < len(SPLIT):
        return None
    first, *rest = known.values()
    total = first
    for share in rest:
        total = total + share
    return {name: share / total for name, share in known.items()}


def _weighted(parts: dict[str, Number], weight: Mapping[str, float], zero: Number) -> Number:
    total = zero
    for name, amount in parts.items():
        total = total + amount * weight[name]
    return total


def unknown_organic_volume(temperature_c: float) -> tuple[float, float, float]:
    """Give the volume of organic matter of unknown make-up: low, usual and high [m3/kg].

    Notes
    -----
    The densest and the lightest of carbohydrate, protein and fibre, and midway between them.

    References
    ----------
    Sources ``choi_okos_1986``, ``dry_matter_density_bounds``.
    """
    specific = [
        1.0 / MACROMOLECULES[name].density(temperature_c)
        for name in ("carbohydrate", "protein", "fibre")
    ]
    low, high = min(specific), max(specific)
    return low, 0.5 * (low + high), high


def _volume(
    prop: Callable[[str], Number | None],
    ts: Number,
    vs: Number,
    parts: dict[str, Number] | None,
    *,
    temperature_c: float,
) -> Number:
    water = (1.0 - ts) * (1.0 / water_density_kg_m3(temperature_c))
    ash = (ts - vs) * (1.0 / (ASH_DENSITY_0 + ASH_DENSITY_SLOPE * temperature_c))
    if parts is None:
        guess = prop(ORGANIC_VOLUME)
        if guess is None:
            return water + ash + vs * unknown_organic_volume(temperature_c)[1]
        return water + ash + vs * guess
    volume = water + ash
    for name, amount in parts.items():
        volume = volume + amount * (1.0 / MACROMOLECULES[name].density(temperature_c))
    return volume


def _nitrogen(
    prop: Callable[[str], Number | None],
    ts: Number,
    parts: dict[str, Number] | None,
    tan: Number,
) -> Number | None:
    stated = prop("TKN")
    if stated is not None:
        return ts * stated
    return None if parts is None else parts["protein"] * _PROTEIN_N + tan


def _carbon(
    prop: Callable[[str], Number | None],
    nitrogen: Number | None,
    parts: dict[str, Number] | None,
    zero: Number,
) -> Number | None:
    ratio = prop("C_to_N")
    if ratio is not None and nitrogen is not None and plain(nitrogen) > 0.0:
        return nitrogen * ratio
    return None if parts is None else _weighted(parts, _CARBON, zero)


def _carbon_dioxide(
    parts: dict[str, Number] | None, methane: Number | None, zero: Number
) -> tuple[Number | None, Number | None]:
    """Give the carbon dioxide that goes with the methane: ammonia holding none, and its share."""
    if parts is None or methane is None:
        return None, None
    digested = {n: amount for n, amount in parts.items() if MACROMOLECULES[n].digestible}
    expected = _weighted(digested, METHANE_POTENTIAL, zero)
    if plain(expected) <= 0.0:
        return None, None
    free = {name: gas.carbon_dioxide_m3_per_kg for name, gas in _GAS.items()}
    held = {name: gas.carbon_dioxide_m3_per_kg for name, gas in _GAS_HELD.items()}
    scale = methane / expected
    return _weighted(digested, free, zero) * scale, _weighted(digested, held, zero) * scale


def _ammonia_in_the_end(
    nitrogen: Number | None, tan: Number, cod: Number | None, digestible: Number | None
) -> Number | None:
    if nitrogen is None or cod is None or digestible is None:
        return None
    bound = nitrogen - tan
    if plain(bound) <= 0.0 or plain(cod) <= 0.0:
        return tan
    share = digestible / cod
    return nitrogen if plain(share) >= 1.0 else tan + bound * share
