"""What is common practice at the bench against the planner's answer for an ordinary batch.

No source: these are facts of the trade. The batch is a 25 L drum at 37 degC with fresh cattle
manure, the effluent of a running manure digester, a little food waste and water.

Where we differ: the trade halves the gas at 30 degC and keeps a tenth to a third at 20. The curve
used here keeps 0.85 and 0.41 of the rate at 35, close to what Yang et al. 2016 (Water Research 102:
464, abstract) measured as the highest rate of methane, 0.78 and 0.41. A fed vessel also
digests a smaller share when it is colder, which may be what the trade's figure remembers.
"""

from functools import cache

from marshlight.decide.plan import (
    MOST_FILL,
    ChargePlan,
    ChargeRequest,
    LotAtHand,
    limits_for,
    plan_charge,
)
from marshlight.decide.plan.startup import FLAME_SHARE
from marshlight.decide.plan.steps import SCREEN_M
from marshlight.matter import library
from published.harness import Check

TRADE = "Common practice, no source"


@cache
def _batch() -> ChargePlan:
    shelf = library()
    lots = (
        LotAtHand(shelf["cattle_dairy_fresh"], 10.0),
        LotAtHand(shelf["digester_effluent"], 10.0),
        LotAtHand(shelf["food_waste"], 0.3, least_kg=0.3),
    )
    request = ChargeRequest(0.025, lots, slurry_c=37.0)
    return plan_charge(request)


def _fill() -> float:
    return _batch().slurry_m3.value / 0.025


def _solids() -> float:
    return _batch().blend.TS.value * 100


def _flame_day() -> float:
    expected = _batch().expected
    return expected.flame_day.value if expected else float("nan")


def _first_gas_day() -> float:
    expected = _batch().expected
    return expected.first_gas_day.value if expected else float("nan")


def _methane_share() -> float:
    expected = _batch().expected
    return expected.methane_share.value * 100 if expected else float("nan")


def _gas_per_slurry_and_day() -> float:
    """Mean of the first 30 days, by the prior a forecast would start from."""
    expected = _batch().expected
    if expected is None:
        return float("nan")
    left = 2.0 ** (-(30.0 - expected.lag_d.value) * expected.rate_per_d.value / 0.6931)
    return expected.biogas_m3.value * (1.0 - left) / 30.0 / _batch().slurry_m3.value


def _trade(subject: str, value: float, ours: object, tolerance: float) -> Check:
    return Check(
        subject,
        TRADE,
        value,
        ours,  # type: ignore[arg-type]
        tolerance,
        status="common practice, no source",
    )


CHECKS = [
    _trade("a batch vessel is filled to about two thirds", 0.667, _fill, 0.05),
    _trade("never past three quarters", 0.75, MOST_FILL, 0.0),
    _trade(
        "the default limit on fill, two thirds", 0.667, limits_for("most_gas")["fill"].high, 0.001
    ),
    _trade(
        "slurry that pours, limit on dry matter [%]",
        10.0,
        limits_for("most_gas")["solids"].high * 100,
        0.0,
    ),
    _trade("dry matter of an ordinary batch, 4 to 10 [%]", 7.0, _solids, 3.0),
    _trade("materials screened at about [m]", 0.01, SCREEN_M, 0.0),
    _trade("a small batch starts within days: gas seen [d]", 2.0, _first_gas_day, 2.0),
    _trade("a small batch starts within days: flame, 2 to 14 [d]", 8.0, _flame_day, 6.0),
    _trade("gas that holds a flame, 50 to 60 % methane", 0.55, FLAME_SHARE, 0.05),
    _trade(
        "methane in the gas of a manure batch in the end, 50 to 60 [%]", 55.0, _methane_share, 5.0
    ),
    _trade(
        "own volume of gas a day at 35 to 37 degC, order of [m3/m3/d]",
        1.0,
        _gas_per_slurry_and_day,
        0.5,
    ),
]
