"""One screen to read a whole rack; questions are asked before anything is kept."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from marshlight.answers.trial_rack import keep_round, rack, slips_of
from marshlight.errors import InputError, InputErrors
from marshlight.server.pages.trial import find_trial
from marshlight.server.pages.typed import writer


def trial_rack(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Ask for a round of readings and keep it."""
    trial = find_trial(ident)
    now = timezone.now()
    if request.method != "POST":
        return render(request, "server/trial_rack.html", {"rack": rack(trial, now=now)})
    typed = {name: str(value) for name, value in request.POST.items()}
    try:
        done = keep_round(
            trial,
            typed,
            now=now,
            by=writer(request.POST, request.person, alone=request.alone),
            sure=bool(typed.get("sure")),
        )
    except (InputError, InputErrors) as error:
        slips = slips_of(error)
        page = {
            "rack": rack(trial, now=now, typed=typed, slips=slips),
            "slips": slips,
            **_common(typed),
        }
        return render(request, "server/trial_rack.html", page, status=422)
    if not done.kept:
        page = {"rack": rack(trial, now=now, typed=typed), "doubts": done.doubts, **_common(typed)}
        return render(request, "server/trial_rack.html", page)
    messages.success(request, f"Saved: {done.kept} bottles read.")
    return redirect("trial", ident=trial.pk)


def _common(typed: dict[str, str]) -> dict[str, object]:
    return {"barometer": typed.get("barometer", ""), "kept_closed": "let_off" not in typed}
