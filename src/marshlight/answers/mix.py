"""The mixing page and command: what is at hand in, a charge with its limits and run card out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from marshlight.answers.mix_lines import (
    AmountLine,
    ExpectationLine,
    LimitLine,
    amount_lines,
    expectation_lines,
    limit_lines,
)
from marshlight.decide.plan import (
    ChargePlan,
    ChargeRequest,
    LotAtHand,
    RunCard,
    aims,
    limits_for,
    plan_charge,
    run_card,
)
from marshlight.decide.safety import Caution
from marshlight.errors import InputError, raise_all, require
from marshlight.notebook.bridge.feedstocks import library_feedstock, lot_as_kept, own_feedstock
from marshlight.notebook.models import Feedstock as OwnFeedstock
from marshlight.notebook.models import Lot as LotRow
from marshlight.notebook.models import Vessel
from marshlight.notebook.setting_up import found
from marshlight.notebook.setting_up.making import find_material
from marshlight.units import parse

MOST_LOTS = 24


@dataclass(frozen=True)
class MixLot:
    """One material at hand, as typed: a lot's name or id, or a material; empty amounts are open."""

    material: str
    at_hand: str = ""
    exactly: str = ""
    price: str = ""
    role: str = "auto"


@dataclass(frozen=True)
class MixAsk:
    """A question to the planner, as typed; bare numbers take the stated units of the page.

    ``limits`` maps a limit's key to its low and high end as typed; empty leaves an end as it is.
    """

    vessel: str
    lots: tuple[MixLot, ...]
    slurry: str = "38 degC"
    aim: str = "most_gas"
    water: str = ""
    limits: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    bucket: str = "10 L"
    holder: str = ""
    materials: str = "15 degC"
    title: str = ""


@dataclass(frozen=True)
class MixAnswer:
    """The mix: the sentence first, then amounts, limits, what to expect, cautions and the card.

    ``charge_parts`` and ``water`` are what a run's charge event needs to keep this mix.
    """

    sentence: str
    feasible: bool
    aim: str
    amounts: tuple[AmountLine, ...]
    together: str
    limits: tuple[LimitLine, ...]
    binding: tuple[str, ...]
    gains: tuple[str, ...]
    conflict: str
    expectation: tuple[ExpectationLine, ...]
    basis: str
    ageing: tuple[str, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    card: RunCard
    charge_parts: tuple[Mapping[str, str], ...]
    water: str
    sources: tuple[str, ...]


@dataclass(frozen=True)
class _Held:
    """A material found in the notebook or the library, ready for the planner."""

    lot: LotAtHand
    part: Mapping[str, str]
    ageing: str


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
    held = _held(ask, today)
    plan = plan_charge(_request(ask, held))
    return _answer(ask, plan, held, system)


def vessel_volume(text: str) -> float:
    """Read a vessel: a volume such as "25 L", or the name of one that is set up [m3]."""
    try:
        return parse(text, "volume", field="vessel", unit="L", minimum=1e-4)
    except InputError as not_a_volume:
        if not Vessel.objects.in_use().filter(name__icontains=text.strip()).exists():
            raise InputError(
                "vessel",
                text,
                "a volume such as 25 L, or the name of a vessel that is set up",
                "Give one of these",
            ) from not_a_volume
    return float(found("vessel", text).volume_m3)


def _held(ask: MixAsk, today: date) -> tuple[_Held, ...]:
    named = [lot for lot in ask.lots if lot.material.strip()]
    require(
        0 < len(named) <= MOST_LOTS,
        field="materials at hand",
        value=len(named),
        allowed=f"1 to {MOST_LOTS}",
        remedy="Name what there is to put in",
    )
    kept: list[_Held] = []
    problems: list[InputError] = []
    for i, lot in enumerate(named):
        try:
            kept.append(_one(lot, i, today))
        except InputError as problem:
            problems.append(problem)
    raise_all(problems)
    return tuple(kept)


def _one(typed: MixLot, index: int, today: date) -> _Held:
    row = _lot_row(typed.material)
    if row is not None:
        kept = lot_as_kept(row, today)
        part: dict[str, str] = {"lot": str(row.pk)}
        aged = kept.ageing
        feedstock, name = aged.feedstock, row.name
        ageing = f"{name}: {aged.sentence}" if kept.age_d > 0.0 else ""
        at_hand, price = row.amount_kg, row.cost_per_kg or 0.0
    else:
        material = find_material(typed.material)
        own = isinstance(material, OwnFeedstock)
        feedstock = own_feedstock(material) if own else library_feedstock(str(material))
        part = {"feedstock": feedstock.key}
        name, ageing, at_hand, price = feedstock.name, "", None, 0.0
    amount = _mass(typed.at_hand, f"at hand, {name}")
    exactly = _mass(typed.exactly, f"exactly, {name}")
    available = amount if amount is not None else at_hand
    lot = LotAtHand(
        feedstock,
        available_kg=float("inf") if available is None else max(available, exactly or 0.0),
        key=f"{index}:{name}",
        price_per_kg=_price(typed.price, name, price),
        fixed_kg=exactly,
        role=typed.role or "auto",
    )
    return _Held(lot, part, ageing)


def _lot_row(text: str) -> LotRow | None:
    wanted = text.strip()
    lots = LotRow.objects.in_use()
    named = lots.filter(name__iexact=wanted).first()
    if named is None and len(wanted) == 36:
        named = next((lot for lot in lots if str(lot.pk) == wanted), None)
    return named


def _mass(text: str, name: str) -> float | None:
    return parse(text, "mass", field=name, unit="kg") if text.strip() else None


def _price(text: str, name: str, kept: float) -> float:
    return parse(text, "money", field=f"price of {name}") if text.strip() else kept


def _request(ask: MixAsk, held: Sequence[_Held]) -> ChargeRequest:
    problems: list[InputError] = []

    def read(text: str, quantity: str, name: str, unit: str) -> float | None:
        if not text.strip():
            return None
        try:
            return parse(text, quantity, field=name, unit=unit)
        except InputError as problem:
            problems.append(problem)
            return None

    def vessel() -> float:
        try:
            return vessel_volume(ask.vessel)
        except InputError as problem:
            problems.append(problem)
            return 1.0

    asked: dict[str, Any] = {
        "vessel_m3": vessel(),
        "slurry_c": read(ask.slurry, "temperature", "slurry temperature", "degC"),
        "materials_c": read(ask.materials, "temperature", "temperature of the materials", "degC"),
        "water_fixed_kg": read(ask.water, "mass" if "g" in ask.water else "volume", "water", "L"),
        "bucket_m3": read(ask.bucket, "volume", "bucket", "L"),
        "holder_m3": read(ask.holder, "volume", "gas holder", "L"),
    }
    limits = {key: _ends(ask.aim, key, ends, problems) for key, ends in ask.limits.items()}
    raise_all(problems)
    if asked["water_fixed_kg"] is not None and "g" not in ask.water:
        asked["water_fixed_kg"] *= 1000.0  # litres of water weigh a kilogram each
    given = {name: value for name, value in asked.items() if value is not None}
    kept = {key: ends for key, ends in limits.items() if ends != (None, None)}
    given.setdefault("slurry_c", 38.0)
    return ChargeRequest(lots=tuple(h.lot for h in held), aim=ask.aim, limits=kept, **given)


def _ends(
    aim: str, key: str, ends: tuple[str, str], problems: list[InputError]
) -> tuple[float | None, float | None]:
    """Read the ends of a limit in its everyday unit."""
    try:
        known = limits_for(aim)
        require(
            key in known,
            field="limit",
            value=key,
            allowed=", ".join(known),
            remedy="Use one of these names",
        )
        limit = known[key]
        unit = {"fraction": "%", "concentration": "g/L"}.get(limit.unit)
        low, high = (
            parse(end, limit.unit, field=f"limit on {limit.name}", unit=unit)
            if end.strip()
            else None
            for end in ends
        )
    except InputError as problem:
        problems.append(problem)
        return None, None
    return low, high


def _answer(ask: MixAsk, plan: ChargePlan, held: Sequence[_Held], system: str) -> MixAnswer:
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
        limits=limit_lines(plan),
        binding=tuple(limit.sentence for limit in plan.binding),
        gains=tuple(relaxation.sentence for relaxation in plan.relaxations),
        conflict=plan.conflict_sentence,
        expectation=expectation_lines(plan, system),
        basis=plan.expected.basis if plan.expected else "",
        ageing=tuple(h.ageing for h in held if h.ageing),
        notes=plan.notes,
        cautions=plan.cautions,
        card=run_card(plan, title=ask.title or "Charge", system=system),
        charge_parts=parts,
        water=f"{plan.water_kg:.6g} L",
        sources=plan.sources,
    )
