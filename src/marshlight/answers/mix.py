"""The mixing page and command: what is at hand in, a charge with its limits and run card out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from marshlight.answers.mix_lines import (
    AmountLine,
    ExpectationLine,
    LimitLine,
    StepLine,
    amount_lines,
    cost_line,
    expectation_lines,
    limit_lines,
    step_lines,
)
from marshlight.answers.mix_reading import (
    Held,
    MixAsk,
    MixLot,
    Slips,
    read_lots,
    read_request,
    vessel_volume,
)
from marshlight.decide.plan import ChargePlan, RunCard, aims, plan_charge, run_card
from marshlight.decide.safety import Caution
from marshlight.errors import InputError, raise_all
from marshlight.notebook.models import Site
from marshlight.units import show

__all__ = ["MixAnswer", "MixAsk", "MixLot", "Tried", "mix", "try_mix", "vessel_volume"]


@dataclass(frozen=True)
class MixAnswer:
    """The mix: the sentence first, then amounts, limits, what to expect, cautions and the card.

    ``charge_parts`` and ``water`` are what a run's charge event needs to keep this mix;
    ``vessel_m3`` and ``slurry_m3`` are what its drawing needs.
    """

    sentence: str
    feasible: bool
    aim: str
    amounts: tuple[AmountLine, ...]
    together: str
    left_out: tuple[str, ...]
    cost: str
    limits: tuple[LimitLine, ...]
    binding: tuple[str, ...]
    gains: tuple[str, ...]
    conflict: str
    expectation: tuple[ExpectationLine, ...]
    basis: str
    ageing: tuple[str, ...]
    notes: tuple[str, ...]
    steps: tuple[StepLine, ...]
    cautions: tuple[Caution, ...]
    card: RunCard
    charge_parts: tuple[Mapping[str, str], ...]
    water: str
    vessel_m3: float
    slurry_m3: float
    sources: tuple[str, ...]

    @property
    def cautions_beyond_the_work(self) -> tuple[Caution, ...]:
        """Give the cautions that no step of the work carries."""
        at_steps = {caution.text for step in self.steps for caution in step.cautions}
        return tuple(caution for caution in self.cautions if caution.text not in at_steps)


@dataclass(frozen=True)
class Tried:
    """The mix, or what stands in its way by the field it was typed in ("" for the whole)."""

    answer: MixAnswer | None
    problems: Mapping[str, InputError]


def mix(ask: MixAsk, *, today: date, system: str = "metric") -> MixAnswer:
    """Answer "what do I put in?".

    Parameters
    ----------
    ask : MixAsk
        What is at hand and wanted, as typed.
    today : date
        The day it is mixed: lots age until then.
    system : str
        "metric" or "us".

    Returns
    -------
    MixAnswer
        Feasible or the nearest that is; every limit with its headroom.

    Raises
    ------
    InputError
        If one field cannot be used.
    InputErrors
        If more than one cannot.
    InfeasibleError
        If no mix exists even with the limits stretched.
    """
    tried = try_mix(ask, today=today, system=system)
    raise_all(list(tried.problems.values()))
    assert tried.answer is not None
    return tried.answer


def try_mix(ask: MixAsk, *, today: date, system: str = "metric") -> Tried:
    """Answer like `mix`, but give what cannot be used beside the name of its field.

    Parameters
    ----------
    ask : MixAsk
        What is at hand and wanted, as typed.
    today : date
        The day it is mixed.
    system : str
        "metric" or "us".

    Returns
    -------
    Tried
        An answer, or at least one problem.

    Raises
    ------
    InfeasibleError
        If no mix exists even with the limits stretched.
    """
    slips = Slips()
    held = read_lots(ask, today, slips)
    request = read_request(ask, held, slips)
    plan = None if request is None else slips.read("", lambda: plan_charge(request))
    if plan is None:
        return Tried(None, slips.by_field)
    return Tried(_answer(ask, plan, held, system), {})


def _answer(ask: MixAsk, plan: ChargePlan, held: Sequence[Held], system: str) -> MixAnswer:
    by_key = {h.lot.key: h for h in held}
    parts = tuple(
        {**by_key[a.key].part, "mass": f"{a.mass_kg:.6g} kg"}
        for a in plan.amounts
        if a.key in by_key and a.mass_kg > 0.0
    )
    lines = amount_lines(plan, system)
    return MixAnswer(
        sentence=plan.sentence,
        feasible=plan.feasible,
        aim=aims()[ask.aim].name,
        amounts=lines.amounts,
        together=lines.together,
        left_out=tuple(a.name for a in plan.amounts if a.mass_kg <= 0.0 and a.key in by_key),
        cost=cost_line(plan, _currency()),
        limits=limit_lines(plan),
        binding=tuple(limit.sentence for limit in plan.binding),
        gains=tuple(relaxation.sentence for relaxation in plan.relaxations),
        conflict=plan.conflict_sentence,
        expectation=expectation_lines(plan, system),
        basis=plan.expected.basis if plan.expected else "",
        ageing=tuple(h.ageing for h in held if h.ageing),
        notes=plan.notes,
        steps=step_lines(plan),
        cautions=plan.cautions,
        card=run_card(plan, title=ask.title or _untitled(plan, system), system=system),
        charge_parts=parts,
        water=f"{plan.water_kg:.6g} L",
        vessel_m3=plan.request.vessel_m3,
        slurry_m3=plan.slurry_m3.value,
        sources=plan.sources,
    )


def _untitled(plan: ChargePlan, system: str) -> str:
    return f"a vessel of {show(plan.request.vessel_m3, 'volume', system=system)}"


def _currency() -> str:
    site = Site.objects.in_use().first()
    return str(site.currency) if site is not None else ""
