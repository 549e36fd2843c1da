"""What is the best next step? How much to feed, when to refill, what buffer, whether heat pays."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.next_step import next_step as answer_for
from marshlight.server.pages.runs import find_run
from marshlight.server.pages.what_if import asked_soon, waiting
from marshlight.server.preferences import system_of
from marshlight.server.soon import Job, Progress


def next_step(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Answer for a run."""
    run = find_run(run_id)
    typed, now, system = request.GET.dict(), timezone.now(), system_of(run)

    def work(progress: Progress) -> object:
        return answer_for(typed, run=run, now=now, system=system, progress=progress)

    found = asked_soon(request, run, work, system=system)
    if isinstance(found, Job):
        return waiting(request, run, found, "The best next step")
    context = {"answer": found, "slips": found.problems}
    return render(request, "server/next_step.html", context)
