"""What a list of many runs shows of each: kept when it is worked out, read when the list opens."""

from datetime import datetime

from django.utils import timezone

from marshlight.answers.analysis import Analysis, revision
from marshlight.answers.assessment import Assessed, assess_run
from marshlight.answers.diagnosed import diagnosed_lately, diagnosed_ready
from marshlight.answers.diagnosis import suspected
from marshlight.answers.lately import Lately, gas_lately
from marshlight.answers.outlook import outlook_ready
from marshlight.answers.state import State
from marshlight.decide.watch.diagnosis import percent
from marshlight.decide.watch.suspicion import SETTLE
from marshlight.notebook.models import Event, Finding, LogRecord, Person, Reading, Run
from marshlight.notebook.resting import outdate

NOT_WORKED_OUT = "not worked out"
FAILED = "could not be worked out"
# Trouble stands first, then what is urgent, then the rest; within each by state.
_CALM, _NOT_URGENT = 100, 50
# Behind every trouble, before whatever runs well: nobody knows how it is.
_RANK_FAILED = 90
# What urgent calm runs come before; a run that nobody has looked at yet comes just before those.
RANK_NOT_WORKED_OUT = 140
# A warning in time comes behind every trouble that is there, before all else.
_RANK_SOON_SOUR = _CALM
_LAST = 32_000
FIRST_VISITS = _CALM + _NOT_URGENT


def rank_of(state: State, *, urgent: bool) -> int:
    """Rank a run among others: 0 is the most urgent, below `FIRST_VISITS` needs a visit first.

    Examples
    --------
    >>> leaking, steady = State("leaking"), State("steady")
    >>> rank_of(leaking, urgent=True) < rank_of(leaking, urgent=False)
    True
    >>> rank_of(leaking, urgent=False) < rank_of(steady, urgent=True) < FIRST_VISITS
    True
    """
    calm = state.tone != "trouble"
    return _CALM * calm + _NOT_URGENT * (not urgent) + state.urgency


def keep_finding(
    run: Run,
    analysis: Analysis,
    now: datetime,
    *,
    rests_on: str,
    took_s: float = 0.0,
) -> Assessed:
    """Keep what a list shows of a run; an earlier finding is replaced.

    Parameters
    ----------
    run : Run
        The run, with its site.
    analysis : Analysis
        What the engine makes of its log.
    now : datetime
        The moment it is assessed for.
    rests_on : str
        Revision of the log that the analysis was made from.
    took_s : float
        Time that working it out took [s].

    Returns
    -------
    Assessed
        What was kept, in words.
    """
    assessed = assess_run(analysis, now, system="metric")
    urgent = any(advice.urgent for advice in assessed.advice)
    newest = max((r.at for r in analysis.latest.values()), default=None)
    feared, ranks = _feared(run, assessed, now)
    Finding.objects.update_or_create(
        run=run,
        defaults={
            "rests_on": rests_on,
            "worked_at": timezone.now(),
            "took_s": took_s,
            "rank": min(rank_of(assessed.state, urgent=urgent), *ranks),
            "state": assessed.state.word,
            "keeper": _last_writer(run),
            "read_at": newest,
            "said": _said(assessed, gas_lately(analysis), urgent=urgent) | _ahead(run) | feared,
            "trouble": "",
        },
    )
    # Asked last: what is written from now on finds this row and marks it itself.
    if revision(run) != rests_on:
        outdate(run)
    return assessed


def keep_failure(run: Run, why: str) -> None:
    """Keep that a run could not be worked out; what was known of it before stays."""
    before = Finding.objects.filter(run=run).first()
    if before is not None:
        before.trouble, before.rank = why, min(before.rank, _RANK_FAILED)
        before.save(update_fields=["trouble", "rank"])
        return
    Finding.objects.create(
        run=run,
        rests_on="",
        worked_at=timezone.now(),
        rank=_RANK_FAILED,
        state=FAILED,
        keeper=_last_writer(run),
        trouble=why,
    )


def _said(assessed: Assessed, lately: Lately, *, urgent: bool) -> dict[str, object]:
    rate = lately.rate_m3_per_d
    return {
        "next_step": assessed.next_step,
        "urgent": urgent,
        "rate_m3_per_d": None if rate is None else rate.value,
        "at_least": lately.at_least,
        "low_m3_per_d": lately.expected_low,
        "high_m3_per_d": lately.expected_high,
    }


def _ahead(run: Run) -> dict[str, object]:
    """Give what the process model says of the days ahead, where it has seen the whole log."""
    found = outlook_ready(run, system=run.site.units)
    if found is None or not found.fresh:
        return {"by_model": False, "ahead": ""}
    return {"by_model": True, "ahead": "" if found.thing.why_not else found.thing.sentence}


def _feared(
    run: Run, assessed: Assessed, now: datetime
) -> tuple[dict[str, object], tuple[int, ...]]:
    """Give what the newest diagnosis says of a run beyond its state, and how that ranks it."""
    ready, found = diagnosed_ready(run), diagnosed_lately(run, now)
    words: list[str] = []
    ranks = [_LAST]
    suspicion = suspected(run, now)
    # A test that was marked done or put off is no reason for a visit; nor is what the state says.
    if suspicion is not None and any(
        a.key == SETTLE for a in (*assessed.advice, *assessed.waiting)
    ):
        words.append(f"{suspicion.words} ({percent(suspicion.chance)})")
        if suspicion.state_word:
            ranks.append(rank_of(State(suspicion.state_word), urgent=True))
    if found is not None and found.souring.warned and assessed.state.word != "souring":
        risk = found.souring
        words.append(
            f"{risk.premise[:1].lower()}{risk.premise[1:]}, sour within {risk.days:.0f} days "
            f"({percent(risk.either)})"
        )
        ranks.append(_RANK_SOON_SOUR)
    fresh = ready is not None and ready.fresh
    return {"diagnosed": fresh, "feared": "; ".join(words)}, tuple(ranks)


def _last_writer(run: Run) -> Person | None:
    """Give who wrote in the log last: the one to ask about this run."""
    newest: list[LogRecord] = []
    for model in (Reading, Event):
        rows = model.objects.newest().filter(run=run, entered_by__isnull=False)
        found = rows.select_related("entered_by").order_by("-at").first()
        newest += [] if found is None else [found]
    last = max(newest, key=lambda record: record.at, default=None)
    return None if last is None else last.entered_by  # type: ignore[attr-defined,no-any-return]
