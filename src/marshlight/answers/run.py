"""How is it, what will it do, what should I do? One run, ready for page and terminal."""

from dataclasses import dataclass
from datetime import datetime

from marshlight.answers.advice_change import look_at_advice
from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.assessment import AdviceLine, AsideLine, Assessed, assess_run
from marshlight.answers.conditions import methane_words, ph_chart, temperature_chart
from marshlight.answers.gas_chart import gas_chart
from marshlight.answers.lately import gas_lately
from marshlight.answers.outlook import outlook_ready
from marshlight.answers.overview import picture_of
from marshlight.answers.picture import VesselPicture
from marshlight.answers.series import Chart
from marshlight.answers.state import State
from marshlight.answers.timeline import Timeline, event_marks, timeline
from marshlight.answers.words import clock, days_since
from marshlight.decide.safety import Caution, cautions_at
from marshlight.notebook.models import Run
from marshlight.notebook.setting_up import shown
from marshlight.process import Forecast
from marshlight.sources import Source, source
from marshlight.units import show_estimate, show_range


@dataclass(frozen=True)
class Number:
    """One figure with its name and what it rests on."""

    name: str
    value: str
    note: str = ""


@dataclass(frozen=True)
class SetupPart:
    """One part of the set-up in words."""

    name: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class RunPage:
    """Everything a run's page says."""

    ident: str
    name: str
    system: str
    state: State
    sentence: str
    where: str
    picture: VesselPicture
    numbers: tuple[Number, ...]
    advice: tuple[AdviceLine, ...]
    no_advice: str
    aside: tuple[AsideLine, ...]
    advice_change: str
    goes_on: bool
    charts: tuple[Chart, ...]
    notes: tuple[str, ...]
    timeline: Timeline
    setup: tuple[SetupPart, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[Source, ...]


def run_page(run: Run, *, now: datetime, records_page: int = 1) -> RunPage:
    """Gather one run whole.

    Parameters
    ----------
    run : Run
        With its site, vessel, holder and heater.
    now : datetime
        The moment of asking.
    records_page : int
        Which page of the records to list; 1 is the newest.

    Returns
    -------
    RunPage
        Numbers and the words for them.
    """
    system = run.site.units
    analysis = analyse(run)
    assessed = assess_run(analysis, now, system=system)
    return RunPage(
        ident=str(run.pk),
        name=run.name,
        system=system,
        state=assessed.state,
        sentence=assessed.sentence,
        where=_where(run, now),
        picture=picture_of(run, analysis, assessed),
        numbers=_numbers(analysis, system),
        advice=assessed.advice,
        no_advice=assessed.no_advice,
        aside=assessed.aside,
        advice_change=look_at_advice(run, assessed, now) if _goes_on(run, now) else "",
        goes_on=_goes_on(run, now),
        charts=_charts(run, analysis, now, system),
        notes=_notes(analysis),
        timeline=timeline(run, now, page=records_page, system=system),
        setup=_setup(run, system),
        cautions=cautions_at("page:run"),
        sources=_sources(analysis, assessed),
    )


def _goes_on(run: Run, now: datetime) -> bool:
    return run.started_at is not None and (run.ended_at is None or run.ended_at > now)


def _where(run: Run, now: datetime) -> str:
    parts = [run.vessel.name, run.site.name]
    if run.started_at is None:
        return ", ".join(["planned", *parts])
    end = run.ended_at or now
    day = f"day {int(days_since(run.started_at, end))}"
    begun = f"started {clock(run.started_at, run.site.time_zone)}"
    over = [f"ended {clock(run.ended_at, run.site.time_zone)}"] if run.ended_at else []
    return ", ".join([day, *parts, begun, *over])


def _numbers(analysis: Analysis, system: str) -> tuple[Number, ...]:
    found = []
    ledger, seen = analysis.ledger, analysis.forecast
    if ledger is not None and ledger.day.size > 1:
        least = "at least " if bool(ledger.lower_bound[-1]) else ""
        text = show_estimate(ledger.total, "volume", system=system)
        found.append(Number("gas so far", f"{least}{text}", "dry, normal, 95 %"))
        lately = gas_lately(analysis)
        found.append(Number("gas lately", lately.words(system), lately.expected_words(system)))
    else:
        found.append(Number("gas so far", "not known", analysis.ledger_why_not))
    methane = analysis.methane
    found.append(
        Number(
            "methane in the gas",
            methane_words(None if methane is None else methane.methane),
            # The reason repeats the interval before its colon.
            "" if methane is None else methane.reason.partition(": ")[2],
        )
    )
    # What a fed run gives in the end depends on what it will be fed.
    if seen is not None and not analysis.records.feeds:
        ultimate = seen.ultimate_m3
        span = show_range(ultimate.low, ultimate.high, "volume", system=system)
        found.append(Number("gas in the end", span, f"from {seen.basis}"))
        day = seen.day_80
        found.append(Number("80 % of it by", f"day {day.low:.0f} to {day.high:.0f}"))
    return tuple(found)


def _charts(run: Run, analysis: Analysis, now: datetime, system: str) -> tuple[Chart, ...]:
    marks = event_marks(run, system=system)
    today = None
    if run.started_at is not None and run.ended_at is None:
        today = round(days_since(run.started_at, now), 3)
    series = analysis.records.series
    heater = run.heater
    charts = (
        gas_chart(
            analysis.ledger,
            _forecast(run, analysis, system),
            marks=marks,
            today=today,
            fed=bool(analysis.records.feeds),
            system=system,
        ),
        temperature_chart(
            series,
            set_point_c=heater.set_point_c if heater else None,
            marks=marks,
            today=today,
            system=system,
        ),
        ph_chart(series, marks=marks, today=today),
    )
    return tuple(chart for chart in charts if chart is not None)


def _forecast(run: Run, analysis: Analysis, system: str) -> Forecast | None:
    """Give the better forecast once it has been worked out; the curves' own until then."""
    ready = outlook_ready(run, system=system)
    if ready is None or not ready.fresh or ready.thing.gas is None:
        return analysis.forecast
    return ready.thing.gas


def _notes(analysis: Analysis) -> tuple[str, ...]:
    notes = [*analysis.records.notes]
    if analysis.ledger is not None:
        notes += [f"Day {note.day:.1f}: {note.text}" for note in analysis.ledger.notes]
    if analysis.recipe.why_not:
        notes.append(f"No expectation from the recipe: {analysis.recipe.why_not}")
    notes += [*analysis.foreseen.notes, analysis.foreseen.why_not]
    return tuple(dict.fromkeys(note for note in notes if note))


def _setup(run: Run, system: str) -> tuple[SetupPart, ...]:
    rows = (("Vessel", run.vessel), ("Gas holder", run.holder), ("Heater", run.heater))
    return tuple(
        SetupPart(name, tuple(shown(row, system=system).items()))
        for name, row in rows
        if row is not None
    )


def _sources(analysis: Analysis, assessed: Assessed) -> tuple[Source, ...]:
    """List what the page's own figures rest on: the materials, the curve, the advice."""
    keys: dict[str, None] = {}
    for charge in analysis.records.charges:
        for part in charge.parts:
            for name in ("methane_potential", "rate"):
                held = part.feedstock.get(name)
                if held is not None:
                    keys[held.source] = None
    keys |= dict.fromkeys(analysis.foreseen.sources)
    found = {key: source(key) for key in keys}
    found |= {advice.source.key: advice.source for advice in assessed.advice if advice.source}
    return tuple(found.values())
