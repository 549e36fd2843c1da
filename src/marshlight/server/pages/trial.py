"""Which is better, and can I say so? Trials, one trial, and its plan to print."""

import uuid
from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from marshlight.answers.trial import trial_page
from marshlight.answers.trial_list import trial_lines
from marshlight.answers.trial_mixture import keep_mixture
from marshlight.answers.trial_plan import trial_plan as plan_of
from marshlight.answers.trial_solids import keep_solids, solids_form
from marshlight.answers.trial_start import start_bottles
from marshlight.errors import InputError, InputErrors
from marshlight.notebook.models import Trial
from marshlight.server.pages.trial_wait import at_hand
from marshlight.server.pages.typed import writer


def find_trial(ident: uuid.UUID) -> Trial:
    """Find a trial with its site, or say that there is none."""
    return get_object_or_404(Trial.objects.select_related("site"), pk=ident)


def trials(request: HttpRequest) -> HttpResponse:
    """List all trials."""
    return render(request, "server/trials.html", {"trials": trial_lines(timezone.now())})


def trial(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Show one trial whole; keep which material is a mixture when told."""
    if request.method == "POST":
        by = writer(request.POST, request.person, alone=request.alone)
        try:
            messages.success(request, keep_mixture(find_trial(ident), request.POST, by=by))
        except (InputError, InputErrors) as error:
            messages.warning(request, str(error))
        return redirect("trial", ident=ident)
    found = find_trial(ident)
    if not at_hand([found]):
        return render(request, "server/trial_wait.html", {"name": found.name, "trial": found})
    page = trial_page(found, against=request.GET.get("against", ""))
    return render(request, "server/trial.html", {"page": page})


@require_POST
def trial_solids(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Keep TS and VS of each crucible; say what can't be read, with what was typed still there."""
    found = find_trial(ident)
    by = writer(request.POST, request.person, alone=request.alone)
    try:
        messages.success(request, keep_solids(found, request.POST, by=by))
    except (InputError, InputErrors) as error:
        page = trial_page(find_trial(ident))
        page = replace(page, solids=solids_form(find_trial(ident), request.POST))
        context = {"page": page, "slips": str(error).splitlines()}
        return render(request, "server/trial.html", context, status=422)
    return redirect("trial", ident=ident)


def trial_plan(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Show what to weigh in, where bottles stand, and labels; start all that wait when told."""
    if request.method == "POST":
        by = writer(request.POST, request.person, alone=request.alone)
        try:
            started = start_bottles(find_trial(ident), at=request.POST.get("at") or None, by=by)
        except InputError as error:
            messages.warning(request, str(error))
            return redirect("trial-plan", ident=ident)
        messages.success(request, f"{started} bottles are started.")
        return redirect("trial", ident=ident)
    return render(request, "server/trial_plan.html", {"page": plan_of(find_trial(ident))})
