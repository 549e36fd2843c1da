"""What may be wrong with a run: explanations held against its newest readings, and a test."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from marshlight.answers.diagnosed import (
    Diagnosed,
    diagnosed,
    diagnosed_lately,
    diagnosed_ready,
)
from marshlight.answers.keeping import Ready
from marshlight.answers.reader import in_reader_units
from marshlight.answers.words import capital
from marshlight.decide.safety import Caution, all_cautions
from marshlight.decide.watch.diagnosis import (
    CAUSES,
    HARMFUL,
    Diagnosis,
    Explanation,
    percent,
)
from marshlight.decide.watch.diagnosis.explanations import HEALTHY
from marshlight.decide.watch.suspicion import Suspicion
from marshlight.notebook.models import Run
from marshlight.sources import Source, source

_SHOWN = 4
# Less than one in twenty is not worth a place of its own; our choice.
_WORTH_SHOWING = 0.05
_SOURCES = ("trouble_rates", "diagnosis_grid", "diagnosis_misfit", "gerardi_2003", "rosso_1993")


@dataclass(frozen=True)
class ExplanationLine:
    """One explanation in words, with its chance, grounds and the test that tells it."""

    words: str
    chance: str
    standing: str
    severity: str
    evidence: tuple[str, ...]
    test: str
    takes: str
    results: tuple[str, ...]
    never: str
    by_when: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class DiagnosisAnswer:
    """What the diagnosis says; ``why_not`` stands alone where there is none."""

    run_id: str
    run_name: str
    as_of: datetime
    sentence: str
    why_not: str = ""
    looked_back: str = ""
    souring: str = ""
    alarm: bool = False
    lines: tuple[ExplanationLine, ...] = ()
    others: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    suspicion: Suspicion | None = None


def diagnosis_of(run: Run, *, now: datetime, system: str = "metric") -> DiagnosisAnswer:
    """Work out, or remember, what may be wrong with a run.

    Parameters
    ----------
    run : Run
        The run.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    DiagnosisAnswer
        Never older than the newest record.
    """
    return _answer(run, diagnosed(run, now=now), system)


def diagnosis_ready(run: Run, *, system: str = "metric") -> Ready[DiagnosisAnswer] | None:
    """Give the newest diagnosis worked out, however old, without waiting; None if there is none."""
    found = diagnosed_ready(run)
    return None if found is None else Ready(_answer(run, found.thing, system), found.fresh)


def suspected(run: Run, now: datetime) -> Suspicion | None:
    """Give what the newest diagnosis suspects, if it is worth a visit and not too old to say so.

    Parameters
    ----------
    run : Run
        The run, with its site.
    now : datetime
        The moment of asking.
    """
    found = diagnosed_lately(run, now)
    return None if found is None or not found.alarm else _suspicion(found)


def _answer(run: Run, made: Diagnosed, system: str) -> DiagnosisAnswer:
    blank = DiagnosisAnswer(str(run.pk), run.name, made.as_of, "Nothing is diagnosed here.")
    if made.found is None:
        return replace(blank, why_not=made.why_not)
    return _told(blank, made.found, system)


def _told(blank: DiagnosisAnswer, found: Diagnosis, system: str) -> DiagnosisAnswer:
    shown = [
        e for e in found.explanations[:_SHOWN] if e is found.top or e.probability >= _WORTH_SHOWING
    ]
    rest = [e for e in found.explanations if e not in shown]
    risk = found.souring
    return replace(
        blank,
        sentence=in_reader_units(found.sentence, system),
        looked_back=f"Held against all readings since day {found.since:.0f}.",
        souring=(
            f"{risk.premise}, it turns sour within {risk.days:.0f} days with a chance of "
            f"{percent(risk.either)}."
        ),
        alarm=found.alarm,
        lines=tuple(
            _line(e, system, alike=e is not found.top and e.key in found.alike) for e in shown
        ),
        others=tuple(
            f"{e.words} ({percent(e.probability)})" for e in rest if e.standing == "unlikely"
        ),
        unknown=tuple(e.words for e in rest if e.standing == "not known"),
        sources=tuple(source(key) for key in _SOURCES),
        suspicion=_read_as(_suspicion(found), system) if found.alarm else None,
    )


def _suspicion(found: Diagnosis) -> Suspicion:
    """Take the likeliest trouble with its first ground and its test.

    Where the readings do not tell it from one that can do harm, that one is looked for.
    """
    alike = [e for e in found.explanations if e.key in found.alike and e.key in HARMFUL]
    top = next(iter(alike), found.top_trouble)
    named = [top] if top is found.top_trouble else [found.top_trouble, top]
    check = top.check
    why = top.evidence[0].text if top.evidence else ""
    return Suspicion(
        key=top.key,
        words=", or ".join(e.words for e in named),
        chance=min(sum(e.probability for e in named), 1.0),
        why=f"{capital(why)}." if why else "",
        test="" if check is None else check.what,
        takes="" if check is None else check.how_long,
        never="" if check is None else check.never,
        by_when=top.by_when,
        caution=tuple(dict.fromkeys((*top.caution, *(() if check is None else check.caution)))),
        shared=len(named) > 1,
    )


def _read_as(found: Suspicion, system: str) -> Suspicion:
    return replace(
        found,
        why=in_reader_units(found.why, system),
        test=in_reader_units(found.test, system),
    )


def _line(found: Explanation, system: str, *, alike: bool) -> ExplanationLine:
    # Where all is well there is nothing to test.
    check = None if found.key == HEALTHY and found.standing == "likely" else found.check
    known = all_cautions()
    keys = (*found.caution, *(() if check is None else check.caution))
    return ExplanationLine(
        words=found.words,
        chance=percent(found.probability),
        standing="not told apart" if alike else found.standing,
        severity=in_reader_units(found.severity, system),
        evidence=tuple(in_reader_units(e.text, system) for e in found.evidence),
        test="" if check is None else in_reader_units(check.what, system),
        takes="" if check is None else check.how_long,
        results=() if check is None else tuple(_results(check.shows, system)),
        never="" if check is None else check.never,
        by_when=found.by_when,
        cautions=tuple(known[key] for key in dict.fromkeys(keys)),
    )


def _results(shows: Mapping[str, tuple[str, ...]], system: str) -> list[str]:
    """Say what each result speaks for; one that fits nearly all explanations tells nothing."""
    return [
        f"{in_reader_units(words, system)}: {'; '.join(CAUSES[key].words for key in keys)}"
        for words, keys in shows.items()
        if len(keys) <= _SHOWN
    ]
