"""What lies ahead of a run? Its own page, and the part that the run's page fills in."""

import uuid
from datetime import datetime

from django.http import HttpRequest, HttpResponse

from marshlight.answers.analysis import ready
from marshlight.answers.outlook import outlook_of, outlook_ready
from marshlight.answers.simulate_opened import comes_first
from marshlight.notebook.models import Run
from marshlight.server.ahead import outlook_soon
from marshlight.server.filling import filled
from marshlight.server.pages.runs import find_run


def outlook(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show the whole outlook; an older one with its mark while a newer is worked out."""
    return _shown(request, run_id, "server/outlook.html")


def outlook_brief(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Give the part that the run's page asks for once one scrolls there."""
    return _shown(request, run_id, "server/parts/outlook_brief.html")


def _shown(request: HttpRequest, run_id: uuid.UUID, template: str) -> HttpResponse:
    return filled(
        request,
        find_run(run_id),
        template,
        name="outlook",
        newest=outlook_ready,
        work_out=outlook_of,
        soon=outlook_soon,
        more=_first,
    )


def _first(run: Run, now: datetime, system: str) -> dict[str, object]:
    """Tell what comes before any outlook, once the run's log has been worked out."""
    analysis = ready(run)
    return {"first": "" if analysis is None else comes_first(analysis, now, system)[0]}
