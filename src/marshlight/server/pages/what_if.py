"""What if I feed, dose, warm or refill it?"""

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.analysis import revision
from marshlight.answers.simulate import what_if as answer_for
from marshlight.decide.safety import Caution
from marshlight.notebook.models import Run
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of
from marshlight.server.soon import Job, Work, soon


def what_if(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Answer for a run, beside leaving it alone."""
    run = find_run(run_id)
    typed, now, system = request.GET.dict(), timezone.now(), system_of(run)
    found = asked_soon(
        request, run, lambda _: answer_for(typed, run=run, now=now, system=system), system=system
    )
    if isinstance(found, Job):
        return waiting(request, run, found, "What if?")
    context = {"answer": found.told, "charts": found.charts, "slips": found.told.problems}
    return render(request, "server/what_if.html", context)


def asked_soon(request: HttpRequest, run: Run, work: Work, *, system: str) -> Any:
    """Ask for an answer that holds for this address, this hour and this state of the log."""
    hour = f"{timezone.now():%Y-%m-%d %H}"
    return soon(f"{request.get_full_path()} {system} {hour} {revision(run)}", work)


def waiting(
    request: HttpRequest, run: Run, job: Job, title: str, *, cautions: tuple[Caution, ...] = ()
) -> HttpResponse:
    """Show how far an answer is, its cautions already there; the page asks again by itself."""
    context = {"run": run, "job": job, "title": title, "cautions": cautions}
    return render(request, "server/soon.html", context)
