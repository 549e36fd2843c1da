"""Starting a trial: every bottle that waits is charged at one time."""

from django.db import transaction

from marshlight.answers.trial_result import bottles_of
from marshlight.notebook.models import Person, Trial
from marshlight.notebook.recording import record_event


def start_bottles(trial: Trial, *, at: str | None, by: Person | None) -> int:
    """Write the charge of every bottle that has not started, and so start its run.

    Parameters
    ----------
    trial : Trial
        The trial.
    at : str or None
        When, on the site's clock; now if left out.
    by : Person or None
        Who sealed them.

    Returns
    -------
    int
        How many were started.

    Raises
    ------
    InputError
        If the time can't be read.
    """
    waiting = [row for row in bottles_of(trial) if row.run.started_at is None]
    with transaction.atomic():
        for row in waiting:
            whole = row.inoculum_kg + row.substrate_kg
            record_event(row.run, "charge", f"{whole:.9g} kg", at=at, note="trial", by=by)
    return len(waiting)
