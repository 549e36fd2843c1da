"""What if it is fed, dosed, warmed or refilled? A run by the model, beside doing nothing."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis
from marshlight.answers.reader import in_reader_units
from marshlight.answers.series import Chart
from marshlight.answers.simulate_charts import charts_of
from marshlight.answers.simulate_lives import Grounds, grounds_of, seed_of
from marshlight.answers.simulate_opened import opened
from marshlight.answers.simulate_try import AHEAD_D, FIELDS, Larder, questions, tried
from marshlight.answers.simulate_words import (
    MODEL,
    change_section,
    course_section,
    gas_unit,
    gas_words,
    ph_words,
)
from marshlight.answers.stopping import still_wanted
from marshlight.answers.told import Answer, Section, figure
from marshlight.decide.watch.calibration import dry_gas, past
from marshlight.decide.watch.steps import Followed, follow, span
from marshlight.errors import InputError, MarshlightError
from marshlight.notebook.models import Run
from marshlight.process.model import DrawOff, Event, SetTemperature
from marshlight.units import choose_unit, show_range

# This set's microbes die above it.
_TOO_WARM_C = 45.0
WRONG = (
    "What a lot really holds, a wrong record and what the model leaves out are in the spans only as"
    " far as anyone guessed them beforehand.",
    "Fresh manure without inoculum sours in the model more readily than in practice.",
    "One well-mixed liquid: no floating layer, no dead corner. Nothing precipitates and microbes do"
    " not adapt to ammonia or salt.",
    "A risk counts lives of this model. It is not the risk that the model is wrong.",
)
_DOUBT = "Its gas so far does not agree with what was counted: take none of this as settled."


@dataclass(frozen=True)
class WhatIf:
    """The answer and its charts, none where there are no figures."""

    told: Answer
    charts: tuple[Chart, ...] = ()


def what_if(typed: Mapping[str, str], *, run: Run, now: datetime, system: str = "metric") -> WhatIf:
    """Answer "what if I feed, dose, warm or refill it?" for the coming 30 days.

    Parameters
    ----------
    typed : mapping
        ``feed``, ``amount``, ``every``, ``skip``, ``dose``, ``warm``, ``draw``, ``refill`` as
        typed; what is missing is not done.
    run : Run
        Whose log is followed up to now.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    WhatIf
        Beside doing nothing; without figures where the log does not allow them, and says why.
    """
    begun = opened(
        typed, run=run, now=now, system=system, key="what-if", title="What if?", questions=questions
    )  # fmt: skip
    analysis, larder, asked, told = begun.analysis, begun.larder, begun.asked, begun.told
    if asked.problems:
        return WhatIf(told)
    if run.ended_at is not None and run.ended_at <= now:
        return WhatIf(replace(told, sentence="This run has ended: nothing more can be done to it."))
    try:
        still_wanted()
        grounds = grounds_of(analysis, now)
        still_wanted()
        events, told_metric = tried(asked, grounds.past, larder)
        words = in_reader_units(told_metric, system)
        return _whole(told, analysis, grounds, events, words, larder=larder, system=system)
    except InputError as problem:
        names = {words: name for name, words in FIELDS.items()}
        if problem.field in names:
            return WhatIf(replace(told, problems={names[problem.field]: problem}))
        return WhatIf(replace(told, sentence=f"The model cannot say. {problem}"))
    except MarshlightError as problem:
        return WhatIf(replace(told, sentence=f"The model cannot say. {problem}"))


def _whole(
    told: Answer,
    analysis: Analysis,
    grounds: Grounds,
    events: tuple[Event, ...],
    words: str,
    *,
    larder: Larder,
    system: str,
) -> WhatIf:
    days, seed = np.arange(AHEAD_D + 1.0), seed_of(told.run_id)
    alone = follow(grounds.lives, grounds.log, (), days=days, seed=seed)
    still_wanted()
    # Doing nothing is one course and not two that happen to be alike.
    with_it = follow(grounds.lives, grounds.log, events, days=days, seed=seed) if events else None
    still_wanted()
    ground = ground_section(analysis, grounds, system)
    if with_it is None:
        sections = [course_section("Doing nothing", alone, None, system)]
    else:
        title = f"With {words}"
        sections = [
            course_section(title, with_it, alone, system),
            change_section(with_it, alone, system),
        ]
    sections += [ground, Section("Where it can be wrong", (), WRONG)]
    sentence = _sentence(with_it, alone, words, system)
    if not grounds.calibrated:
        sentence = f"By the recipe alone: {sentence[:1].lower()}{sentence[1:]}"
    whole = replace(
        told,
        sentence=" ".join(part for part in (sentence, ground.warning) if part),
        sections=tuple(sections),
        notes=_notes(analysis, grounds, events, larder=larder, system=system),
    )
    return WhatIf(whole, charts_of(with_it, alone, system))


def _notes(
    analysis: Analysis,
    grounds: Grounds,
    events: tuple[Event, ...],
    *,
    larder: Larder,
    system: str,
) -> tuple[str, ...]:
    notes = [in_reader_units(note, system) for note in grounds.notes]
    notes.append(
        f"{len(grounds.lives)} lives, the same in both courses; figures are the middle, in brackets"
        " where 95 of 100 lie. Gas counts strays from the model, leak and holder as well."
    )
    if analysis.records.feeds:
        notes.append("Doing nothing means no further feed either.")
    if larder.habit is not None:
        notes.append(in_reader_units(f"As before means {larder.habit.words}.", system))
    if any(isinstance(event, DrawOff) for event in events):
        notes.append(
            "Before a feed so much slurry is drawn off that the vessel stays 95 % full at most."
        )
    warmest = [e.celsius for e in events if isinstance(e, SetTemperature)]
    if max([*warmest, grounds.past.celsius]) > _TOO_WARM_C:
        notes.append("Above 45 °C the model's microbes die; those of hot digesters are not in it.")
    return tuple(notes)


def _sentence(with_it: Followed | None, alone: Followed, words: str, system: str) -> str:
    unit = gas_unit([alone] if with_it is None else [with_it, alone], system)
    other, before = gas_words(alone.shown_m3[:, -1], unit), ph_words(alone.ph[:, -1])
    if with_it is None:
        return (
            f"Left alone, by the process model it gives {other} of gas in {AHEAD_D} days and ends"
            f" at pH {before}; risk of souring {alone.risk.words}."
        )
    gas, ph = gas_words(with_it.shown_m3[:, -1], unit), ph_words(with_it.ph[:, -1])
    return (
        f"With {words}, by the process model: risk of souring {with_it.risk.words} rather than"
        f" {alone.risk.words}; in {AHEAD_D} days {gas} of gas rather than {other}, and pH {ph}"
        f" rather than {before}."
    )


def ground_section(analysis: Analysis, grounds: Grounds, system: str) -> Section:
    """Say what the lives rest on, with the model's gas so far beside what was counted."""
    title, ledger = "What it rests on", analysis.ledger
    log, lives = grounds.log, grounds.lives
    until = log.today if ledger is None or not ledger.day.size else float(ledger.day[-1])
    days = [0.0, until] if until > 0.0 else [0.0]
    gas = past(lives, log, days=days)
    seen = dry_gas(gas)[:, -1] * lives.of("gas_scale") * (1.0 - lives.of("leak"))
    unit = choose_unit(max(span(seen)[2], 1e-9), "volume", system=system)
    modelled = figure(
        "gas so far by the model",
        gas_words(seen, unit),
        f"to day {until:.0f}, strays from the model left out",
        by=MODEL,
    )
    if ledger is None or ledger.day.size < 2:
        return Section(title, (modelled,), (grounds.words,), warning=grounds.doubt)
    total, u = ledger.total.value, ledger.total.u
    least = bool(ledger.lower_bound[-1])
    words = show_range(max(total - 2.0 * u, 0.0), total + 2.0 * u, "volume", unit=unit)
    own = figure(
        "counted",
        f"{'at least ' if least else ''}{words}",
        f"to day {until:.0f}; today is day {log.today:.0f}",
    )
    low, _, high = span(seen)
    # Fitted lives were weighed against every count already, strays included.
    agrees = high >= total - 2.0 * u and (least or low <= total + 2.0 * u)
    agrees = agrees or grounds.calibrated
    doubt = " ".join(part for part in (grounds.doubt, "" if agrees else _DOUBT) if part)
    return Section(title, (modelled, own), (grounds.words,), warning=doubt)
