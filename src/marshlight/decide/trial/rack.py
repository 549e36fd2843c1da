"""A rack read bottle by bottle: what is odd about a round, said while one stands there."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

# Our choices: a doubt asks a question and stops nothing.
_FAST = 3.0
_SLOW = 0.5
_SWAP_FIT = 0.15
_SWAP_OFF = 0.35


@dataclass(frozen=True)
class Step:
    """One bottle's gas since the round before, in any unit that all bottles share.

    ``before`` is its gas a day in the round before, in the same unit, or None; ``days`` since
    the last reading.
    """

    label: str
    group: str
    amount: float
    days: float
    before: float | None = None


@dataclass(frozen=True)
class RoundDoubt:
    """A question about a round: which bottles, and the sentence."""

    labels: tuple[str, ...]
    text: str


def round_doubts(steps: Sequence[Step]) -> tuple[RoundDoubt, ...]:
    """Question a round of readings.

    Parameters
    ----------
    steps : sequence of Step
        Every bottle that was read.

    Returns
    -------
    tuple of RoundDoubt
        Readings that look exchanged first, then impossible steps, then bottles behind.

    Notes
    -----
    Gas can't go backwards; three times the gas of the replicates, or less than half of it when
    the bottle kept up before, is questioned.  Two bottles whose readings would each suit the
    other's replicates are asked about as a pair, once.
    """
    doubts = list(_exchanged(steps))
    asked = {label for doubt in doubts for label in doubt.labels}
    for step in steps:
        if step.label in asked:
            continue
        text = _impossible(step, steps)
        if text:
            doubts.append(RoundDoubt((step.label,), text))
    return tuple(doubts)


def _rate(step: Step) -> float:
    return step.amount / step.days if step.days > 0.0 else float("nan")


def _others(step: Step, steps: Sequence[Step]) -> float | None:
    rates = [_rate(s) for s in steps if s.group == step.group and s.label != step.label]
    # Gas that went backwards tells nothing of how the others should stand.
    rates = [r for r in rates if np.isfinite(r) and r >= 0.0]
    return float(np.median(rates)) if len(rates) >= 2 else None


def _impossible(step: Step, steps: Sequence[Step]) -> str:
    if step.amount < 0.0:
        return f"{step.label}: less gas than before. Was it let off, or is it another bottle?"
    usual = _others(step, steps)
    rate = _rate(step)
    if usual is None or usual <= 0.0 or not np.isfinite(rate):
        return ""
    if rate > _FAST * usual:
        return (
            f"{step.label}: {rate / usual:.1f} times the gas of its replicates. A slip of the pen?"
        )
    kept_up = step.before is None or step.before > 0.0
    if kept_up and rate < _SLOW * usual:
        return (
            f"{step.label}: {rate / usual * 100:.0f} % of its replicates' gas. "
            "Is the stopper tight, was the gas let off before?"
        )
    return ""


def _exchanged(steps: Sequence[Step]) -> list[RoundDoubt]:
    found: list[tuple[float, RoundDoubt]] = []
    for a, b in combinations(steps, 2):
        usual_a, usual_b = _others(a, steps), _others(b, steps)
        if a.group == b.group or not usual_a or not usual_b or min(usual_a, usual_b) <= 0.0:
            continue
        off = min(abs(_rate(a) / usual_a - 1.0), abs(_rate(b) / usual_b - 1.0))
        fit = max(abs(_rate(a) / usual_b - 1.0), abs(_rate(b) / usual_a - 1.0))
        if off > _SWAP_OFF and fit < _SWAP_FIT:
            text = (
                f"{a.label} and {b.label}: each reading would suit the other's replicates. Swapped?"
            )
            found.append((fit, RoundDoubt((a.label, b.label), text)))
    found.sort(key=lambda pair: pair[0])
    taken: set[str] = set()
    kept = []
    for _, doubt in found:
        if not taken & set(doubt.labels):
            kept.append(doubt)
            taken |= set(doubt.labels)
    return kept
