"""A trial's bottles read and assessed, kept in memory until a record changes."""

import hashlib
import threading
from collections import OrderedDict
from dataclasses import dataclass

from django.db.models import Count, Max

from marshlight.answers.trial_bottles import ReadBottle, read_bottles, theory_of
from marshlight.decide.trial import Known, TrialFacts, TrialResult, assess_trial
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Event, Reading, SetupVersion, Trial, TrialBottle

_KEPT = 8


@dataclass(frozen=True)
class Assessed:
    """A trial's rows, its bottles, and the result, or why there is none yet."""

    trial: Trial
    rows: tuple[TrialBottle, ...]
    bottles: tuple[ReadBottle, ...]
    result: TrialResult | None
    why_not: str


_kept: "OrderedDict[tuple[str, str], Assessed]" = OrderedDict()
_lock = threading.Lock()


def bottles_of(trial: Trial) -> tuple[TrialBottle, ...]:
    """List a trial's bottles in use, in order of place."""
    rows = TrialBottle.objects.in_use().filter(trial=trial)
    return tuple(
        rows.select_related("run__site", "run__holder", "run__vessel", "lot__feedstock", "trial")
    )


def _revision(trial: Trial) -> str:
    parts = []
    for model in (Reading, Event):
        rows = model._base_manager.filter(run__trial_bottle__trial=trial)
        parts.append(rows.aggregate(Count("id"), Max("entered_at")))
    parts.append(SetupVersion.objects.aggregate(Count("id"), Max("at")))
    return hashlib.sha256(repr([sorted(p.items()) for p in parts]).encode()).hexdigest()


def trial_result(trial: Trial) -> Assessed:
    """Work out, or remember, what a trial says.

    Parameters
    ----------
    trial : Trial
        The trial.

    Returns
    -------
    Assessed
        Never older than the newest record.
    """
    key = (str(trial.pk), _revision(trial))
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    found = _assess(trial)
    with _lock:
        _kept[key] = found
        while len(_kept) > _KEPT:
            _kept.popitem(last=False)
    return found


def _assess(trial: Trial) -> Assessed:
    rows = bottles_of(trial)
    read = read_bottles(rows)
    whole = tuple(r.bottle for r in read if r.bottle is not None)
    facts = TrialFacts(
        whole,
        theory=theory_of(rows),
        mixtures=trial.mixtures,
        left_out={row.name: row.left_out for row in rows if row.left_out},
        known=Known(trial.inoculum_ph, trial.inoculum_alkalinity, trial.solids_measured),
    )
    try:
        return Assessed(trial, rows, read, assess_trial(facts), "")
    except MarshlightError as error:
        return Assessed(trial, rows, read, None, str(error))
