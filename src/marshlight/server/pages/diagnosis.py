"""What may be wrong with a run? Its own page, and the part that the run's page fills in."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.diagnosis import ReadyDiagnosis, diagnosis_of, diagnosis_ready
from marshlight.answers.words import ago
from marshlight.notebook.models import Run
from marshlight.server.ahead import diagnosis_soon, works_ahead
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of


def diagnosis(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show all explanations; an older diagnosis with its mark while a newer is worked out."""
    return _shown(request, find_run(run_id), "server/diagnosis.html")


def diagnosis_brief(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Give the part that the run's page asks for once it stands."""
    return _shown(request, find_run(run_id), "server/parts/diagnosis_brief.html")


def _shown(request: HttpRequest, run: Run, template: str) -> HttpResponse:
    system, now = system_of(run), timezone.now()
    ready = diagnosis_ready(run, system=system)
    if ready is None or not ready.fresh:
        if works_ahead():
            diagnosis_soon(run.pk, system)
        else:
            ready = ReadyDiagnosis(diagnosis_of(run, now=now, system=system), fresh=True)
    context = {
        "run": run,
        "diagnosis": None if ready is None else ready.diagnosis,
        "fresh": ready is not None and ready.fresh,
        "age": "" if ready is None else ago(ready.diagnosis.as_of, now),
    }
    return render(request, template, context)
