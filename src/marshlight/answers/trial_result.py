"""A trial's bottles read and assessed, kept until a record changes."""

import hashlib
from dataclasses import dataclass, replace

from django.db.models import Count, Max

from marshlight.answers.analysis import engine_mark
from marshlight.answers.keeping import kept, remembered
from marshlight.answers.trial_bottles import (
    ReadBottle,
    densities_of,
    read_bottles,
    theory_of,
)
from marshlight.answers.trial_solids import solids_counts
from marshlight.decide.trial import Known, Reckoning, TrialFacts, TrialResult, assess_trial
from marshlight.decide.trial.assessing import reckon_anew
from marshlight.errors import MarshlightError
from marshlight.notebook.models import Event, Reading, SetupVersion, Trial, TrialBottle


@dataclass(frozen=True)
class Assessed:
    """A trial's rows, its bottles, and the result, or why there is none yet.

    ``other_way`` holds the figures with methane reckoned by the way that was not chosen, or None
    and in ``why_one_way`` why.
    """

    trial: Trial
    rows: tuple[TrialBottle, ...]
    bottles: tuple[ReadBottle, ...]
    result: TrialResult | None
    why_not: str
    other_way: Reckoning | None
    why_one_way: str


def bottles_of(trial: Trial) -> tuple[TrialBottle, ...]:
    """List a trial's bottles in use, in order of place."""
    rows = TrialBottle.objects.in_use().filter(trial=trial)
    return tuple(
        rows.select_related("run__site", "run__holder", "run__vessel", "lot__feedstock", "trial")
    )


def _revision(trial: Trial) -> str:
    parts: list[object] = [engine_mark()]
    for model in (Reading, Event):
        rows = model._base_manager.filter(run__trial_bottle__trial=trial)
        parts.append(sorted(rows.aggregate(Count("id"), Max("entered_at")).items()))
    # Sites, vessels, holders, lots and bottles: any of them may be part of the sum.
    setup = SetupVersion.objects.exclude(record="person")
    parts.append(sorted(setup.aggregate(Count("id"), Max("at")).items()))
    return hashlib.sha256(repr(parts).encode()).hexdigest()


def _kept_name(trial: Trial) -> str:
    return f"trial-{trial.pk}"


def trial_ready(trial: Trial) -> bool:
    """Say whether a trial's result is at hand without waiting for it."""
    return kept(_kept_name(trial), _revision(trial)) is not None


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

    def make(_before: Assessed | None) -> Assessed:
        return _assess(trial)

    return remembered(_kept_name(trial), lambda: _revision(trial), make)


def _assess(trial: Trial) -> Assessed:
    rows = bottles_of(trial)
    read: tuple[ReadBottle, ...] = ()
    try:
        read = read_bottles(trial, rows)
        facts = _facts(trial, rows, read)
        result = assess_trial(facts)
    except MarshlightError as error:
        return Assessed(trial, rows, read, None, str(error), None, "")
    other, why = _by_the_other_way(facts, read)
    return Assessed(trial, rows, read, result, "", other, why)


def _facts(trial: Trial, rows: tuple[TrialBottle, ...], read: tuple[ReadBottle, ...]) -> TrialFacts:
    return TrialFacts(
        tuple(r.bottle for r in read if r.bottle is not None),
        theory=theory_of(rows),
        mixtures=trial.mixtures,
        bulk_density=densities_of(rows),
        left_out={row.name: row.left_out for row in rows if row.left_out},
        known=Known(
            trial.inoculum_ph,
            trial.inoculum_alkalinity,
            trial.solids_measured,
            solids_counts(trial),
        ),
    )


def _by_the_other_way(
    facts: TrialFacts, read: tuple[ReadBottle, ...]
) -> tuple[Reckoning | None, str]:
    whole = [r for r in read if r.bottle is not None and not r.row.left_out]
    lacking = [r for r in whole if r.other is None]
    if lacking:
        why = lacking[0].methane.why_one_way if lacking[0].methane is not None else ""
        return None, f"{lacking[0].row.name}: {why}" if why else ""
    bottles = tuple(r.other for r in whole if r.other is not None)
    try:
        return reckon_anew(replace(facts, bottles=bottles)), ""
    except MarshlightError as error:
        return None, str(error)
