"""What a solved mix amounts to: masses and buckets, where limits stand, what relaxing gives."""

from math import inf, isfinite

import numpy as np

from marshlight.decide.plan.limits import Limit
from marshlight.decide.plan.measures import Floats
from marshlight.decide.plan.programme import Bound, Programme, Solved
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.result import Amount, LimitResult, Relaxation
from marshlight.decide.plan.setting import Setting
from marshlight.decide.plan.words import AMOUNT, limit_sentence, relaxation_sentence
from marshlight.matter.water import water_density_kg_m3

# What is at hand is stretched by this share to show what more of it would give.
MORE = 0.10
# A gain below this share of the plan's value is not worth a sentence.
WORTH_SAYING = 1e-3


def amounts_of(request: ChargeRequest, amounts: Floats) -> tuple[Amount, ...]:
    """Give the amounts by mass, by volume as heaped and by buckets; water last."""
    found = []
    for lot, kg in zip(request.lots, amounts[:-1], strict=True):
        density = lot.feedstock.get("bulk_density")
        bulk = None if density is None else float(kg) / density.value
        found.append(
            Amount(
                key=lot.key,
                name=lot.feedstock.name,
                role="inoculum" if lot.is_inoculum else "food",
                mass_kg=float(kg),
                bulk_m3=bulk,
                buckets=None if bulk is None else bulk / request.bucket_m3,
                at_hand_kg=lot.available_kg if isfinite(lot.available_kg) else None,
                cost=float(kg) * lot.price_per_kg,
                cautions=lot.feedstock.cautions,
            )
        )
    water = float(amounts[-1])
    volume = water / water_density_kg_m3(request.materials_c)
    found.append(
        Amount(
            "water",
            "water",
            "water",
            water,
            volume,
            volume / request.bucket_m3,
            request.water_available_kg,
            0.0,
        )
    )
    return tuple(found)


def relaxations_of(setting: Setting, kept: Programme, solved: Solved) -> tuple[Relaxation, ...]:
    """Move each bound that has a price, solve again, and keep the gains worth saying."""
    found = []
    for bound in kept.bounds:
        limit = setting.limits[bound.key]
        if solved.prices[bound.name].max() <= 0.0:
            continue
        target = _relaxed(limit, bound, setting)
        if target is None:
            continue
        again = kept.with_bound(bound.name, target).solve(settle=False)
        if again is None or again.value - solved.value <= WORTH_SAYING * abs(solved.value):
            continue
        gain = again.value - solved.value
        share = gain / solved.value if solved.value > 0.0 else inf
        found.append(
            Relaxation(
                key=bound.key,
                side=bound.side,
                value=bound.value,
                relaxed_to=target,
                gain=gain,
                gain_share=share,
                foretold=kept.predicted_gain(solved, bound.name, target),
                sentence=relaxation_sentence(
                    limit,
                    bound.value,
                    target,
                    share=share,
                    aim=setting.aim,
                    system=setting.request.system,
                ),
            )
        )
    return tuple(sorted(found, key=lambda r: -r.gain))


def _relaxed(limit: Limit, bound: Bound, setting: Setting) -> float | None:
    """Say how far to move an end to show what that gives; None where it must not move."""
    sign = 1.0 if bound.side == "high" else -1.0
    if bound.key.startswith(AMOUNT):
        step = max(MORE * bound.value, 0.02 * setting.request.vessel_m3 * 1000.0)
        return max(0.0, bound.value + sign * step)
    if limit.step is None:
        return None
    # No end is moved by more than a quarter: further out the answer is about another mix.
    target = bound.value + sign * min(limit.step, 0.25 * bound.value)
    if bound.key == "fill":
        target = min(target, 1.0 - setting.limits["gas_space"].low)
    return target if target > 0.0 and target != bound.value else None


def limit_results(setting: Setting, amounts: Floats, holding: set[str]) -> tuple[LimitResult, ...]:
    """Say where amounts [kg] stand against every limit; ``holding`` are those that hold back."""
    found = []
    for key, limit in setting.limits.items():
        if limit.low == -inf and limit.high == inf:
            continue
        value = _value(setting, key, amounts)
        headroom = _headroom(limit, value)
        missed = headroom < -1e-4
        state = "missed" if missed else "binds" if key in holding else "kept"
        found.append(
            LimitResult(
                key=key,
                name=limit.name,
                meaning=limit.meaning,
                unit=limit.unit,
                value=value,
                low=limit.low if limit.low > -inf else None,
                high=limit.high if limit.high < inf else None,
                headroom=headroom,
                state=state,
                sentence=limit_sentence(limit, value, state, system=setting.request.system),
                source_low=limit.source_low if limit.low > -inf else "",
                source_high=limit.source_high if limit.high < inf else "",
            )
        )
    return tuple(found)


def _value(setting: Setting, key: str, amounts: Floats) -> float:
    value = setting.programme.measures[key].worst(amounts)
    if key == "inoculum" and value == 0.0 and not _foreign(setting, amounts):
        return inf
    # Where acid never gets ahead of the microbes, none stands: not a negative amount.
    return max(value, 0.0)


def _foreign(setting: Setting, amounts: Floats) -> bool:
    under = setting.programme.measures["inoculum"].under @ np.append(amounts, 1.0)
    return bool(under[0] > 0.0)


def _headroom(limit: Limit, value: float) -> float:
    rooms = []
    if limit.high < inf:
        rooms.append((limit.high - value) / limit.high if limit.high > 0.0 else -value)
    if limit.low > 0.0:
        rooms.append((value - limit.low) / limit.low)
    return min(rooms) if rooms else inf
