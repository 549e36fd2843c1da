"""What needs me now? Every run that goes on, most urgent first."""

from dataclasses import dataclass
from datetime import datetime

from marshlight.answers.analysis import Analysis, analyse, ready
from marshlight.answers.assessment import Assessed, assess_run
from marshlight.answers.drawn import draw_run, layer_noted
from marshlight.answers.lately import gas_lately
from marshlight.answers.picture import VesselPicture
from marshlight.answers.state import PENDING, State
from marshlight.answers.trial_list import TrialLine, trial_lines
from marshlight.answers.words import ago, clock, days_since
from marshlight.notebook.models import Reading, Run


@dataclass(frozen=True)
class RunCardLine:
    """One run on the overview."""

    ident: str
    name: str
    vessel: str
    day: int | None
    state: State
    picture: VesselPicture
    gas: str
    gas_words: str
    expected: str
    next_step: str
    urgent: bool = False
    pending: bool = False


@dataclass(frozen=True)
class EndedRun:
    """A run that is over."""

    ident: str
    name: str
    words: str


@dataclass(frozen=True)
class Overview:
    """All runs: a sentence, then the runs, most urgent first."""

    sentence: str
    hint: str
    runs: tuple[RunCardLine, ...]
    ended: tuple[EndedRun, ...]
    pending: int = 0
    trials: tuple[TrialLine, ...] = ()


def overview(now: datetime, *, wait: bool = True) -> Overview:
    """Look over every run.

    Parameters
    ----------
    now : datetime
        The moment of asking.
    wait : bool
        Whether to work out what is not known yet; else those runs say that they are being
        worked out.

    Returns
    -------
    Overview
        Runs that go on, most urgent first, and those that ended, newest first.
    """
    whole = Run.objects.in_use().select_related("site", "vessel", "holder", "heater")
    # The bottles of a trial stand on the page as one rack.
    going = whole.filter(ended_at__isnull=True).exclude(trial_bottle__retired=False)
    lines = [_line(run, now, wait=wait) for run in going]
    racks = trial_lines(now)
    lines.sort(key=_urgency)
    ended = tuple(
        EndedRun(str(run.pk), run.name, f"ended {clock(run.ended_at, run.site.time_zone)}")
        for run in whole.filter(ended_at__isnull=False).order_by("-ended_at")
        if run.ended_at is not None
    )
    trouble = [line.name for line in lines if line.state.tone == "trouble"]
    pending = sum(line.pending for line in lines)
    return Overview(
        _sentence(lines, trouble, pending) if lines or not racks else "Only trials are going",
        _hint(lines, trouble, pending),
        tuple(lines),
        ended,
        pending,
        racks,
    )


def _urgency(line: RunCardLine) -> tuple[bool, bool, int, str]:
    return line.state.tone != "trouble", not line.urgent, line.state.urgency, line.name


def _sentence(lines: list[RunCardLine], trouble: list[str], pending: int) -> str:
    if not lines:
        return "No runs yet"
    if pending and not trouble:
        return "Looking over your runs"
    if not trouble:
        asking = [line.name for line in lines if line.urgent]
        if len(asking) == 1:
            return f"{asking[0]}: {lines[0].next_step.rstrip('.').lower()} today"
        if asking:
            return f"{len(asking)} runs want something done today"
        return "All runs are quiet" if len(lines) > 1 else "The run is quiet"
    names = trouble[0] if len(trouble) == 1 else f"{', '.join(trouble[:-1])} and {trouble[-1]}"
    return f"{names} {'needs' if len(trouble) == 1 else 'need'} you"


def _hint(lines: list[RunCardLine], trouble: list[str], pending: int) -> str:
    if not lines:
        return ""
    if pending:
        return f"{len(lines) - pending} of {len(lines)} runs worked out; the rest follow."
    count = f"{len(lines)} run{'s' * (len(lines) != 1)} going"
    return f"{count}, {len(trouble)} in trouble; the most urgent first." if trouble else f"{count}."


def _line(run: Run, now: datetime, *, wait: bool) -> RunCardLine:
    analysis = analyse(run) if wait else ready(run)
    if analysis is None:
        return _pending(run, now)
    system = run.site.units
    assessed = assess_run(analysis, now, system=system)
    lately = gas_lately(analysis)
    started = run.started_at is not None
    return RunCardLine(
        ident=str(run.pk),
        name=run.name,
        vessel=run.vessel.name,
        day=int(days_since(run.started_at, now)) if run.started_at else None,
        state=assessed.state,
        picture=picture_of(run, analysis, assessed),
        gas=lately.words(system) if started else "–",
        gas_words=_when(analysis, now) if started else "not started",
        expected=lately.expected_words(system),
        next_step=assessed.next_step,
        urgent=any(advice.urgent for advice in assessed.advice),
    )


def _pending(run: Run, now: datetime) -> RunCardLine:
    """Say of a run that it is being worked out; its button for logging works all the same."""
    nothing: dict[str, Reading] = {}
    picture = draw_run(run, nothing, vessel=None, holder=None, slurry_m3=None, methane=None)
    return RunCardLine(
        ident=str(run.pk),
        name=run.name,
        vessel=run.vessel.name,
        day=int(days_since(run.started_at, now)) if run.started_at else None,
        state=State(PENDING),
        picture=picture,
        gas="…",
        gas_words="being worked out",
        expected="",
        next_step="Being worked out; you can log meanwhile.",
        pending=True,
    )


def _when(analysis: Analysis, now: datetime) -> str:
    newest = max((r.at for r in analysis.latest.values()), default=None)
    return f"last read {ago(newest, now)}" if newest else "nothing read yet"


def picture_of(run: Run, analysis: Analysis, assessed: Assessed) -> VesselPicture:
    """Draw a run as its analysis and assessment see it."""
    methane = analysis.methane
    return draw_run(
        run,
        analysis.latest,
        vessel=analysis.records.vessel,
        holder=analysis.records.holder_log.holder,
        slurry_m3=analysis.slurry_m3,
        methane=None if methane is None else methane.methane,
        in_trouble=assessed.state.tone == "trouble",
        floating_layer=layer_noted(analysis.records),
    )
