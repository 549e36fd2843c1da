"""What may be wrong with a run: explanations held against its newest readings, and a test."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from marshlight.answers.analysis import revision
from marshlight.answers.keeping import Ready, latest, newest, remembered
from marshlight.answers.lives import lives_of_run
from marshlight.answers.reader import in_reader_units
from marshlight.decide.safety import Caution, all_cautions
from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, lives_from_prior
from marshlight.decide.watch.diagnosis import (
    CAUSES,
    HARMFUL,
    SUSPECTED,
    Diagnosis,
    Explanation,
    diagnose,
    percent,
    stand_on,
)
from marshlight.decide.watch.diagnosis.explanations import HEALTHY
from marshlight.decide.watch.suspicion import Suspicion
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Run
from marshlight.sources import Source, source

# A digester looked at on its first day has shown nothing yet; our choice.
_YOUNGEST_D = 1.0
# Lives are brought forward to whole days: nearer than that makes no difference.
_STEP_D = 1.0
# A run nobody looked at before is looked at as if somebody had come every third day of three weeks:
# else a trouble that began long ago would be taken for this digester's habit. Our choice.
_REPLAY_BACK_D, _REPLAY_EVERY_D = 21.0, 3.0
_SHOWN = 4
# Less than one in twenty is not worth a place of its own; our choice.
_WORTH_SHOWING = 0.05
# An alarm older than this waits for a new look; our choice, a weekend's pause.
_STALE = timedelta(days=3)
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
    suspected_since: float | None = None
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

    def make(before: DiagnosisAnswer | None) -> DiagnosisAnswer:
        return _work_out(run, now, system, before)

    return remembered(_name(run, system), lambda: revision(run), make)


def diagnosis_ready(run: Run, *, system: str = "metric") -> Ready[DiagnosisAnswer] | None:
    """Give the newest diagnosis worked out, however old, without waiting; None if there is none."""
    return newest(_name(run, system), lambda: revision(run))


def suspected(run: Run, now: datetime) -> Suspicion | None:
    """Give what the newest diagnosis suspects, if it is worth a visit and not too old to say so.

    Parameters
    ----------
    run : Run
        The run, with its site.
    now : datetime
        The moment of asking.
    """
    found = latest(_name(run, run.site.units))
    if found is None or now - found[1].as_of > _STALE:
        return None
    suspicion: Suspicion | None = found[1].suspicion
    return suspicion


def _name(run: Run, system: str) -> str:
    return f"diagnosis-{run.pk}-{system}"


def _work_out(
    run: Run, now: datetime, system: str, before: DiagnosisAnswer | None
) -> DiagnosisAnswer:
    blank = DiagnosisAnswer(str(run.pk), run.name, now, "Nothing is diagnosed here.")
    if run.started_at is None:
        return replace(blank, why_not="It has not started yet.")
    if run.ended_at is not None and run.ended_at <= now:
        return replace(blank, why_not="This run has ended.")
    log = lives_of_run(run, now=now)
    if log.log is None:
        return replace(blank, why_not=log.why_not)
    if log.log.today < _YOUNGEST_D:
        return replace(blank, why_not="It is too young to have shown anything.")
    rng = np.random.default_rng(int(hashlib.sha256(str(run.pk).encode()).hexdigest()[:12], 16))
    try:
        since = suspicion(log.log, rng=rng) if before is None else before.suspected_since
        earlier = earlier_lives(log.log, suspected_since=since, rng=rng)
        found = diagnose(log.log, earlier, rng=rng)
    except MarshlightError as problem:
        return replace(blank, why_not=str(problem))
    return _told(blank, found, since, fed=log.log.fed, system=system)


def suspicion(log: RunLog, *, rng: np.random.Generator) -> float | None:
    """Look at the weeks before today as a keeper would have, and say since when trouble showed.

    Parameters
    ----------
    log : RunLog
        Up to today.
    rng : numpy.random.Generator
        The state to draw from.

    Returns
    -------
    float or None
        First day of the row of looks, up to the last, at which trouble was suspected [d].
    """
    since: float | None = None
    first = max(log.today - _REPLAY_BACK_D, _YOUNGEST_D)
    for day in np.arange(first, log.today - 0.5 * _REPLAY_EVERY_D, _REPLAY_EVERY_D).tolist():
        look = log.until(day)
        if look.readings == 0:
            continue
        found = diagnose(look, earlier_lives(look, suspected_since=since, rng=rng), rng=rng)
        since = _since(found, since)
    return since


def _since(found: Diagnosis, since: float | None) -> float | None:
    if found.trouble < SUSPECTED:
        return None
    return found.day if since is None else since


def earlier_lives(log: RunLog, *, suspected_since: float | None, rng: np.random.Generator) -> Lives:
    """Fit the log as it stood before the newest stretch, which is then held against the lives.

    Parameters
    ----------
    log : RunLog
        Up to today, a day old or more.
    suspected_since : float, optional
        Day from which on trouble was suspected at every look [d].
    rng : numpy.random.Generator
        The state to draw from.

    Returns
    -------
    Lives
        Of an earlier day.
    """
    days = np.arange(0.0, log.today, _STEP_D).tolist()
    day = stand_on(days, log.today, suspected_since=suspected_since) or 0.0
    stood = log.until(day)
    if stood.readings == 0:
        return lives_from_prior(stood, rng=rng)
    return calibrate(stood, rng=rng)


def _told(
    blank: DiagnosisAnswer, found: Diagnosis, since: float | None, *, fed: bool, system: str
) -> DiagnosisAnswer:
    shown = [
        e
        for e in found.explanations[:_SHOWN]
        if e.standing != "unlikely" or e is found.top or e.probability >= _WORTH_SHOWING
    ]
    rest = [e for e in found.explanations if e not in shown]
    risk = found.souring
    return replace(
        blank,
        sentence=in_reader_units(found.sentence, system),
        looked_back=f"Held against all readings since day {found.since:.0f}.",
        souring=(
            f"{'Fed on as now' if fed else 'Left unfed'}, it turns sour within "
            f"{risk.days:.0f} days with a chance of {percent(risk.either)}."
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
        suspected_since=_since(found, since),
        suspicion=_suspicion(found, system) if found.alarm else None,
    )


def _suspicion(found: Diagnosis, system: str) -> Suspicion:
    """Take the likeliest trouble with its first ground and its test.

    Where the readings do not tell it from one that can do harm, that one is looked for.
    """
    alike = [e for e in found.explanations if e.key in found.alike and e.key in HARMFUL]
    top = next(iter(alike), found.top_trouble)
    check = top.check
    why = in_reader_units(top.evidence[0].text, system) if top.evidence else ""
    return Suspicion(
        key=top.key,
        words=top.words,
        chance=top.probability,
        why=f"{why[:1].upper()}{why[1:]}." if why else "",
        test="" if check is None else in_reader_units(check.what, system),
        takes="" if check is None else check.how_long,
        never="" if check is None else check.never,
        by_when=top.by_when,
        caution=tuple(dict.fromkeys((*top.caution, *(() if check is None else check.caution)))),
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
