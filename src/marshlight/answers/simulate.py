"""What if it is fed, dosed or warmed? A run by the process model, beside doing nothing."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import numpy as np

from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.asked import Asked, Question, ask
from marshlight.answers.reader import in_reader_units
from marshlight.answers.series import Chart
from marshlight.answers.simulate_past import Past, liquid_of, overflow, past_of
from marshlight.answers.simulate_words import (
    Lives,
    change_section,
    charts_of,
    gas_words,
    lives_of,
    lives_section,
    ph_words,
    spread,
)
from marshlight.answers.told import Answer, Section, figure
from marshlight.answers.words import days_since
from marshlight.answers.workers import standing_workers
from marshlight.decide.safety import cautions_at
from marshlight.errors import InputError, MarshlightError
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.mixing import Part
from marshlight.notebook.bridge import lot_as_kept
from marshlight.notebook.models import Lot, Run
from marshlight.notebook.moments import site_zone
from marshlight.process.model import (
    SMALL_DIGESTER,
    Dose,
    DrawOff,
    Event,
    Feed,
    SetTemperature,
    draw_between,
    ensemble,
)
from marshlight.units import show, show_range

MEMBERS, AHEAD_D = 64, 30
_SEED = 20_261
_GASES = ("methane", "carbon_dioxide", "hydrogen", "sulfide")
_WATCH = (
    *("pH", "volume", "acetate", "propionate", "butyrate", "valerate", "dry_pressure_bar"),
    *(f"gas_{gas}" for gas in _GASES),
    *(f"out_{gas}" for gas in _GASES),
    *("p_methane_bar", "p_sulfide_bar"),
)
# This set's microbes die above it.
_TOO_WARM_C = 45.0
WRONG = (
    "Constants and the microbes' liveliness are drawn within their spreads. What a lot really"
    " holds, a wrong record and what the model leaves out are not in the span.",
    "Fresh manure without inoculum sours in the model more readily than in practice.",
    "One well-mixed liquid: no floating layer, no dead corner, no leak. Nothing precipitates and"
    " microbes do not adapt to ammonia or salt.",
    "Not judged by this run's own readings: the section above tells how far it agrees with them.",
)


@dataclass(frozen=True)
class WhatIf:
    """The answer and its charts; None where there are no figures."""

    told: Answer
    chart: Chart | None = None


def what_if(typed: Mapping[str, str], *, run: Run, now: datetime, system: str = "metric") -> WhatIf:
    """Answer "what if I feed, dose or warm it?" for the coming 30 days.

    Parameters
    ----------
    typed : mapping
        ``feed``, ``amount``, ``every``, ``dose``, ``warm`` as typed; what is missing is not done.
    run : Run
        Whose charge, feeds, doses and temperatures are followed up to now.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    WhatIf
        Beside doing nothing; without figures where the log does not allow them, and says why.
    """
    analysis = analyse(run)
    lots = _lots(run, analysis, now)
    asked = ask(_questions(tuple(lots)), typed)
    told = Answer(
        key="what-if",
        title="What if?",
        sentence="Something typed cannot be used; the reason stands beside its field.",
        cautions=cautions_at("page:run"),
        sections=(),
        fields=asked.fields,
        problems=dict(asked.problems),
        run_id=str(run.pk),
        run_name=run.name,
        query=asked.query,
    )
    if asked.problems:
        return WhatIf(told)
    end = now if run.ended_at is None or run.ended_at > now else run.ended_at
    today = max(days_since(analysis.records.start, end), 0.0)
    try:
        past = past_of(analysis, today)
        events, words = _tried(asked, past, lots)
    except InputError as problem:
        if problem.field in dict(_FIELDS).values():
            names = {words: name for name, words in _FIELDS}
            return WhatIf(replace(told, problems={names[problem.field]: problem}))
        return WhatIf(replace(told, sentence=f"The model cannot say. {problem}"))
    try:
        return _whole(told, analysis, past, events, words, system=system)
    except MarshlightError as problem:
        return WhatIf(replace(told, sentence=f"The model cannot say. {problem}"))


_FIELDS = (
    ("feed", "feed"),
    ("amount", "amount of feed"),
    ("every", "every"),
    ("dose", "sodium bicarbonate"),
    ("warm", "warmer by"),
)


def _questions(lots: tuple[str, ...]) -> tuple[Question, ...]:
    words = dict(_FIELDS)
    return (
        Question("feed", words["feed"], choices=(("", "nothing"), *((n, n) for n in lots))),
        Question("amount", words["amount"], "mass", "kg", low=0.0, high=1e5,
                 hint="Fresh, each time."),
        Question("every", words["every"], "time", "d", low=0.5, high=AHEAD_D,
                 hint="Empty: once, now."),
        Question("dose", words["dose"], "mass", "g", low=0.0, high=1e4, hint="Once, now."),
        Question("warm", words["warm"], "temperature_difference", "K", low=-40.0, high=40.0,
                 hint="From now on; a minus sign cools."),
    )  # fmt: skip


def _lots(run: Run, analysis: Analysis, now: datetime) -> dict[str, Feedstock]:
    """Give what can be fed: lots of the site as they are today, then what went in before."""
    on = now.astimezone(site_zone(run.site.time_zone)).date()
    found: dict[str, Feedstock] = {}
    for lot in Lot.objects.in_use().filter(site=run.site).select_related("feedstock", "site"):
        try:
            found[lot.name] = lot_as_kept(lot, on).ageing.feedstock
        except MarshlightError:
            continue
    for charge in analysis.records.charges:
        for part in charge.parts:
            found.setdefault(part.feedstock.name, part.feedstock)
    return found


def _tried(
    asked: Asked, past: Past, lots: Mapping[str, Feedstock]
) -> tuple[tuple[Event, ...], str]:
    """Turn the form into events from today on, and say them in words."""
    words, events = dict(_FIELDS), list[Event]()
    said: list[str] = []
    values: Mapping[str, Any] = asked.values
    if values["warm"]:
        to = past.celsius + float(values["warm"])
        if not 1.0 <= to <= 60.0:
            raise InputError(words["warm"], f"to {to:.0f} °C", "1 to 60 °C in the end", "Change it")
        events.append(SetTemperature(past.today, to))
        said.append(f"{abs(values['warm']):.3g} K {'warmer' if values['warm'] > 0 else 'colder'}")
    if values["dose"]:
        events.append(Dose(past.today, "sodium bicarbonate", float(values["dose"])))
        said.append(f"{show(values['dose'], 'mass')} of sodium bicarbonate")
    if values["feed"] and not values["amount"]:
        raise InputError(words["amount"], "", "above 0", "Say how much of it, such as 0.5 kg")
    if values["amount"] and not values["feed"]:
        raise InputError(words["feed"], "", "one of the list", "Say what is fed")
    if values["feed"]:
        part = Part(lots[values["feed"]], float(values["amount"]))
        days = [0.0] if not values["every"] else np.arange(0.0, AHEAD_D, float(values["every"]))
        events += _feeding(part, past, [past.today + float(d) for d in days])
        often = f" every {show(values['every'], 'time')}" if values["every"] else ""
        said.append(f"{show(values['amount'], 'mass')} of {values['feed']}{often}")
    return tuple(events), " and ".join(said)


def _feeding(part: Part, past: Past, days: list[float]) -> list[Event]:
    liquid, level, events = liquid_of((part,)), past.liquid_m3, list[Event]()
    if liquid.volume_m3 > 0.5 * past.liquid_m3:
        raise InputError(
            dict(_FIELDS)["amount"],
            show(part.mass_kg, "mass"),
            "at most half of what is in the vessel at a time",
            "Feed less, more often",
        )
    for day in days:
        out = overflow(day, liquid, level, past.digester.vessel_m3)
        level += liquid.volume_m3 - sum(e.volume_m3 for e in out if isinstance(e, DrawOff))
        events += [*out, Feed(day, liquid)]
    return events


def _lives(past: Past, events: tuple[Event, ...], words: str) -> Lives:
    """Run the same draws through one course of things."""
    rng = np.random.default_rng(_SEED)
    draws = SMALL_DIGESTER.draw(rng, MEMBERS)
    low, high = past.lively
    ahead = past.today + np.arange(AHEAD_D + 1.0)
    found = ensemble(
        past.digester,
        past.charge,
        days=ahead if past.today == 0.0 else np.concatenate([[0.0], ahead]),
        draws=draws,
        cells=draw_between(1.0, low, high, rng=rng, members=MEMBERS),
        watch=_WATCH,
        events=(*past.events, *events),
        executor=standing_workers(),
    )
    return lives_of(words, found.runs(), found.members, past.today)


def _whole(
    told: Answer,
    analysis: Analysis,
    past: Past,
    events: tuple[Event, ...],
    words: str,
    *,
    system: str,
) -> WhatIf:
    alone = _lives(past, (), "doing nothing")
    tried = _lives(past, events, f"with {words}") if events else None
    counted, agrees = _counted(analysis, past, alone, system)
    sections = [lives_section(alone, system), counted, Section("Where it can be wrong", (), WRONG)]
    if tried is not None:
        sections[:0] = [lives_section(tried, system), change_section(tried, alone, system)]
    notes = [in_reader_units(note, system) for note in past.notes]
    notes.append(f"{MEMBERS} lives; figures are the middle, in brackets 5 to 95 % of them.")
    if analysis.records.feeds:
        notes.append("Doing nothing means no further feed either.")
    if any(isinstance(event, DrawOff) for event in events):
        notes.append(
            "Before a feed so much slurry is drawn off that the vessel stays 95 % full at most."
        )
    warmest = max(
        (e.celsius for e in events if isinstance(e, SetTemperature)), default=past.celsius
    )
    if warmest > _TOO_WARM_C:
        notes.append("Above 45 °C the model's microbes die; those of hot digesters are not in it.")
    sentence = _sentence(tried, alone, system) + ("" if agrees else f" {_DOUBT}")
    whole = replace(told, sentence=sentence, sections=tuple(sections), notes=tuple(notes))
    return WhatIf(whole, charts_of(tried or alone, alone if tried else None, system))


_DOUBT = "Its gas so far does not agree with what was counted: take none of this as settled."


def _sentence(tried: Lives | None, alone: Lives, system: str) -> str:
    of = len(alone.members)
    if tried is None:
        gas = gas_words(alone.gas_m3[:, -1], system)
        return (
            f"Left alone, by the process model it gives {gas} of gas in {AHEAD_D} days and ends at"
            f" pH {ph_words(alone.ph[:, -1])}; {alone.sour} of {of} lives end sour."
        )
    gas, other = (gas_words(x.gas_m3[:, -1], system) for x in (tried, alone))
    ph, before = (ph_words(x.ph[:, -1]) for x in (tried, alone))
    return (
        f"{tried.words[:1].upper()}{tried.words[1:]}, by the process model: pH {ph} in {AHEAD_D}"
        f" days rather than {before}, {gas} of gas rather than {other}; {tried.sour} of"
        f" {len(tried.members)} lives end sour rather than {alone.sour} of {of}."
    )


def _counted(analysis: Analysis, past: Past, alone: Lives, system: str) -> tuple[Section, bool]:
    """Set the model's gas so far beside what was counted."""
    title, ledger = "Against this run's own gas", analysis.ledger
    modelled = figure(
        "gas so far by the model", gas_words(alone.before_m3, system), by="batstone_2002"
    )
    if ledger is None or ledger.day.size < 2:
        return Section(title, (modelled,), ("No gas was counted to compare with.",)), True
    total, u = ledger.total.value, ledger.total.u
    least = bool(ledger.lower_bound[-1])
    low, _, high = spread(alone.before_m3)
    words = show_range(max(total - 2.0 * u, 0.0), total + 2.0 * u, "volume", system=system)
    own = figure("counted", f"{'at least ' if least else ''}{words}",
                 f"up to day {ledger.day[-1]:.0f}; today is day {past.today:.0f}")  # fmt: skip
    # Gas since the last count, or unseen, can only add to it.
    open_ended = least or past.today - float(ledger.day[-1]) > 1.0
    agrees = high >= total - 2.0 * u and (open_ended or low <= total + 2.0 * u)
    return Section(title, (modelled, own), warning="" if agrees else _DOUBT), agrees
