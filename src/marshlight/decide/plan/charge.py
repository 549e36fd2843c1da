"""Plan a charge: the best mix of what is at hand, what holds it back, what to expect."""

from collections.abc import Callable

import numpy as np

from marshlight.decide.plan.expect import expectation
from marshlight.decide.plan.findings import amounts_of, limit_results, relaxations_of
from marshlight.decide.plan.measures import Floats
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.plan.result import ChargePlan, LimitResult, Relaxation
from marshlight.decide.plan.setting import Setting, setting_for
from marshlight.decide.plan.solve import Bound, Programme, Solved, clash, nearest
from marshlight.decide.plan.steps import mixing_water_c, work_steps
from marshlight.decide.plan.words import listed, side_name
from marshlight.decide.safety import all_cautions
from marshlight.errors import InfeasibleError
from marshlight.matter.mixing import Blend, Part, blend

# Amounts below this share of the vessel's contents are not worth weighing out: taken as none.
TRACE = 1e-6


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
    >>> plan.feasible, plan.slurry_m3.value <= 0.025 * 0.6667
    (True, True)
    """
    setting = setting_for(request, temperature_factor or _process_factor)
    kept, solved = setting.programme, setting.programme.solve()
    left_out: set[tuple[str, str]] = set()
    conflicts: tuple[Bound, ...] = ()
    feasible = True
    while solved is None:
        found = clash(kept, [b.name for b in _by_worth(kept.bounds)])
        conflicts = conflicts or found
        wishes = {bound.name for bound in found if not bound.firm}
        if wishes:
            left_out |= wishes
            kept = kept.without(wishes)
        else:
            conflicts, feasible = found, False
            stretched = nearest(kept)
            if stretched is None:
                raise InfeasibleError(
                    _conflict_sentence(setting, conflicts, nearest_found=False),
                    conflicts=tuple(_named(setting, conflicts)),
                )
            kept = stretched
        solved = kept.solve()
    amounts = np.where(solved.amounts > TRACE * solved.amounts.sum(), solved.amounts, 0.0)
    return _plan(setting, kept, solved, amounts, conflicts=conflicts, feasible=feasible)


def _process_factor(temperature_c: float) -> float:
    from marshlight.process import temperature_factor

    return float(temperature_factor(temperature_c))


def _by_worth(bounds: tuple[Bound, ...]) -> list[Bound]:
    """Order bounds by how little they explain: facts first, wishes last to be left out."""
    return sorted(bounds, key=lambda b: (not b.fixed, b.firm))


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
    relaxations = relaxations_of(setting, kept, solved)
    limits = limit_results(setting, amounts, {r.key for r in relaxations})
    expected = expectation(request, setting.numbers, mixed, amounts, factor=setting.factor)
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
    return list(dict.fromkeys(side_name(setting.limits[b.key], b.side) for b in bounds))


def _conflict_sentence(
    setting: Setting, conflicts: tuple[Bound, ...], *, nearest_found: bool
) -> str:
    if not conflicts:
        return ""
    names = _named(setting, conflicts)
    if len(names) == 1:
        start = f"This cannot be met with what is at hand: {names[0]}."
    else:
        start = f"These cannot all be met with what is at hand: {listed(names)}."
    if not nearest_found:
        return f"{start} No mix comes near; change one of them or add another material."
    if all(not bound.firm for bound in conflicts):
        return f"{start} It was only wished for, and has been left aside."
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
    if not holding:
        return "This mix keeps every limit, and none holds it back."
    return f"What holds the mix back: {listed(holding)}."


def _notes(setting: Setting, mixed: Blend) -> tuple[str, ...]:
    notes = [
        f"Not counted for {what}, because the lot does not say: {listed(list(lots))}."
        for what, lots in setting.numbers.not_counted.items()
    ]
    # Missing buffer or microbes err on the safe side; missing ammonia does not.
    lacking = mixed.taken_as_none.get("TAN")
    if lacking:
        notes.append(
            f"Taken to bring no ammonia, because the lot does not say: {listed(list(lacking))}."
        )
    return tuple(notes)
