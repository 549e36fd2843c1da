"""The run card: a plan as sections of lines, ready to print."""

from dataclasses import dataclass
from textwrap import fill

from marshlight.decide.plan.result import Amount, ChargePlan, Step
from marshlight.units import number, show, show_estimate

WIDTH = 78


@dataclass(frozen=True)
class CardSection:
    """One section of the card: a title and its lines; ``kind`` tells a page how to show it."""

    kind: str
    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class RunCard:
    """What hangs beside the vessel: amounts, work, limits, what to expect, cautions."""

    title: str
    sentence: str
    sections: tuple[CardSection, ...]


def run_card(plan: ChargePlan, *, title: str = "Charge", system: str | None = None) -> RunCard:
    """Lay a plan out as a run card.

    Parameters
    ----------
    plan : ChargePlan
        The plan.
    title : str
        What the card is headed with, for example the vessel's name.
    system : {"metric", "us"}, optional
        Units to print; those of the request if not given.

    Returns
    -------
    RunCard
        Sections amounts, limits, work, expectation, and cautions; work carries the cautions of its
        steps as well, so none is far from its hazard.
    """
    system = system or plan.request.system
    sections = [
        CardSection("amounts", "What goes in", _amount_lines(plan, system)),
        CardSection("limits", "Limits", _limit_lines(plan)),
        CardSection("work", "Order of work", _work_lines(plan.steps)),
        CardSection("expectation", "What to expect", _expectation_lines(plan, system)),
        CardSection(
            "cautions",
            "Cautions",
            tuple(
                f"{c.text} {c.why}" + (f" Ask: {c.ask}." if c.ask else "") for c in plan.cautions
            ),
        ),
    ]
    if plan.notes:
        sections.insert(4, CardSection("notes", "Left out", plan.notes))
    return RunCard(title, plan.sentence, tuple(sections))


def run_card_text(card: RunCard, *, width: int = WIDTH) -> str:
    """Print a run card as plain text.

    Parameters
    ----------
    card : RunCard
        The card.
    width : int
        Characters in a line, 40 or more.

    Returns
    -------
    str
        Lines ending in a line break.
    """
    blocks = [card.title, "=" * len(card.title), fill(card.sentence, width), ""]
    for section in card.sections:
        blocks += [section.title, "-" * len(section.title)]
        for line in section.lines:
            indent = "      " if line.startswith("    ") else "  "
            first = line[:4] if line.startswith("    ") else ""
            blocks.append(fill(line.strip(), width, initial_indent=first, subsequent_indent=indent))
        blocks.append("")
    return "\n".join(blocks)


def _amount_lines(plan: ChargePlan, system: str) -> tuple[str, ...]:
    lines: list[str] = []
    said: set[str] = set()
    for amount in plan.amounts:
        if amount.mass_kg > 0.0:
            lines.append(_amount_line(amount, plan, system))
            lines += [f"    ! {text}" for text in amount.cautions if text not in said]
            said.update(amount.cautions)
    fill_share = plan.slurry_m3.value / plan.request.vessel_m3
    lines.append(
        f"Together {show(plan.blend.mass_kg.value, 'mass', system=system)}, "
        f"{show_estimate(plan.slurry_m3, 'volume', system=system)} of slurry: the vessel is "
        f"{number(fill_share * 100, 2)} % full."
    )
    if plan.cost:
        word = "Cost" if plan.cost > 0 else "Fees earned"
        lines.append(f"{word}: {abs(plan.cost):.2f}")
    return tuple(lines)


def _amount_line(amount: Amount, plan: ChargePlan, system: str) -> str:
    text = f"{amount.name}: {show(amount.mass_kg, 'mass', system=system)}"
    if amount.bulk_m3 is not None and amount.buckets is not None:
        bucket = show(plan.request.bucket_m3, "volume", system=system, digits=2)
        text += (
            f" = {show(amount.bulk_m3, 'volume', system=system, digits=2)}"
            f" = {number(amount.buckets, 2)} buckets of {bucket}"
        )
    return text


def _limit_lines(plan: ChargePlan) -> tuple[str, ...]:
    lines = [limit.sentence for limit in plan.limits if not limit.key.startswith("amount:")]
    if plan.conflict_sentence:
        lines.append(plan.conflict_sentence)
    return (*lines, *(relaxation.sentence for relaxation in plan.relaxations))


def _work_lines(steps: tuple[Step, ...]) -> tuple[str, ...]:
    lines: list[str] = []
    seen: set[str] = set()
    for i, step in enumerate(steps, start=1):
        lines.append(f"{i}. {step.text} {step.why}")
        for caution in step.cautions:
            lines.append(
                f"    ! {caution.text}" + ("" if caution.key in seen else f" {caution.why}")
            )
            seen.add(caution.key)
    return tuple(lines)


def _expectation_lines(plan: ChargePlan, system: str) -> tuple[str, ...]:
    expected = plan.expected
    if expected is None:
        return ("Not known: a lot in the mix lacks its methane potential, rate or make-up.",)
    share = expected.methane_share
    return (
        f"Gas in the end: {show_estimate(expected.biogas_m3, 'volume', system=system)}, of which "
        f"methane {show_estimate(expected.methane_m3, 'volume', system=system)} (dry, 0 °C, "
        "101.325 kPa).",
        f"Methane in the gas in the end, by make-up alone: {number(share.value * 100, 2)} %. "
        "Carbon dioxide dissolves too, so the gas is often richer.",
        *expected.sentences,
        f"Gas space: {show(expected.gas_space_m3, 'volume', system=system)}.",
        expected.basis,
    )
