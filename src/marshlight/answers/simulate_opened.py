"""What "what if" and "the best next step" begin with: log, larder, form, and what comes first."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from marshlight.answers.analysis import Analysis, analyse
from marshlight.answers.asked import Asked, Question, ask
from marshlight.answers.assessment import Assessed, assess_run
from marshlight.answers.diagnosis import suspected
from marshlight.answers.simulate_try import Larder, larder_of
from marshlight.answers.told import Answer
from marshlight.answers.watching import run_facts_of
from marshlight.decide.safety import cautions_at
from marshlight.decide.watch.diagnosis import HARMFUL
from marshlight.decide.watch.suspicion import STATE_WORDS
from marshlight.notebook.models import Run

SETTLED = "Once that is settled: "
# Gas lost, air drawn in, gas held back: feeding on makes more of what can burn or burst.
_HOLDS = frozenset(STATE_WORDS[key] for key in HARMFUL if key in STATE_WORDS)
_MORE = "more gas is more that can burn, choke or burst."
_HOLD = f" Do not feed it for more gas before that: {_MORE}"
_STILL = f" Do not feed it for more gas before that is over: {_MORE}"
# Common practice, as the run's own advice has it (source `first_flame_practice`).
_GET_GOING = "First: let it get going. Feed it nothing before its gas holds a flame."
# A full holder has its own place on the run's page and is no reason to doubt what is told here.
_ROUTINE = "empty_holder"


@dataclass(frozen=True)
class Opened:
    """The run's analysis, what can be fed, what was typed, and the answer before any figure.

    ``holds`` is true while feeding on would add to what can do harm.
    """

    analysis: Analysis
    larder: Larder
    asked: Asked
    told: Answer
    holds: bool


def opened(
    typed: Mapping[str, str],
    *,
    run: Run,
    now: datetime,
    system: str,
    key: str,
    title: str,
    questions: Callable[[Larder], tuple[Question, ...]],
) -> Opened:
    """Read log and form for a question about a run.

    Parameters
    ----------
    typed : mapping
        As typed; what is missing is usual.
    run : Run
        Whose log is followed up to now.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".
    key, title : str
        Of the answer.
    questions : callable
        Gives the form for what can be fed.

    Returns
    -------
    Opened
        Its answer tells what has to come first; where something typed cannot be used, that alone.
    """
    analysis = analyse(run)
    larder = larder_of(run, analysis, now)
    asked = ask(questions(larder), typed)
    first, holds = comes_first(analysis, now, system)
    told = Answer.to_form(
        asked,
        dict(asked.problems),
        run,
        key=key,
        title=title,
        sentence="Something typed cannot be used; the reason stands beside its field.",
        cautions=cautions_at("page:run"),
        sections=(),
        first=first,
    )
    return Opened(analysis, larder, asked, told, holds)


def comes_first(analysis: Analysis, now: datetime, system: str) -> tuple[str, bool]:
    """Say what the run's own advice puts before any plan, and whether to hold feed back till then.

    Parameters
    ----------
    analysis : Analysis
        The run's.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    tuple of str and bool
        Nothing where all is in order.
    """
    assessed = assess_run(analysis, now, system=system)
    in_trouble = assessed.state.tone == "trouble"
    pressing = [
        advice
        for advice in assessed.advice
        if advice.key != _ROUTINE and (advice.urgent or in_trouble)
    ]
    doubt = suspected(analysis.records.run, now)
    holds = assessed.state.word in _HOLDS or (doubt is not None and doubt.key in HARMFUL)
    if not pressing:
        return _without_advice(analysis, assessed, now, holds=holds), holds
    what = f"First: {pressing[0].what[:1].lower()}{pressing[0].what[1:]}"
    when = f" ({pressing[0].by_when})" if pressing[0].by_when else ""
    return f"{what}{when}.{_HOLD if holds else ''}", holds


def _without_advice(analysis: Analysis, assessed: Assessed, now: datetime, *, holds: bool) -> str:
    """Say what comes first where no advice stands: all is answered, or the run only starts."""
    if holds:
        return f"{assessed.sentence}{_STILL}"
    facts = run_facts_of(analysis, now)
    burns = any(outcome == "holds" for _, outcome in facts.flame)
    return "" if burns or assessed.state.word != "starting" else _GET_GOING
