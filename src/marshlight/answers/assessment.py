"""What the assessment says of a run, as lines for page and terminal."""

from dataclasses import dataclass
from datetime import datetime

from marshlight.answers.analysis import Analysis
from marshlight.answers.state import UNKNOWN, State
from marshlight.decide.safety import Caution
from marshlight.sources import Source


@dataclass(frozen=True)
class AdviceLine:
    """One piece of advice: what, why, how sure, by when."""

    what: str
    why: str
    how_sure: str
    how_much: str
    by_when: str
    urgent: bool
    cautions: tuple[Caution, ...]
    source: Source | None


@dataclass(frozen=True)
class Assessed:
    """State, sentence and advice of a run."""

    state: State
    sentence: str
    advice: tuple[AdviceLine, ...]
    no_advice: str
    next_step: str
    floating_layer: bool = False


def assess_run(analysis: Analysis, now: datetime) -> Assessed:
    """Say how a run is and what to do."""
    return Assessed(
        State(UNKNOWN), "Not enough is known yet.", (), "Nothing to do.", "Log a reading."
    )
