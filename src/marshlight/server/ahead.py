"""Working ahead: analysing a run in the background before somebody opens its page."""

import logging
import threading
from collections.abc import Sequence
from typing import Any

from django.conf import settings
from django.db import connection

from marshlight.answers.analysis import analyse
from marshlight.notebook.models import Run

log = logging.getLogger("marshlight.server")


def analyse_soon(run_ids: Sequence[Any] | None = None) -> None:
    """Start analysing some runs, or all that go on, and return at once.

    Parameters
    ----------
    run_ids : sequence, optional
        Keys of the runs; all that go on if left out.
    """
    if settings.MARSHLIGHT_AHEAD:
        threading.Thread(target=_work, args=(run_ids,), name="ahead", daemon=True).start()


def _work(run_ids: Sequence[Any] | None) -> None:
    try:
        runs = Run.objects.in_use().select_related("site", "vessel", "holder", "heater")
        wanted = (
            runs.filter(ended_at__isnull=True) if run_ids is None else runs.filter(pk__in=run_ids)
        )
        for run in wanted:
            analyse(run)
    except Exception:  # a page that asks for the run itself will say what is wrong
        log.warning("could not analyse ahead", exc_info=True)
    finally:
        connection.close()
