"""Trials as lines of a list; nothing is worked out for them."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Max, Min, Q

from marshlight.answers.words import ago, days_since
from marshlight.notebook.models import Reading, Trial


@dataclass(frozen=True)
class TrialLine:
    """One trial in a list: its name, how many bottles, its day, when it was last read."""

    ident: str
    name: str
    bottles: int
    words: str


def trial_lines(now: datetime) -> tuple[TrialLine, ...]:
    """List every trial in use.

    Parameters
    ----------
    now : datetime
        The moment of asking.
    """
    rows = Trial.objects.in_use().annotate(
        n=Count("bottles", filter=Q(bottles__retired=False)), began=Min("bottles__run__started_at")
    )
    return tuple(_line(trial, now) for trial in rows)


def _line(trial: Trial, now: datetime) -> TrialLine:
    read = Reading.objects.current().filter(run__trial_bottle__trial=trial)
    last = read.aggregate(last=Max("at"))["last"]
    parts = [f"{trial.n} bottles"]
    parts += [f"day {days_since(trial.began, now):.0f}"] if trial.began else ["not started"]
    parts.append(f"last read {ago(last, now)}" if last else "not read yet")
    return TrialLine(str(trial.pk), trial.name, trial.n, ", ".join(parts))
