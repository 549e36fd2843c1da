"""What the assessment says of a run, as lines for page and terminal."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from marshlight.answers.advice import LOGGED_AS, answers_to
from marshlight.answers.analysis import Analysis
from marshlight.answers.diagnosis import suspected
from marshlight.answers.reader import in_reader_units
from marshlight.answers.state import State
from marshlight.answers.watching import run_facts_of
from marshlight.answers.words import clock, days_since
from marshlight.decide.safety import Caution, all_cautions
from marshlight.decide.watch import PIECES, Advice, Assessment, SetAside, assess
from marshlight.notebook.models import Run
from marshlight.sources import Source, source


@dataclass(frozen=True)
class AdviceLine:
    """One piece of advice: what, why, how sure, by when; ``key`` is what it is answered by."""

    key: str
    what: str
    why: str
    how_sure: str
    how_much: str
    by_when: str
    urgent: bool
    cautions: tuple[Caution, ...]
    source: Source | None


@dataclass(frozen=True)
class AsideLine:
    """Advice out of sight: what, whether it was done or put off, and when it is looked at again.

    ``record`` is the event that says so; ``log_kind`` is where doing it is logged, if anywhere.
    """

    key: str
    what: str
    done: bool
    words: str
    record: str
    log_family: str = ""
    log_kind: str = ""


@dataclass(frozen=True)
class Assessed:
    """State, sentence and advice of a run; ``waiting`` stands behind the three most urgent."""

    state: State
    sentence: str
    advice: tuple[AdviceLine, ...]
    no_advice: str
    next_step: str
    evidence: tuple[str, ...] = ()
    waiting: tuple[AdviceLine, ...] = ()
    aside: tuple[AsideLine, ...] = ()


def assess_run(analysis: Analysis, now: datetime, *, system: str) -> Assessed:
    """Say how a run is and what to do.

    Parameters
    ----------
    analysis : Analysis
        What the engine makes of its log.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    Assessed
        A run that is only planned, or that ended, is said to be so and gets no advice.
    """
    run = analysis.records.run
    if run.started_at is None:
        next_step = "Charge the vessel and log what went in."
        return Assessed(State("planned"), "Not started yet.", (), next_step, next_step)
    answers = answers_to(run)
    facts = replace(run_facts_of(analysis, now), answered=tuple(a for _, a in answers))
    found = assess(facts, suspicion=suspected(run, now))
    if run.ended_at is not None and run.ended_at <= now:
        sentence = f"This run has ended; at its end it was {found.state_word}."
        return Assessed(State("ended"), sentence, (), "Nothing to do.", "Nothing to do.")
    assessed = _assessed(found, days_since(run.started_at, now), system)
    records = {answered.key: str(event.pk) for event, answered in answers}
    aside = tuple(_aside(a, run, records[a.answered.key], system) for a in found.aside)
    return replace(assessed, aside=aside)


def _assessed(found: Assessment, run_day: float, system: str) -> Assessed:
    look = _next_look(found.next_look_day - run_day)
    quiet = f"Nothing to do; {look}."
    if found.aside:
        # To have answered a trouble is not to be rid of it.
        state = found.state_word
        still = f" By its readings it is still {state}." if State(state).tone == "trouble" else ""
        quiet = f"All that is advised is done or put off; {look}.{still}"
    lines = tuple(_line(advice, system) for advice in found.advice)
    return Assessed(
        state=State(found.state_word),
        sentence=in_reader_units(found.sentence, system),
        advice=lines,
        no_advice=quiet,
        next_step=lines[0].what if lines else quiet,
        evidence=tuple(in_reader_units(e.text, system) for e in found.evidence),
        waiting=tuple(_line(advice, system) for advice in found.waiting),
    )


def _aside(held: SetAside, run: Run, record: str, system: str) -> AsideLine:
    answered = held.answered
    started = run.started_at
    assert started is not None, "only a run that started is assessed"
    back = clock(started + timedelta(days=answered.back_day), run.site.time_zone)
    done = answered.until is None
    piece = PIECES.get(answered.key)
    why = f": {piece.because}" if done and piece is not None else ""
    family, kind = LOGGED_AS.get(answered.key, ("", "")) if done else ("", "")
    return AsideLine(
        key=answered.key,
        what=in_reader_units(held.advice.what, system),
        done=done,
        words=f"{'done' if done else 'put off'}; looked at again from {back}{why}",
        record=record,
        log_family=family,
        log_kind=kind,
    )


def _next_look(in_days: float) -> str:
    if in_days < 0.75:
        return "look again today"
    if in_days < 1.5:
        return "next look: tomorrow"
    return f"next look: in {in_days:.0f} days"


def _line(advice: Advice, system: str) -> AdviceLine:
    known = all_cautions()
    return AdviceLine(
        key=advice.key,
        what=in_reader_units(advice.what, system),
        why=in_reader_units(advice.why, system),
        how_sure=advice.how_sure,
        how_much=in_reader_units(advice.how_much, system),
        by_when=in_reader_units(advice.by_when, system),
        urgent=advice.urgent,
        cautions=tuple(known[key] for key in advice.caution),
        source=source(advice.source) if advice.source else None,
    )
