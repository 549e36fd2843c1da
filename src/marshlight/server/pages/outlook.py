"""What lies ahead of a run? Its own page, and the part of the run's page that fills itself in."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.outlook import ReadyOutlook, outlook_of, outlook_ready
from marshlight.answers.words import ago
from marshlight.notebook.models import Run
from marshlight.server.ahead import outlook_soon, works_ahead
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of


def outlook(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show the whole outlook; an older one with its mark while a newer is being worked out."""
    return _shown(request, find_run(run_id), "server/outlook.html")


def outlook_brief(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Give the part that the run's page asks for once it stands."""
    return _shown(request, find_run(run_id), "server/parts/outlook_brief.html")


def _shown(request: HttpRequest, run: Run, template: str) -> HttpResponse:
    system, now = system_of(run), timezone.now()
    ready = outlook_ready(run, system=system)
    if ready is None or not ready.fresh:
        if works_ahead():
            outlook_soon(run.pk, system)
        else:
            ready = ReadyOutlook(outlook_of(run, now=now, system=system), fresh=True)
    context = {
        "run": run,
        "outlook": None if ready is None else ready.outlook,
        "fresh": ready is not None and ready.fresh,
        "age": "" if ready is None else ago(ready.outlook.as_of, now),
    }
    return render(request, template, context)
