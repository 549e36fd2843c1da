"""Live inoculum: how many cells of each group, from its kind, freshness, storage and warmth."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import exp
from types import MappingProxyType

import numpy as np

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.elements import ATOMIC_MASS
from marshlight.process.model.kernel import Reals
from marshlight.process.model.liquid import CACO3_KG_PER_EQUIVALENT, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet, draw_between

# Groups beside the acetate degraders as they stand in the published steady state, source
# rosen_jeppsson_2006; sulfate reducers are few where there is little sulfate.
BESIDE_ACETATE: Mapping[str, float] = MappingProxyType(
    {
        "x_sugar": 0.4201659824546 / 0.7605626583132,
        "x_amino": 1.179171798924 / 0.7605626583132,
        "x_lcfa": 0.2430353447194 / 0.7605626583132,
        "x_c4": 0.431921105636 / 0.7605626583132,
        "x_propionate": 0.137305908934 / 0.7605626583132,
        "x_acetate": 1.0,
        "x_hydrogen": 0.3170229533613 / 0.7605626583132,
        "x_sulfate": 0.01,
    }
)


@dataclass(frozen=True)
class InoculumKind:
    """A usual inoculum: activity [kg CH4-COD/(kg VS d)] near 35 degC and what else it carries.

    ``vs`` [kg/m3], ``digestible`` share of the VS left to digest, ``ammonia`` [kg N/m3],
    ``alkalinity`` [kg CaCO3/m3]. Low and high are a 95 % spread.
    """

    activity: float
    low: float
    high: float
    vs: float
    digestible: float
    ammonia: float
    alkalinity: float


# Activities: source inoculum_activity_ranges; the rest usual figures of the trade, no source.
INOCULA: Mapping[str, InoculumKind] = MappingProxyType(
    {
        "digested cattle manure": InoculumKind(0.04, 0.02, 0.08, 40.0, 0.25, 2.0, 10.0),
        "digested sewage sludge": InoculumKind(0.06, 0.02, 0.20, 15.0, 0.20, 0.9, 4.0),
        "digested food waste": InoculumKind(0.08, 0.03, 0.20, 20.0, 0.15, 3.0, 12.0),
        "granular sludge": InoculumKind(0.70, 0.50, 1.50, 60.0, 0.05, 0.3, 2.0),
        "fresh cattle manure slurry": InoculumKind(0.0025, 0.001, 0.006, 60.0, 0.45, 1.2, 6.0),
        "fresh pig manure slurry": InoculumKind(0.0045, 0.001, 0.02, 45.0, 0.60, 3.0, 10.0),
    }
)


def cells(activity_kg_cod_per_d: float, parameters: ParameterSet) -> dict[str, float]:
    """Turn a methanogenic activity on acetate, near 35 degC, into cells of each group [kg COD].

    Parameters
    ----------
    activity_kg_cod_per_d : float
        Greatest methane formation from acetate [kg CH4-COD/d].
    parameters : ParameterSet
        Gives uptake rate and yield of the acetate degraders.
    """
    per_cell = parameters["k_m_ac"] * (1.0 - parameters["Y_ac"])
    acetate = activity_kg_cod_per_d / per_cell
    return {name: share * acetate for name, share in BESIDE_ACETATE.items()}


def inoculum(
    kind: str,
    volume_m3: float,
    *,
    activity: float | None = None,
    stored_days: float = 0.0,
    stored_at_c: float = 20.0,
    parameters: ParameterSet = SMALL_DIGESTER,
) -> Liquid:
    """Describe an inoculum as a liquid.

    Parameters
    ----------
    kind : str
        One of ``INOCULA``.
    volume_m3 : float
        Volume [m3].
    activity : float, optional
        Methanogenic activity on acetate measured near 35 degC [kg CH4-COD/(kg VS d)]; takes the
        place of the kind's usual one.
    stored_days, stored_at_c : float
        How long it stood unfed [d], and how warm [degC]. A measured activity is taken to be that
        before storage.
    parameters : ParameterSet
        Uptake, yield and decay.

    Returns
    -------
    Liquid
        Volume [m3] and amounts [kg COD or kmol].

    Raises
    ------
    InputError
        When the kind is unknown or a number is out of its limits.

    Notes
    -----
    Activity over the uptake rate gives acetate degraders; the other groups stand to them as in
    the published steady state. Unfed cells decay as exp(-k t), with k rising with warmth.

    References
    ----------
    Sources ``inoculum_activity_ranges``, ``rosen_jeppsson_2006``, ``parkin_owen_decay``.

    Examples
    --------
    >>> fresh = inoculum("digested cattle manure", 0.001)
    >>> stale = inoculum("digested cattle manure", 0.001, stored_days=30, stored_at_c=30)
    >>> stale.amounts["x_acetate"] < 0.7 * fresh.amounts["x_acetate"]
    True
    """
    require(
        kind in INOCULA,
        field="inoculum",
        value=kind,
        allowed=", ".join(INOCULA),
        remedy="Name the kind that is nearest",
    )
    require(
        stored_days >= 0.0 and -5.0 <= stored_at_c <= 60.0,
        field="storage",
        value=(stored_days, stored_at_c),
        allowed="no days or more, -5 to 60 degC",
        remedy="Give how long and how warm it stood",
    )
    usual = INOCULA[kind]
    lively = usual.activity if activity is None else activity
    organic = usual.vs * volume_m3
    rate = parameters["k_dec"] * exp(parameters["decay_theta"] * (stored_at_c - 35.0))
    live = cells(lively * organic * exp(-rate * stored_days), parameters)
    nitrogen = usual.ammonia * volume_m3 / ATOMIC_MASS["N"]
    alkalinity = usual.alkalinity * volume_m3 / CACO3_KG_PER_EQUIVALENT
    strong = alkalinity - nitrogen
    cod = 1.4 * organic
    rest = max(cod - sum(live.values()), 0.0)
    amounts = {
        **live,
        "fibre": 0.8 * usual.digestible * rest,
        "protein": 0.2 * usual.digestible * rest,
        "particulate_inert": (1.0 - usual.digestible) * rest,
        "inorganic_nitrogen": nitrogen,
        "inorganic_carbon": 1.07 * alkalinity,
        "cations": max(strong, 0.0),
        "anions": max(-strong, 0.0),
    }
    return Liquid(volume_m3, amounts)


def usual_activity(kind: str) -> Estimate:
    """Give the usual activity of a kind with its doubt [kg CH4-COD/(kg VS d)]."""
    usual = INOCULA[kind]
    return Estimate.from_range(usual.activity, usual.low, usual.high)


def draw_liveliness(kind: str, rng: np.random.Generator, members: int) -> Reals:
    """Draw how lively an inoculum of this kind may be, relative to the usual, for an ensemble."""
    usual = INOCULA[kind]
    low, high = usual.low / usual.activity, usual.high / usual.activity
    return draw_between(1.0, low, high, rng=rng, members=members)
