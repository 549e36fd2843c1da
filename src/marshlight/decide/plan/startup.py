"""How a batch is expected to start: acid, microbes growing, and what fills the gas space.

A coarse model with four stores, good for "days or weeks" and for the first flame. The process model
and the readings themselves take over as soon as there are any.
"""

from dataclasses import dataclass
from math import exp, isfinite, log

from marshlight.decide.plan.measures import (
    ACID_RATE,
    GROWTH,
    LotNumbers,
    easy_cod,
)
from marshlight.estimate import Estimate
from marshlight.matter.content import Content
from marshlight.matter.stoichiometry import IDEAL_MOLAR_VOLUME, METHANE_PER_COD

# Half-saturation of the methane formers [kg COD/m3], source growth_adm1_2002.
HALF_SATURATION = 0.15
FLAME_SHARE = 0.50  # source flame_threshold
VISIBLE_SHARE = 0.05  # of the slurry's volume, source visible_gas
STEP_D = 0.25
LONGEST_D = 180.0
# Of the carbon dioxide that goes with carbohydrate two thirds leave when it turns to acid and
# hydrogen and one third with the methane: C6H12O6 -> 2 CH3COOH + 2 CO2 + 4 H2, then 3 CH4 + CO2.
EARLY_CO2 = 2.0 / 3.0
_CO2_PER_ACID_COD = IDEAL_MOLAR_VOLUME / 64.0


@dataclass(frozen=True)
class Charge:
    """What the start depends on: oxygen demands [kg], rates [1/d], microbes [kg COD/d], rooms [m3].

    ``easy_kg`` turns to acid at once, ``slow_kg`` at ``slow_rate``; ``co2_per_methane`` is the
    carbon dioxide that goes with the methane in the end [m3/m3]; ``factor`` scales every rate for
    temperature; ``buffer_kg`` alkalinity as calcium carbonate [kg].
    """

    easy_kg: float
    slow_kg: float
    slow_rate: float
    activity: Estimate
    buffer_kg: float
    co2_per_methane: float
    slurry_m3: float
    gas_space_m3: float
    factor: float


@dataclass(frozen=True)
class Course:
    """One expected course: days of first gas, flame and best day, gas of that day, and the lag.

    ``first_gas_methane`` is the methane share of what has been made by the day of first gas, the
    air it pushes out not counted.

    Days are infinite where it does not come to it within half a year. ``best_m3_per_d`` is biogas,
    dry normal; ``lag_d`` is where the steepest tangent to the cumulative gas meets the time axis.
    """

    first_gas_d: float
    first_gas_methane: float
    flame_d: float
    best_day_d: float
    best_m3_per_d: float
    lag_d: float


def charge_facts(
    numbers: LotNumbers,
    amounts: list[float],
    *,
    activity: Estimate,
    rooms_m3: tuple[float, float],
    factor: float,
) -> Charge:
    """Gather what the start depends on from the amounts [kg] of a plan."""
    held = list(zip(numbers.contents, amounts, strict=True))
    digestible = sum(x * (c.cod_digestible or 0.0) for c, x in held)
    easy = min(digestible, sum(x * easy_cod(c) for c, x in held))
    methane = digestible * METHANE_PER_COD
    days = sum(x * (c.cod_digestible or 0.0) / k for c, x, k in _pools(numbers, amounts))
    # The mean time of the whole is that of its two parts together.
    slow_days = max(days - easy / ACID_RATE, 0.0)
    co2 = sum(x * (c.carbon_dioxide_free or c.methane or 0.0) for c, x in held)
    return Charge(
        easy_kg=easy,
        slow_kg=digestible - easy,
        slow_rate=min((digestible - easy) / slow_days, ACID_RATE) if slow_days else ACID_RATE,
        activity=activity,
        buffer_kg=sum(x * c.alkalinity for c, x in held),
        co2_per_methane=co2 / methane if methane > 0.0 else 1.0,
        slurry_m3=rooms_m3[0],
        gas_space_m3=rooms_m3[1],
        factor=factor,
    )


def half_rate(numbers: LotNumbers, amounts: list[float]) -> float | None:
    """Give the first-order rate whose half-time is that of the lots together.

    Parameters
    ----------
    numbers : LotNumbers
        What a kilogram of each lot brings.
    amounts : list[float]
        Of each lot [kg].

    Returns
    -------
    float or None
        ln 2 over the time to half of the gas, each lot at its own rate, at 35 degC [1/d]; None
        where no lot with gas has a rate.

    Notes
    -----
    A mix of fast and slow has its half later than the mean of the rates says: half of bread and
    straw by potential is not gone in the time of their mean rate.
    """
    from scipy.optimize import brentq

    pools = [(x * (c.methane or 0.0), k) for c, x, k in _pools(numbers, amounts)]
    whole = sum(gas for gas, _ in pools)
    if whole <= 0.0:
        return None
    rates = [k for _, k in pools]
    if min(rates) == max(rates):
        return rates[0]

    def left(day: float) -> float:
        return sum(gas * exp(-k * day) for gas, k in pools) / whole - 0.5

    return log(2.0) / float(brentq(left, log(2.0) / max(rates), log(2.0) / min(rates)))


def _pools(numbers: LotNumbers, amounts: list[float]) -> list[tuple[Content[float], float, float]]:
    """List content, amount [kg] and rate [1/d] of the lots that give gas at a rate."""
    return [
        (c, x, c.methane_rate / c.methane)
        for c, x in zip(numbers.contents, amounts, strict=True)
        if x > 0.0 and c.methane and c.methane_rate
    ]


def courses(charge: Charge) -> tuple[Course, Course, Course]:
    """Work out a slow, a middle and a fast course.

    Parameters
    ----------
    charge : Charge
        What goes in and where.

    Returns
    -------
    tuple[Course, Course, Course]
        Few microbes growing slowly; the usual; many growing fast [days, m3/d].

    Notes
    -----
    Easy matter turns to acid at 0.5 /d, the rest at its own first-order rate; methane formers, held
    by their activity A, eat acid Z as A Z/(Z + K) and grow in proportion at g. Acid that builds up
    drives carbon dioxide out of the buffer and takes it back when eaten, for as long as there is
    buffer. Gas pushes air out of a well-mixed gas space. Left out: harm done by low pH, carbon
    dioxide dissolving in fresh water, hydrogen. So a mix that sours is slower than shown.

    References
    ----------
    Sources ``acid_rate``, ``growth_siegrist_2002``, ``growth_parkin_owen_1986``,
    ``growth_adm1_2002``, ``inoculum_activity``, ``flame_threshold``.
    """
    low, high = charge.activity.interval(0.95)
    middle = charge.activity.value
    # A range that touches zero says "hardly known": take a fifth, as between the ends of the
    # published ranges for one kind of material.
    slowest = max(low, middle / 5.0)
    cases = zip((slowest, middle, max(high, middle)), GROWTH, strict=True)
    slow, usual, fast = (_course(charge, activity, growth) for activity, growth in cases)
    return slow, usual, fast


def _course(charge: Charge, activity: float, growth: float) -> Course:
    f = charge.factor
    easy, slow, acid = charge.easy_kg, charge.slow_kg, 0.0
    live, growth = activity * f, growth * f
    buffer_cod = charge.buffer_kg * 64.0 / 50.043
    half = HALF_SATURATION * charge.slurry_m3
    half_carbon = charge.co2_per_methane * METHANE_PER_COD
    inside = total = best = methane_made = first_methane = 0.0
    first = flame = best_day = float("inf")
    lag = day = 0.0
    while day < LONGEST_D:
        made = (easy * ACID_RATE * f, slow * charge.slow_rate * f)
        eaten = min(live * acid / (acid + half) if acid > 0.0 else 0.0, acid / STEP_D)
        change = sum(made) - eaten
        buffered = min(acid + change * STEP_D, buffer_cod) - min(acid, buffer_cod)
        methane = eaten * METHANE_PER_COD
        co2 = half_carbon * (EARLY_CO2 * sum(made) + (1.0 - EARLY_CO2) * eaten)
        co2 = max(0.0, co2 + buffered / STEP_D * _CO2_PER_ACID_COD)
        gas = methane + co2
        easy -= made[0] * STEP_D
        slow -= made[1] * STEP_D
        acid += change * STEP_D
        if acid > 0.0:
            live *= 1.0 + growth * STEP_D * acid / (acid + half)
        day += STEP_D
        total += gas * STEP_D
        methane_made += methane * STEP_D
        share = _into(charge.gas_space_m3, gas * STEP_D)
        inside = inside * (1.0 - share) + share * (methane / gas if gas > 0.0 else 0.0)
        if first > day and total >= VISIBLE_SHARE * charge.slurry_m3:
            first, first_methane = day, methane_made / total
        if flame > day and inside >= FLAME_SHARE:
            flame = day
        if methane > 0.0 and gas > best and inside > 0.5 * FLAME_SHARE:
            best, best_day, lag = gas, day, max(0.0, day - total / gas)
        elif isfinite(flame) and isfinite(best_day) and gas < 0.7 * best and day > flame:
            break
    return Course(first, first_methane, flame, best_day, best, lag)


def _into(room_m3: float, gas_m3: float) -> float:
    """Give the share of a well-mixed gas space that this much gas replaces."""
    return gas_m3 / (room_m3 + gas_m3) if room_m3 > 0.0 else 1.0
