"""The diagnosis: competing explanations with probabilities, grounds, and the next test."""

from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.diagnosis.checks import Check, cheapest_check
from marshlight.decide.watch.diagnosis.explanations import AIR, CAUSES, HEALTHY, NO_TROUBLE, WEAK
from marshlight.decide.watch.diagnosis.grounds import fit_of, grounds_of, severity_of
from marshlight.decide.watch.diagnosis.souring import WARN, SouringRisk, souring_risk
from marshlight.decide.watch.diagnosis.weighing import Weighed, weigh
from marshlight.decide.watch.facts import Evidence
from marshlight.errors import require

# From here on a trouble is worth a visit: our choice, weighed in the benchmark of diagnoses so that
# healthy digesters raise less than one alarm in five months.
ALARM = 0.6
LIKELY, POSSIBLE = 0.6, 0.25
# Readings that fit two explanations within this factor do not tell them apart, where both are
# likely enough to matter; our choice.
_ALIKE, _MATTERS = 3.0, 0.05
# The log has said nothing about an explanation while its odds moved by less than this, natural
# log, and no reading that could show it was taken.
_UNMOVED = 0.7
_AIR_POSSIBLE = 0.02


@dataclass(frozen=True)
class Explanation:
    """One explanation.

    ``probability`` 0 to 1; ``standing`` is "likely", "possible", "unlikely" or "not known";
    ``severity`` says how bad in its likeliest worlds; ``check`` tells it from the next likeliest
    (None where nothing cheap does); ``by_when`` how fast it matters; ``caution`` are caution keys.
    """

    key: str
    words: str
    probability: float
    standing: str
    severity: str
    evidence: tuple[Evidence, ...]
    check: Check | None
    by_when: str
    caution: tuple[str, ...]


@dataclass(frozen=True)
class Diagnosis:
    """All explanations, likeliest first, and the risk of souring in the coming days.

    ``alike`` names explanations that the log does not tell apart, likeliest first, empty where
    one stands alone; ``sentence`` says it all in one or two sentences; ``trouble`` is the
    probability that something is wrong (to be spent is not), ``alarm`` true where that is likely
    enough for a visit.
    """

    day: float
    since: float
    explanations: tuple[Explanation, ...]
    alike: tuple[str, ...]
    sentence: str
    souring: SouringRisk
    trouble: float
    alarm: bool

    def __getitem__(self, key: str) -> Explanation:
        """Give one explanation by its key."""
        return next(e for e in self.explanations if e.key == key)

    @property
    def top(self) -> Explanation:
        """The likeliest."""
        return self.explanations[0]

    @property
    def top_trouble(self) -> Explanation:
        """The likeliest that is not health."""
        return next(e for e in self.explanations if e.key != HEALTHY)


def diagnose(
    log: RunLog, earlier: Lives, *, rng: np.random.Generator, ahead_days: float = 10.0
) -> Diagnosis:
    """Say what is going on: competing explanations of the newest stretch of a log.

    Parameters
    ----------
    log : RunLog
        The log up to today.
    earlier : Lives
        Calibrated to the log as it stood some days ago, see ``stand_on``; of a young run
        lives drawn from what is believed beforehand, at day 0. The readings since are what the
        explanations are held against.
    rng : numpy.random.Generator
        For the look ahead.
    ahead_days : float
        How far to look ahead for souring, 1 to 60 [d].

    Returns
    -------
    Diagnosis
        Explanations, likeliest first.

    Raises
    ------
    InputError
        When the lives do not stand before today.
    FitError
        When the lives cannot be run on.

    Notes
    -----
    Each life under each supposition (what, since when, how bad) is a world. A world's weight is
    how often such a trouble sets in, times how well it foresees every reading since; an
    explanation's probability is the weight of its worlds. What a life as logged has itself come
    to (sour, spent, held back by ammonia) names that world.

    References
    ----------
    trouble_rates, diagnosis_grid, diagnosis_misfit, gerardi_2003, rosso_1993
    """
    require(
        earlier.day < log.today,
        field="earlier",
        value=earlier.day,
        allowed=f"lives that stand before today, {log.today:g}",
        remedy="Calibrate the log as it stood about a week ago",
    )
    weighed = weigh(earlier, log)
    chances = {key: weighed.probability(key) for key in CAUSES}
    ranked = sorted(CAUSES, key=lambda key: -chances[key])
    alike = _alike(ranked, chances, weighed)
    standings = {key: _standing(key, chances[key], alike, weighed) for key in ranked}
    explanations = tuple(_explanation(key, ranked, chances, standings, weighed) for key in ranked)
    trouble = 1.0 - sum(chances[key] for key in NO_TROUBLE)
    risk = souring_risk(weighed, log, rng=rng, days=ahead_days)
    return Diagnosis(
        day=log.today,
        since=earlier.day,
        explanations=explanations,
        alike=alike,
        sentence=_sentence(explanations, alike, risk),
        souring=risk,
        trouble=trouble,
        alarm=trouble >= ALARM,
    )


def _explanation(
    key: str,
    ranked: list[str],
    chances: dict[str, float],
    standings: dict[str, str],
    weighed: Weighed,
) -> Explanation:
    rival = next(other for other in ranked if other != key)
    against = rival if key == HEALTHY else HEALTHY
    air_possible = chances[AIR] > _AIR_POSSIBLE or standings[AIR] == "not known"
    cause = CAUSES[key]
    return Explanation(
        key=key,
        words=cause.words,
        probability=chances[key],
        standing=standings[key],
        severity=severity_of(key, weighed),
        evidence=grounds_of(key, weighed, against),
        check=cheapest_check(key, rival, air_possible=air_possible),
        by_when=cause.by_when,
        caution=cause.caution,
    )


def _standing(key: str, chance: float, alike: tuple[str, ...], weighed: Weighed) -> str:
    if chance >= LIKELY:
        return "likely"
    # What the log does not tell from the likeliest is not unlikely, only rarer.
    if chance >= POSSIBLE or key in alike:
        return "possible"
    if key == HEALTHY:
        return "unlikely"
    shown_by = CAUSES[key].shown_by
    if key == WEAK:
        return "unlikely" if weighed.prior[WEAK] > 0.0 else "not known"
    if not weighed.seen.kinds & set(shown_by):
        return "not known"
    # What the log could have shown and did not move it is not known either.
    prior = weighed.prior[key]
    odds = np.log(max(chance, 1e-12) / max(1.0 - chance, 1e-12))
    began = np.log(max(prior, 1e-12) / max(1.0 - prior, 1e-12))
    return "not known" if prior > 0.0 and abs(odds - began) < _UNMOVED else "unlikely"


def _alike(ranked: list[str], chances: dict[str, float], weighed: Weighed) -> tuple[str, ...]:
    """What the readings do not tell from the likeliest, whatever is commoner."""
    top = ranked[0]
    if top == HEALTHY and chances[top] >= LIKELY:
        return ()
    least = fit_of(top, weighed) - np.log(_ALIKE)
    near = [key for key in ranked if chances[key] >= _MATTERS and fit_of(key, weighed) >= least]
    return tuple(near) if len(near) > 1 else ()


def _sentence(
    explanations: tuple[Explanation, ...], alike: tuple[str, ...], risk: SouringRisk
) -> str:
    top = explanations[0]
    if alike:
        named = "; ".join(
            f"{e.words} ({percent(e.probability)})" for e in explanations if e.key in alike
        )
        text = f"What is logged hardly tells these apart: {named}."
    else:
        text = f"It looks like this: {top.words} ({percent(top.probability)})."
    if risk.warned and top.key not in ("souring", "dose_gas"):
        text += (
            f" {risk.premise}, it may turn sour within {risk.days:.0f} days "
            f"({percent(risk.either)}): feed nothing until its pH has been read."
        )
    if risk.again is not None and risk.again >= WARN:
        text += (
            f" Given its last meal once more now, it may turn sour within {risk.days:.0f} days "
            f"({percent(risk.again)}): leave that out."
        )
    return text


def percent(chance: float) -> str:
    """A chance in words a person reads: never 0 or 100 %.

    Examples
    --------
    >>> percent(0.003), percent(0.52), percent(0.999)
    ('under 1 %', '52 %', 'over 99 %')
    """
    if chance < 0.01:
        return "under 1 %"
    return "over 99 %" if chance > 0.99 else f"{100 * chance:.0f} %"
