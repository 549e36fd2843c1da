"""What if I feed, dose or warm it?"""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.simulate import what_if as answer_for
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of


def what_if(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Answer for a run, beside leaving it alone."""
    run = find_run(run_id)
    found = answer_for(request.GET.dict(), run=run, now=timezone.now(), system=system_of(run))
    context = {"answer": found.told, "chart": found.chart, "slips": found.told.problems}
    return render(request, "server/what_if.html", context)
