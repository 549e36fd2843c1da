"""One screen to read a whole rack; questions are asked before anything is kept."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from marshlight.answers.trial_rack import keep_round, rack, slips_of
from marshlight.errors import InputError, InputErrors
from marshlight.notebook.models import Trial
from marshlight.server.ahead import assess_soon
from marshlight.server.pages.trial import find_trial
from marshlight.server.pages.typed import writer


def trial_rack(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Ask for a round of readings and keep it."""
    return read_rack(request, find_trial(ident), back=reverse("trial", args=[ident]))


def read_rack(request: HttpRequest, trial: Trial, *, back: str, team: str = "") -> HttpResponse:
    """Ask for a round of all bottles, or of one group's, and keep it; then go back.

    Parameters
    ----------
    request : HttpRequest
        GET asks, POST keeps.
    trial : Trial
        The trial.
    back : str
        Address of the page that led here.
    team : str
        Only this group's bottles; all where empty.
    """
    now = timezone.now()
    if request.method != "POST":
        page = {"rack": rack(trial, now=now, team=team), "back": back}
        return render(request, "server/trial_rack.html", page)
    typed = {name: str(value) for name, value in request.POST.items()}
    try:
        done = keep_round(
            trial,
            typed,
            now=now,
            by=writer(request.POST, request.person, alone=request.alone),
            sure=bool(typed.get("sure")),
            team=team,
        )
    except (InputError, InputErrors) as error:
        slips = slips_of(error)
        page = {
            "rack": rack(trial, now=now, typed=typed, slips=slips, team=team),
            "slips": slips,
            "back": back,
            **_common(typed),
        }
        return render(request, "server/trial_rack.html", page, status=422)
    if not done.kept:
        page = {
            "rack": rack(trial, now=now, typed=typed, team=team),
            "doubts": done.doubts,
            "back": back,
            **_common(typed),
        }
        return render(request, "server/trial_rack.html", page)
    messages.success(request, f"Saved: {done.kept} bottles read.")
    assess_soon([trial.pk])
    return redirect(back)


def _common(typed: dict[str, str]) -> dict[str, object]:
    return {"barometer": typed.get("barometer", ""), "kept_closed": "let_off" not in typed}
