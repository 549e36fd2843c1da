"""What lies ahead of a run? Its own page, and the part that the run's page fills in."""

import uuid

from django.http import HttpRequest, HttpResponse

from marshlight.answers.outlook import outlook_of, outlook_ready
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
    )
