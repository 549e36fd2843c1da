"""A planned charge as lines that a page or a terminal can lay out."""

from dataclasses import dataclass
from math import isfinite

from marshlight.decide.plan import Amount, ChargePlan, LimitResult, limits_for
from marshlight.decide.plan.words import AMOUNT, allowed, day_range, shown
from marshlight.units import number, show, show_estimate, show_range

_LEAST_BUCKETS = 0.1


@dataclass(frozen=True)
class AmountLine:
    """How much of one material: by mass, by volume as heaped, by buckets, of what is at hand."""

    name: str
    role: str
    mass: str
    bulk: str
    buckets: str
    at_hand: str
    mass_kg: float


@dataclass(frozen=True)
class AmountLines:
    """All materials that go in, and the whole."""

    amounts: tuple[AmountLine, ...]
    together: str


@dataclass(frozen=True)
class LimitLine:
    """One limit as a bar: ``at`` is where the mix stands from 0 to 1 along the drawn span."""

    key: str
    name: str
    meaning: str
    value: str
    allowed: str
    state: str
    headroom: str
    at: float
    low_at: float
    high_at: float
    sentence: str
    source_low: str
    source_high: str


@dataclass(frozen=True)
class ExpectationLine:
    """One expectation: what, and how much or when."""

    what: str
    value: str


@dataclass(frozen=True)
class StepCaution:
    """A caution at its step; its reason only the first time it is met on the card."""

    text: str
    why: str


@dataclass(frozen=True)
class StepLine:
    """One step of the work with what can hurt in it."""

    text: str
    why: str
    cautions: tuple[StepCaution, ...]


def step_lines(plan: ChargePlan) -> tuple[StepLine, ...]:
    """Lay out the order of work; a reason that was given is not given again.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    """
    met: set[str] = set()
    lines = []
    for step in plan.steps:
        cautions = []
        for caution in step.cautions:
            ask = f" Ask {caution.ask}." if caution.ask else ""
            cautions.append(
                StepCaution(caution.text, "" if caution.key in met else f"{caution.why}{ask}")
            )
            met.add(caution.key)
        lines.append(StepLine(step.text, step.why, tuple(cautions)))
    return tuple(lines)


def amount_lines(plan: ChargePlan, system: str) -> AmountLines:
    """Lay out the amounts, in the reader's units.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    system : str
        "metric" or "us".
    """
    share = plan.slurry_m3.value / plan.request.vessel_m3
    together = (
        f"{show(plan.blend.mass_kg.value, 'mass', system=system)} in all, "
        f"{show_estimate(plan.slurry_m3, 'volume', system=system)} of slurry; "
        f"the vessel is {number(share * 100, 2)} % full."
    )
    taken = tuple(_amount(a, plan, system) for a in plan.amounts if a.mass_kg > 0.0)
    return AmountLines(taken, together)


def _amount(amount: Amount, plan: ChargePlan, system: str) -> AmountLine:
    bucket = show(plan.request.bucket_m3, "volume", system=system, digits=2)
    at_hand = amount.at_hand_kg
    of_hand = ""
    if at_hand is not None and isfinite(at_hand) and at_hand > 0.0:
        of_hand = f"of {show(at_hand, 'mass', system=system)}"
    bulk = amount.bulk_m3
    return AmountLine(
        name=amount.name,
        role=amount.role,
        mass=show(amount.mass_kg, "mass", system=system),
        bulk="" if bulk is None else show(bulk, "volume", system=system, digits=2),
        buckets=_buckets(amount.buckets, bucket),
        at_hand=of_hand,
        mass_kg=amount.mass_kg,
    )


def _buckets(count: float | None, bucket: str) -> str:
    """Count buckets; a splash in a bucket is better weighed."""
    if count is None or count < _LEAST_BUCKETS:
        return ""
    return f"{number(count, 2)} × {bucket}"


def cost_line(plan: ChargePlan, currency: str) -> str:
    """Say what the charge costs or earns; empty where nothing has a price.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    currency : str
        As the site writes it; may be empty.
    """
    if not plan.cost:
        return ""
    words = "It costs" if plan.cost > 0.0 else "Taking it earns"
    return f"{words} {abs(plan.cost):.2f} {currency}".strip() + "."


def limit_lines(plan: ChargePlan) -> tuple[LimitLine, ...]:
    """Lay out every limit with its headroom; the amounts at hand are shown with the amounts."""
    known = limits_for(plan.request.aim, plan.request.limits)
    return tuple(
        _limit(result, known[result.key])
        for result in plan.limits
        if not result.key.startswith(AMOUNT)
    )


def _limit(result: LimitResult, limit: object) -> LimitLine:
    span = _span(result)

    def place(value: float | None, otherwise: float) -> float:
        if value is None or not isfinite(value):
            return otherwise
        return min(max(value / span, 0.0), 1.0)

    return LimitLine(
        key=result.key,
        name=result.name,
        meaning=result.meaning,
        value=shown(limit, result.value),  # type: ignore[arg-type]
        allowed=allowed(limit),  # type: ignore[arg-type]
        state=result.state,
        headroom=_headroom(result.headroom),
        at=place(result.value, 1.0),
        low_at=place(result.low, 0.0),
        high_at=place(result.high, 1.0),
        sentence=result.sentence,
        source_low=result.source_low,
        source_high=result.source_high,
    )


def _headroom(share: float) -> str:
    """Say how far off the nearer end is; a bar that is far from full needs no digits."""
    if not isfinite(share) or share < 0.0:
        return ""
    if share < 0.005:
        return "none"
    return "ample" if share > 1.0 else f"{number(share * 100, 2)} %"


def _span(result: LimitResult) -> float:
    """Choose the bar's full length: a third beyond the farthest of value and ends."""
    ends = [v for v in (result.low, result.high, result.value) if v is not None and isfinite(v)]
    return max([abs(v) for v in ends], default=1.0) * 1.33 or 1.0


def expectation_lines(plan: ChargePlan, system: str) -> tuple[ExpectationLine, ...]:
    """Lay out what the charge should do; empty where a material says too little."""
    expected = plan.expected
    if expected is None:
        return ()
    low, high = expected.methane_share.interval(0.95)
    best = expected.best_day_biogas_m3
    lines = [
        ("first gas", day_range(expected.first_gas_day.low, expected.first_gas_day.high)),
        ("gas that holds a flame", day_range(expected.flame_day.low, expected.flame_day.high)),
        ("best day", day_range(expected.best_day.low, expected.best_day.high)),
        ("gas on the best day", show_range(best.low, best.high, "volume", system=system)),
        ("gas in the end", show_estimate(expected.biogas_m3, "volume", system=system)),
        ("methane in it", show_estimate(expected.methane_m3, "volume", system=system)),
        ("methane share", show_range(max(low, 0.0), min(high, 1.0), "fraction")),
    ]
    fills = expected.holder_fills_on_best_day
    if fills is not None:
        lines.append(("holder fills on the best day", f"{number(fills, 2)} times"))
    return tuple(ExpectationLine(what, value) for what, value in lines)
