"""What may be wrong with a run? Its own page, and the part that the run's page fills in."""

import uuid

from django.http import HttpRequest, HttpResponse

from marshlight.answers.diagnosis import diagnosis_of, diagnosis_ready
from marshlight.server.ahead import diagnosis_soon
from marshlight.server.filling import filled
from marshlight.server.pages.runs import find_run


def diagnosis(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show all explanations; an older diagnosis with its mark while a newer is worked out."""
    return _shown(request, run_id, "server/diagnosis.html")


def diagnosis_brief(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Give the part that the run's page asks for once one scrolls there."""
    return _shown(request, run_id, "server/parts/diagnosis_brief.html")


def _shown(request: HttpRequest, run_id: uuid.UUID, template: str) -> HttpResponse:
    return filled(
        request,
        find_run(run_id),
        template,
        name="diagnosis",
        newest=diagnosis_ready,
        work_out=diagnosis_of,
        soon=diagnosis_soon,
    )
