"""Stopping what a page waits for: it is not wanted any more, so nobody works on it."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_POST

from marshlight.server import ahead, soon
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of

_PARTS = ("outlook", "diagnosis")


@require_POST
def stop(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Stop an answer by its job, or a part of the run's page by its name; go back to the run."""
    run = find_run(run_id)
    part = request.POST.get("part", "")
    if part in _PARTS:
        ahead.leave((part, run.pk, system_of(run)))
    elif not soon.stop(request.POST.get("job", "")):
        messages.info(request, "That was already done or stopped.")
        return redirect("run", run.pk)
    messages.info(request, "Stopped. Nothing of it is kept; asked for again, it begins anew.")
    return redirect("run", run.pk)
