"""No page of trials waits for the engine longer than a page may take."""

import time
from collections.abc import Iterable

from marshlight.answers.trial_result import trial_ready
from marshlight.notebook.models import Trial
from marshlight.server.ahead import assess_soon, works_ahead

_PATIENCE_S = 0.25


def at_hand(trials: Iterable[Trial]) -> bool:
    """Say whether the results of trials are at hand; if not, have them worked out.

    Parameters
    ----------
    trials : iterable of Trial
        What a page is about to show.

    Returns
    -------
    bool
        False after a quarter of a second of waiting. Always true where nothing works ahead: the
        page then works it out itself.
    """
    if not works_ahead():
        return True
    waiting = [trial for trial in trials if not trial_ready(trial)]
    assess_soon([trial.pk for trial in waiting])
    until = time.monotonic() + _PATIENCE_S
    while waiting and time.monotonic() < until:
        time.sleep(0.02)
        waiting = [trial for trial in waiting if not trial_ready(trial)]
    return not waiting
