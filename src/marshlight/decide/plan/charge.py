"""Plan a charge: the best mix of what is at hand, what holds it back, what to expect."""

from collections.abc import Callable

import numpy as np

from marshlight.decide.plan.clash import clash, nearest
from marshlight.decide.plan.expect import expectation
from marshlight.decide.plan.findings import amounts_of, limit_results, relaxations_of
from marshlight.decide.plan.measures import Floats
from marshlight.decide.plan.programme import Bound, Programme, Solved
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.result import ChargePlan, LimitResult, Relaxation
from marshlight.decide.plan.setting import Setting, setting_for
from marshlight.decide.plan.steps import mixing_water_c, work_steps
from marshlight.decide.plan.words import AMOUNT, listed, side_name
from marshlight.decide.safety import all_cautions
from marshlight.errors import FitError, InfeasibleError
from marshlight.matter.mixing import Blend, Part, blend
from marshlight.process.temperature import temperature_factor as curve_of_rate

# Amounts below this share of the vessel's contents are not worth weighing out: taken as none.
TRACE = 1e-6
# The library's rates, and those of growth and acid, are stated for this temperature [degC].
RATES_AT_C = 35.0
# Limits by how well they explain a clash, dullest first; amounts at hand come after "food".
TELLING = (
    "fill",
    "gas_space",
    "solids",
    "food",
    AMOUNT,
    "peak_gas",
    "carbon_nitrogen",
    "lipid",
    "ammonia",
    "acid",
    "inoculum",
)
# Wishes by what is given up first. Acid last: the others do no harm.
GIVEN_UP = ("carbon_nitrogen", "fill", "solids", "acid")
# The wish for carbon to nitrogen is given up where it costs more than this share of the aim:
# what little nitrogen does harm is under the limit on ammonia.
TOO_DEAR = 0.5


def plan_charge(
    request: ChargeRequest, *, temperature_factor: Callable[[float], float] | None = None
) -> ChargePlan:
    """Solve for the amounts of each lot and of water.

    Parameters
    ----------
    request : ChargeRequest
        Vessel, lots at hand, place and aim.
    temperature_factor : Callable[[float], float], optional
        Rate at a temperature [degC] over the rate at 35 degC; the process room's if not given.

    Returns
    -------
    ChargePlan
        Amounts [kg], where every limit stands, what binds and what relaxing it would give, the
        expected gas, the order of work and the cautions.

    Raises
    ------
    InputError
        When the request contradicts itself or a lot lacks what the aim needs.
    InfeasibleError
        When even stretching the firm limits fivefold leaves no mix.

    Notes
    -----
    A linear programme: each ratio limit is multiplied out, which is exact. Wishes that cannot be
    kept are left out, those that clash first; firm limits that clash are all stretched by the same
    share until a mix exists, and the plan says so. Gains are from solving again, not from prices.

    References
    ----------
    Each limit names its sources; see ``limits_for``.

    Examples
    --------
    >>> from marshlight.decide.plan import ChargeRequest, LotAtHand
    >>> from marshlight.matter import find
    >>> lots = (LotAtHand(find("digested manure"), 20.0), LotAtHand(find("stale bread"), 2.0))
    >>> plan = plan_charge(ChargeRequest(0.025, lots, slurry_c=37.0))
    >>> plan.feasible, round(plan.slurry_m3.value / 0.025, 2)
    (True, 0.67)
    """
    setting = setting_for(request, temperature_factor or _process_factor)
    kept, conflicts, feasible = _possible(setting)
    kept, solved = _best(kept)
    amounts = np.where(solved.amounts > TRACE * solved.amounts.sum(), solved.amounts, 0.0)
    return _plan(setting, kept, solved, amounts, conflicts=conflicts, feasible=feasible)


def _process_factor(temperature_c: float) -> float:
    """Give the rate at a temperature over the rate at 35 degC, at which potentials are stated."""
    return float(curve_of_rate(temperature_c) / curve_of_rate(RATES_AT_C))


def _possible(setting: Setting) -> tuple[Programme, tuple[Bound, ...], bool]:
    """Give up wishes, then stretch firm limits, until there is a mix.

    Returns the programme to solve, the bounds that clashed first, and whether all firm ones hold.
    """
    kept = setting.programme
    conflicts: tuple[Bound, ...] = ()
    while not kept.possible():
        found = clash(kept, [b.name for b in sorted(kept.bounds, key=_telling)])
        wishes = [bound for bound in found if not bound.firm]
        if not wishes:
            stretched = nearest(kept, {bound.name for bound in found})
            if stretched is None:
                raise InfeasibleError(
                    _conflict_sentence(setting, found, nearest_found=False),
                    conflicts=tuple(_named(setting, found)),
                )
            return stretched, found, False
        conflicts = conflicts or found
        kept = kept.without({min(wishes, key=lambda b: GIVEN_UP.index(b.key)).name})
    return kept, conflicts, True


def _best(programme: Programme) -> tuple[Programme, Solved]:
    """Solve, giving up the wish for carbon to nitrogen where it is too dear."""
    solved = programme.solve()
    if solved is None:
        raise FitError("The mix found could not be settled. Change an amount a little, try again.")
    wishes = {b.name for b in programme.bounds if b.key == GIVEN_UP[0] and not b.firm}
    if not any(solved.prices[name].max() > 0.0 for name in wishes):
        return programme, solved
    free = programme.without(wishes)
    without = free.solve()
    if without is None or solved.value >= TOO_DEAR * without.value:
        return programme, solved
    return free, without


def _telling(bound: Bound) -> int:
    return TELLING.index(AMOUNT if bound.key.startswith(AMOUNT) else bound.key)


def _plan(
    setting: Setting,
    kept: Programme,
    solved: Solved,
    amounts: Floats,
    *,
    conflicts: tuple[Bound, ...],
    feasible: bool,
) -> ChargePlan:
    request = setting.request
    parts = [
        Part(lot.feedstock, float(kg)) for lot, kg in zip(request.lots, amounts[:-1], strict=True)
    ]
    mixed = blend(parts, float(amounts[-1]), temperature_c=request.slurry_c)
    relaxations = relaxations_of(setting, kept, solved) if feasible else ()
    limits = limit_results(setting, amounts, {r.key for r in relaxations})
    acid = next(limit.value for limit in limits if limit.key == "acid")
    expected = expectation(
        request, setting.numbers, mixed, amounts, factor=setting.factor, acid=acid
    )
    water_c = mixing_water_c(request, mixed)
    steps = work_steps(request, mixed, water_c)
    shown = {caution.key for step in steps for caution in step.cautions}
    bill = amounts_of(request, amounts)
    return ChargePlan(
        request=request,
        aim=setting.aim,
        feasible=feasible,
        sentence=_headline(setting, limits, relaxations, feasible=feasible),
        amounts=bill,
        blend=mixed,
        slurry_m3=mixed.volume_m3,
        gas_space_m3=request.vessel_m3 - mixed.volume_m3.value,
        limits=limits,
        relaxations=relaxations,
        conflicts=tuple(_named(setting, conflicts)),
        conflict_sentence=_conflict_sentence(setting, conflicts, nearest_found=True),
        notes=_notes(setting, mixed),
        expected=expected,
        water_c=water_c,
        steps=steps,
        cautions=tuple(c for c in all_cautions().values() if c.key in shown),
        cost=sum(amount.cost for amount in bill),
        temperature_factor=setting.factor,
    )


def _named(setting: Setting, bounds: tuple[Bound, ...]) -> list[str]:
    system = setting.request.system
    names = (side_name(setting.limits[b.key], b.side, system=system) for b in bounds)
    return list(dict.fromkeys(names))


def _conflict_sentence(
    setting: Setting, conflicts: tuple[Bound, ...], *, nearest_found: bool
) -> str:
    if not conflicts:
        return ""
    telling = tuple(b for b in conflicts if b.key != "food") or conflicts
    names = _named(setting, telling)
    if len(names) == 1:
        start = f"This cannot be met with what is at hand: {names[0]}."
    else:
        start = f"These cannot all be met with what is at hand: {listed(names)}."
    if not nearest_found:
        return f"{start} No mix comes near; change one of them or add another material."
    given_up = [b for b in telling if not b.firm]
    if given_up:
        first = min(given_up, key=lambda b: GIVEN_UP.index(b.key))
        name = setting.limits[first.key].name
        return f"{start} The limit on {name} was only wished for, and has been left aside."
    return start


def _headline(
    setting: Setting,
    limits: tuple[LimitResult, ...],
    relaxations: tuple[Relaxation, ...],
    *,
    feasible: bool,
) -> str:
    if not feasible:
        missed = [limit.name for limit in limits if limit.state == "missed"]
        return (
            "No mix of what is at hand keeps every limit. The nearest is shown; it misses "
            f"{listed(missed) if missed else 'one by a hair'}. Change something before filling."
        )
    holding = list(dict.fromkeys(setting.limits[r.key].name for r in relaxations))
    wished = [x.name for x in limits if x.state == "missed" and not _harmless(x, limits)]
    held = f"What holds the mix back: {listed(holding)}." if holding else ""
    if wished:
        return f"Wished for and missed: {listed(wished)}. {held}".strip()
    return held or "This mix keeps every limit, and none holds it back."


def _harmless(limit: LimitResult, limits: tuple[LimitResult, ...]) -> bool:
    """Say whether a missed wish needs no headline: nitrogen that the ammonia limit covers."""
    rich = limit.key == GIVEN_UP[0] and limit.low is not None and limit.value < limit.low
    return rich and all(x.headroom > 0.0 for x in limits if x.key == "ammonia")


def _notes(setting: Setting, mixed: Blend) -> tuple[str, ...]:
    notes = [
        f"Not counted for {what}, because the lot does not say: {listed(list(lots))}."
        for what, lots in setting.numbers.not_counted.items()
    ]
    # Missing buffer or microbes err on the safe side; missing ammonia does not.
    lacking = [
        part.feedstock.name
        for part in mixed.parts
        if part.mass_kg > 0.0
        and part.feedstock.get("TAN") is None
        and (nitrogen := part.feedstock.get("TKN")) is not None
        and nitrogen.value > 0.01
    ]
    if lacking:
        notes.append(f"Taken to bring no ammonia, because the lot does not say: {listed(lacking)}.")
    return tuple(notes)
