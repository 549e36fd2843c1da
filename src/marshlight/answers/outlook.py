"""What lies ahead of a run, by the process model fitted to its own readings."""

import hashlib
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from marshlight.answers.analysis import Analysis, analyse, revision
from marshlight.answers.forecast import MIXED, mixed_forecast, with_gas_of
from marshlight.answers.keeping import Ready, newest, remembered
from marshlight.answers.lives import RunLives, lives_of_run
from marshlight.answers.outlook_charts import outlook_charts
from marshlight.answers.outlook_words import (
    BeliefLine,
    DayLine,
    belief_lines,
    day_lines,
    driver_words,
    holder_words,
    outlook_sentence,
    worth_words,
)
from marshlight.answers.reader import in_reader_units
from marshlight.answers.series import Chart, Mark
from marshlight.answers.stopping import still_wanted
from marshlight.answers.timeline import event_marks
from marshlight.answers.watching import run_facts_of
from marshlight.apparatus.burner import gas_uses
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.outlook import (
    Outlook,
    drivers,
    habit_of,
    look_ahead,
    worth_of_readings,
)
from marshlight.errors import MarshlightError
from marshlight.matter import dry_normal_factor
from marshlight.notebook.models import Run
from marshlight.process import Forecast
from marshlight.process.model.kernel import layout
from marshlight.process.model.liquid import MODEL
from marshlight.sources import Source, source

AHEAD_D = 14
_USUAL_GAS_C = 20.0
_SOURCES = ("batstone_2002", "rosen_jeppsson_2006", "vehtari_psis", "saltelli_2008", "gtz_gas_use")


@dataclass(frozen=True)
class OutlookAnswer:
    """What the outlook says; ``why_not`` stands alone where there is none.

    ``first`` is what has to be done before anything else; it is added when the outlook is shown,
    since advice is answered without the outlook changing.
    """

    run_id: str
    run_name: str
    as_of: datetime
    sentence: str
    why_not: str = ""
    warning: str = ""
    holder: str = ""
    gas_unit: str = ""
    days: tuple[DayLine, ...] = ()
    doubts: tuple[str, ...] = ()
    beliefs: tuple[BeliefLine, ...] = ()
    notes: tuple[str, ...] = ()
    charts: tuple[Chart, ...] = ()
    gas: Forecast | None = None
    sources: tuple[Source, ...] = ()
    first: str = ""


def outlook_of(run: Run, *, now: datetime, system: str = "metric") -> OutlookAnswer:
    """Work out, or remember, what lies ahead of a run.

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
    OutlookAnswer
        Never older than the newest record.
    """

    def make(_before: OutlookAnswer | None) -> OutlookAnswer:
        return _work_out(run, now, system)

    return remembered(outlook_name(run, system), lambda: revision(run), make)


def outlook_ready(run: Run, *, system: str = "metric") -> Ready[OutlookAnswer] | None:
    """Give the newest outlook worked out, however old, without waiting; None if there is none."""
    return newest(outlook_name(run, system), lambda: revision(run))


def outlook_name(run: Run, system: str) -> str:
    """Give the name that a run's outlook is kept under."""
    return f"outlook-{run.pk}-{system}"


def _work_out(run: Run, now: datetime, system: str) -> OutlookAnswer:
    analysis = analyse(run)
    still_wanted()
    fitted = lives_of_run(run, now=now, analysis=analysis) if goes_on(run, now) else None
    still_wanted()
    marks = event_marks(run, system=system)
    return outlook_from(analysis, fitted, marks=marks, now=now, system=system)


def goes_on(run: Run, now: datetime) -> bool:
    """Whether a run has started and not ended: only then is there anything to look ahead to."""
    return run.started_at is not None and (run.ended_at is None or run.ended_at > now)


def outlook_from(
    analysis: Analysis,
    fitted: RunLives | None,
    *,
    marks: tuple[Mark, ...],
    now: datetime,
    system: str,
) -> OutlookAnswer:
    """Tell what lies ahead from lives that are known, here or on a worker: no database is asked.

    Parameters
    ----------
    analysis : Analysis
        What the engine makes of the run's log.
    fitted : RunLives or None
        The lives that fit it; None for a run that does not go on.
    marks : tuple of Mark
        The run's events, for the charts.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".
    """
    run = analysis.records.run
    blank = OutlookAnswer(str(run.pk), run.name, now, "")
    if run.started_at is None:
        return _without(blank, "It has not started yet.")
    if fitted is None:
        return _without(blank, "This run has ended.")
    if fitted.lives is None or fitted.log is None:
        return _without(blank, fitted.why_not)
    try:
        return _told(analysis, fitted.log, fitted.lives, marks=marks, now=now, system=system)
    except MarshlightError as problem:
        return _without(blank, str(problem))


def _without(blank: OutlookAnswer, why: str) -> OutlookAnswer:
    return OutlookAnswer(
        blank.run_id, blank.run_name, blank.as_of, "The model does not look ahead here.", why
    )


def _told(
    analysis: Analysis,
    log: RunLog,
    lives: Lives,
    *,
    marks: tuple[Mark, ...],
    now: datetime,
    system: str,
) -> OutlookAnswer:
    run = analysis.records.run
    rng = np.random.default_rng(int(hashlib.sha256(str(run.pk).encode()).hexdigest()[:12], 16))
    seen, fed = _seen(analysis, log, lives, now, rng)
    still_wanted()
    gas = mixed_forecast(analysis, log, lives, rng=rng)
    shown = seen if gas is None else with_gas_of(seen, gas)
    step = log.ph.step if log.ph is not None and log.ph.step > 0.0 else None
    worth = worth_of_readings(lives, log, seen, rng=rng, strip_step=step)
    still_wanted()
    gas_unit, days = day_lines(shown, system)
    return OutlookAnswer(
        run_id=str(run.pk),
        run_name=run.name,
        as_of=now,
        sentence=outlook_sentence(shown, fed=fed, system=system),
        warning="" if lives.quality.trusted else " ".join(lives.quality.words),
        holder=holder_words(seen),
        gas_unit=gas_unit,
        days=days,
        doubts=tuple(w for w in (driver_words(drivers(lives, seen)), worth_words(worth)) if w),
        beliefs=belief_lines(lives),
        notes=tuple(in_reader_units(note, system) for note in _notes(log, lives, gas)),
        charts=outlook_charts(lives, log, shown, marks=marks, system=system),
        gas=gas,
        sources=tuple(source(key) for key in _SOURCES),
    )


def _seen(
    analysis: Analysis, log: RunLog, lives: Lives, now: datetime, rng: np.random.Generator
) -> tuple[Outlook, bool]:
    """Look ahead with the feeding that is usual."""
    days = lives.day + np.arange(AHEAD_D + 1.0)
    habit = habit_of(log)
    level = float(np.median(lives.states[:, layout(MODEL).state_at["volume"]]))
    events = (
        ()
        if habit is None
        else habit.events(float(days[-1]), level_m3=level, vessel_m3=log.digester.vessel_m3)
    )
    facts = run_facts_of(analysis, now)
    normal = float(dry_normal_factor(_USUAL_GAS_C, analysis.records.barometer.pressure_kpa))
    room = None
    if facts.holder_capacity_m3 is not None and facts.holder_content_m3 is not None:
        room = max(facts.holder_capacity_m3 - facts.holder_content_m3, 0.0) * normal
    burner = gas_uses()["household_burner"]
    seen = look_ahead(
        lives,
        log,
        days=days,
        rng=rng,
        events=events,
        room_m3=room,
        burner_m3_per_h=0.5 * (burner.low + burner.high) * normal,
    )
    return seen, habit is not None


def _notes(log: RunLog, lives: Lives, gas: Forecast | None) -> tuple[str, ...]:
    quality = lives.quality
    halves = () if gas is None else (f"The gas ahead is {MIXED}; the rest is the model's.",)
    told = (
        f"{len(lives)} possible lives, worth {quality.effective:.0f} independent ones; "
        f"{quality.runs} runs of the model."
    )
    return (*halves, *log.notes, *(quality.words if quality.trusted else ()), told)
