"""The assessment: one state word, one sentence, at most three pieces of advice."""

from dataclasses import replace

from marshlight.decide.watch.facts import Advice, Assessment, RunFacts
from marshlight.decide.watch.gas import Stretch, newest_stretches
from marshlight.decide.watch.lifecycle import in_sight
from marshlight.decide.watch.remedies import reasons, remedies
from marshlight.decide.watch.routine import (
    after_a_dose,
    first_gas,
    holder_full,
    hot_reading,
    next_reading,
    renew,
    too_much_feed,
)
from marshlight.decide.watch.stage import UNKNOWN, stage
from marshlight.decide.watch.suspicion import Suspicion, settle
from marshlight.decide.watch.troubles import LIKELY, POSSIBLE, Trouble, weigh_troubles

MOST_ADVICE = 3
# Still "likely", no longer "almost certain": as sure as signs may be of what the process model
# cannot tell from another trouble. Our choice.
_MOST_IF_SHARED = 0.85


def assess(facts: RunFacts, *, suspicion: Suspicion | None = None) -> Assessment:
    """Say how a run is and what to do.

    Parameters
    ----------
    facts : RunFacts
        What is known today.
    suspicion : Suspicion, optional
        What the diagnosis by the process model suspects, if anything is worth a visit.

    Returns
    -------
    Assessment
        State word, one sentence, at most three pieces of advice (most urgent
        first, none if there is nothing to do), the evidence weighed, the day of the
        next look, and what was done or put off and is out of sight for now.

    Notes
    -----
    A trouble is named as the state when it is likely; when it is only possible,
    the state stays what the gas says and the advice is to look. A suspicion brings its
    test, unless the signs name the same trouble and its remedies already; where it cannot tell
    that trouble from another, the state is no more than likely.

    References
    ----------
    watch_weights, gerardi_2003, bmp_requirements_2020, feed_limit_practice

    Examples
    --------
    >>> assess(RunFacts(day=9.0)).state_word
    'not enough known'
    """
    stretches = newest_stretches(facts)
    troubles = weigh_troubles(facts, stretches)
    worst = troubles[0]
    healthy = stage(facts)
    # A spent batch gives little gas for a good reason: only strong signs outweigh that.
    named = worst.chance >= LIKELY and not (healthy == "spent" and worst.chance < 0.9)
    word = worst.word if named else healthy
    doubted = suspicion is not None and not (named and suspicion.state_word == word)
    found = _advice(facts, troubles, stretches, spent=healthy == "spent")
    shared = suspicion is not None and suspicion.shared
    if shared and not doubted:
        worst = replace(worst, chance=min(worst.chance, _MOST_IF_SHARED))
        found = _no_surer(found, worst, facts)
    if suspicion is not None and doubted:
        found = [settle(suspicion), *found]
    stands, aside = in_sight(found, facts.answered, day=facts.day)
    advice = stands[:MOST_ADVICE]
    return Assessment(
        state_word=word,
        sentence=" ".join(
            (
                _sentence(word, worst, stretches, quiet="" if advice else _quiet(bool(aside))),
                *((suspicion.sentence,) if suspicion is not None and (doubted or shared) else ()),
            )
        ),
        advice=advice,
        evidence=worst.evidence,
        next_look_day=facts.day + (0.5 if named or any(a.urgent for a in found) else 1.0),
        waiting=stands[MOST_ADVICE:],
        aside=aside,
    )


def _advice(
    facts: RunFacts,
    troubles: tuple[Trouble, ...],
    stretches: tuple[Stretch, ...],
    *,
    spent: bool,
) -> list[Advice]:
    """Gather all that could be said, most urgent first."""
    likely: list[Advice] = []
    possible: list[Advice] = []
    for trouble in troubles:
        if trouble.chance >= LIKELY and not (spent and trouble.chance < 0.9):
            likely += remedies(trouble, facts)
        elif trouble.chance >= POSSIBLE and not spent:
            possible.append(_look_into(trouble))
    routine = [
        hot_reading(facts),
        holder_full(facts),
        after_a_dose(facts, stretches),
        too_much_feed(facts),
        first_gas(facts),
        renew(facts),
    ]
    found = [*likely, *(a for a in routine if a is not None), *possible]
    reading = next_reading(facts)
    if reading is not None:
        found.append(reading)
    return sorted(_without_repeats(found), key=lambda a: not a.urgent)


def _no_surer(found: list[Advice], worst: Trouble, facts: RunFacts) -> list[Advice]:
    """Let no remedy sound surer than the trouble it is for."""
    keys = {advice.key for advice in remedies(worst, facts)}
    return [replace(a, how_sure=worst.how_sure) if a.key in keys else a for a in found]


def _without_repeats(found: list[Advice]) -> list[Advice]:
    """No "feed less" beside "stop feeding"; no advice twice."""
    stops = any(a.key == "stop_feeding" for a in found)
    kept: list[Advice] = []
    for advice in found:
        if stops and advice.key == "feed_less":
            continue
        if all(advice.key != other.key for other in kept):
            kept.append(advice)
    return kept


_LOOK = {
    "souring": ("read_ph_again", "Read the pH again", "gerardi_2003"),
    "cold": ("read_warmth_again", "Read the slurry temperature again", "rosso_1993"),
    "leaking": (
        "look_for_leak",
        "Look over lid, hose and holder for a leak",
        "leak_signs_practice",
    ),
    "blocked": ("look_at_outlet", "Look whether gas can pass to the holder", "leak_signs_practice"),
    "stalled": (
        "give_it_time",
        "Give it two more days, warm, before helping it",
        "starts_within_days",
    ),
}


def _look_into(trouble: Trouble) -> Advice:
    key, what, source = _LOOK[trouble.word]
    caution = ("explosive_gas",) if trouble.word in ("leaking", "blocked") else ()
    return Advice(
        key=key,
        what=what,
        why=reasons(trouble.evidence),
        how_sure="possible",
        how_much="one look",
        by_when="tomorrow",
        caution=caution,
        source=source,
    )


_SENTENCES = {
    "starting": "It is getting going.",
    "climbing": "Gas is on its way up.",
    "steady": "It runs well.",
    "fading": "It is past its peak and using up its food.",
    "spent": "Its food is used up.",
    "souring": "It is turning sour",
    "cold": "It is too cold",
    "leaking": "Gas seems to be getting lost",
    "blocked": "Gas cannot get out",
    "stalled": "It has not started",
    UNKNOWN: "Too little has been read to say how it is.",
}


def _sentence(word: str, worst: Trouble, stretches: tuple[Stretch, ...], *, quiet: str) -> str:
    words = _SENTENCES[word]
    if word == worst.word:
        because = reasons(worst.evidence)
        return f"{words} ({worst.how_sure}): {because[:1].lower()}{because[1:]}"
    if stretches and word not in (UNKNOWN, "spent"):
        last = stretches[-1]
        if last.at_least:
            words += " Some of the newest gas went unseen."
        elif last.below:
            words += " The newest gas is less than expected."
        elif last.above:
            words += " The newest gas is more than expected."
        else:
            words += " Gas is as expected."
    return f"{words} {quiet}".rstrip()


def _quiet(answered: bool) -> str:
    """Say that nothing is advised: answered advice is not the same as none."""
    why = "All that is advised is done or put off" if answered else "Nothing to do"
    return f"{why}; next look tomorrow."
