"""How is it, what will it do, what should I do? One run."""

import time
import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.analysis import ready
from marshlight.answers.run import run_page
from marshlight.notebook.models import Run
from marshlight.server.ahead import analyse_soon, works_ahead
from marshlight.server.pages.runs import find_run

_PATIENCE_S = 0.25


def run(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show one run whole."""
    found = find_run(run_id)
    if works_ahead() and ready(found) is None:
        analyse_soon([found.pk])
        if not _soon_enough(found):
            return render(request, "server/run_wait.html", {"run": found})
    asked = request.GET.get("records", "1")
    page = run_page(
        found,
        now=timezone.now(),
        records_page=int(asked) if asked.isdigit() and len(asked) < 8 else 1,
    )
    return render(request, "server/run.html", {"page": page})


def _soon_enough(run: Run) -> bool:
    """Wait as long as a page may take; most analyses after one new reading are ready by then."""
    until = time.monotonic() + _PATIENCE_S
    while time.monotonic() < until:
        time.sleep(0.02)
        if ready(run) is not None:
            return True
    return False
