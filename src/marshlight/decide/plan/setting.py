"""What stays the same while mixes are tried: limits, numbers, and the linear programme."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from marshlight.decide.plan.limits import Aim, Limit, aims, limits_for
from marshlight.decide.plan.measures import Floats, LotNumbers, lot_numbers, measures
from marshlight.decide.plan.programme import Bound, Programme
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.words import AMOUNT
from marshlight.errors import InputError, require

# Slower than this share of the rate at 35 degC a batch takes years: nothing to plan.
COLDEST_FACTOR = 0.02


@dataclass(frozen=True)
class Setting:
    """What stays the same while mixes are tried."""

    request: ChargeRequest
    aim: Aim
    limits: dict[str, Limit]
    numbers: LotNumbers
    programme: Programme
    factor: float


def setting_for(request: ChargeRequest, factor_at: Callable[[float], float]) -> Setting:
    """Set up the programme for a request; ``factor_at`` gives the rate factor at a temperature."""
    limits = limits_for(request.aim, request.limits)
    aim = aims()[request.aim]
    factor = factor_at(request.slurry_c)
    require(
        factor > COLDEST_FACTOR,
        field="slurry temperature",
        value=request.slurry_c,
        allowed="where digestion near body heat goes on, about 8 to 49 degC",
        remedy="Keep the slurry warmer, near 38 degC; much hotter needs other microbes",
    )
    numbers = lot_numbers(request)
    for lot in request.lots:
        most = lot.available_kg if lot.most_kg is None else min(lot.available_kg, lot.most_kg)
        ends = (lot.least_kg, most) if lot.fixed_kg is None else (lot.fixed_kg, lot.fixed_kg)
        limits[AMOUNT + lot.key] = _amount_limit(lot.key, lot.feedstock.name, *ends)
    water = request.water_fixed_kg
    most_water = inf if request.water_available_kg is None else request.water_available_kg
    ends = (0.0, most_water) if water is None else (water, water)
    limits[AMOUNT + "water"] = _amount_limit("water", "water", *ends)
    programme = Programme(
        measures=measures(request, numbers, factor),
        bounds=_bounds(request, limits),
        gain=_gain(request, numbers),
        prefer=_prices(request),
        scale=1000.0 * request.vessel_m3,
    )
    return Setting(request, aim, limits, numbers, programme, factor)


def _amount_limit(key: str, name: str, low: float, high: float) -> Limit:
    return Limit(
        key=AMOUNT + key,
        name=f"amount of {name}",
        meaning="what is at hand, or what you asked for",
        unit="mass",
        low=low if low > 0.0 else -inf,
        high=high,
        step=None,
        source_low="set_by_user",
        source_high="set_by_user",
    )


def _bounds(request: ChargeRequest, limits: dict[str, Limit]) -> tuple[Bound, ...]:
    insisted = {AMOUNT + lot.key for lot in request.lots if lot.fixed_kg is not None}
    if request.water_fixed_kg is not None:
        insisted.add(AMOUNT + "water")

    def fixed(key: str, side: str) -> bool:
        # What is at hand and the room for foam are facts; what the user asked for may be stretched.
        at_hand = key.startswith(AMOUNT) and side == "high" and key not in insisted
        return at_hand or key in {"gas_space", "food"}

    return tuple(
        Bound(key, side, value, firm, fixed(key, side))
        for key, limit in limits.items()
        for side, value, firm in (
            ("low", limit.low, limit.low_firm),
            ("high", limit.high, limit.high_firm),
        )
        if isfinite(value)
    )


def _gain(request: ChargeRequest, numbers: LotNumbers) -> Floats:
    if request.aim == "most_waste":
        per_kg = [1.0 if lot.is_waste else 0.0 for lot in request.lots]
    else:
        per_kg = [content.methane or 0.0 for content in numbers.contents]
    if max(per_kg) <= 0.0:
        raise InputError(
            "lots at hand",
            [lot.feedstock.name for lot in request.lots],
            "at least one material that gives gas",
            "Add a material with a methane potential that is not there for its microbes alone",
        )
    return np.array([*per_kg, 0.0])


def _prices(request: ChargeRequest) -> Floats:
    prices = np.array([*(lot.price_per_kg for lot in request.lots), 0.0])
    scale = np.abs(prices).max()
    return prices / scale if scale > 0.0 else prices
