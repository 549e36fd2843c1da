"""Choosing among fitted curves by AICc, with the reason in words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.process.candidate import Candidate
from marshlight.process.curves import CURVES

# Differences in AICc below 2 leave rivals with substantial support, above 10
# with essentially none (source `burnham_anderson_2002`).
CLOSE = 2.0
HOPELESS = 10.0


@dataclass(frozen=True)
class Rival:
    """One line of the table of curves tried."""

    curve: str
    plain_name: str
    parameters: dict[str, float]
    rss: float
    aicc: float
    difference: float
    weight: float


@dataclass(frozen=True)
class Choice:
    """Curves worth averaging (weights sum to 1), best first; the table; the reason."""

    members: tuple[tuple[float, Candidate], ...]
    table: tuple[Rival, ...]
    reason: str


def choose(fitted: Sequence[Candidate], *, asked: str = "auto") -> Choice:
    """Rank fitted curves and keep those the data can't rule out.

    Parameters
    ----------
    fitted : sequence of Candidate
        At least one.
    asked : str
        "auto", or the name of the curve the user asked for.

    Returns
    -------
    Choice
        Members with Akaike weights, the table, and the reason in words.

    References
    ----------
    burnham_anderson_2002
    """
    settled = [c for c in fitted if not _ran_away(c)] or list(fitted)
    ranked = sorted(settled, key=lambda c: (c.aicc, len(c.model.parameters), c.model.name))
    scores = np.array([c.aicc for c in ranked])
    if np.isinf(scores[0]):
        # Too few data for the criterion: the simplest curve, and no pretence of a comparison.
        difference = np.where(np.arange(scores.size) == 0, 0.0, np.inf)
    else:
        difference = scores - scores[0]
    weight = np.exp(-0.5 * difference)
    weight = weight / weight.sum()
    table = tuple(
        Rival(
            curve=c.model.name,
            plain_name=CURVES[c.model.name].plain_name if c.model.name in CURVES else c.model.name,
            parameters={
                p.name: float(v) for p, v in zip(c.model.parameters, c.parameters, strict=True)
            },
            rss=c.solution.rss,
            aicc=c.aicc,
            difference=float(d),
            weight=float(w),
        )
        for c, d, w in zip(ranked, difference, weight, strict=True)
    )
    kept = [(float(w), c) for w, c, d in zip(weight, ranked, difference, strict=True)
            if d <= HOPELESS]  # fmt: skip
    total = sum(w for w, _ in kept)
    return Choice(
        members=tuple((w / total, c) for w, c in kept),
        table=table,
        reason=_reason(table, asked),
    )


def _ran_away(fit: Candidate) -> bool:
    """Whether a total, rate or shape ended on its bound: then the curve describes nothing."""
    return any(
        stuck and parameter.name != "lag"
        for parameter, stuck in zip(fit.model.parameters, fit.solution.at_bound, strict=True)
    )


def _reason(table: Sequence[Rival], asked: str) -> str:
    best = table[0]
    if asked != "auto":
        return f"The curve asked for, {best.plain_name}, was the only one tried."
    if np.isinf(best.aicc):
        return (
            f"There are too few readings to compare curves: {best.plain_name} is used because it "
            "is the simplest."
        )
    if len(table) == 1:
        return f"The only curve these readings can support is {best.plain_name}."
    second = table[1]
    close = [r.plain_name for r in table[1:] if r.difference <= CLOSE]
    if close:
        return (
            f"Of the curves, {best.plain_name} fits best for its number of parameters, but the "
            f"readings do not rule out {_listed(close)} (AICc within {CLOSE:g}); the forecast "
            "averages them."
        )
    return (
        f"Of the curves, {best.plain_name} fits best for its number of parameters; the next, "
        f"{second.plain_name}, is {second.difference:.1f} AICc points worse."
    )


def _listed(names: Sequence[str]) -> str:
    if len(names) == 1:
        return names[0]
    return ", ".join(names[:-1]) + " or " + names[-1]
