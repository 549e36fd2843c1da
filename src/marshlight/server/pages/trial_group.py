"""A class at a trial: a group's own bottles, and who may log in as which group."""

import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.cache import never_cache

from marshlight.answers.trial_group import (
    group_page,
    groups_page,
    keep_groups,
    teams_of,
    trials_of,
)
from marshlight.errors import InputError
from marshlight.notebook.models import Person
from marshlight.server.accounts import new_group_password
from marshlight.server.leads import is_lead, turn_away
from marshlight.server.pages.trial import find_trial
from marshlight.server.pages.trial_rack import read_rack
from marshlight.server.pages.trial_wait import at_hand
from marshlight.server.pages.typed import writer


def _team(request: HttpRequest) -> str:
    """Give the group asked about: a group's own, whatever the address says."""
    person = request.person
    if person is not None and person.role == Person.Role.GROUP:
        return str(person.name)
    return request.GET.get("group", "")


def own_bottles(request: HttpRequest) -> HttpResponse:
    """Show a group its own bottles in every trial, and the result of all."""
    team = _team(request)
    now = timezone.now()
    own = trials_of(team) if team else ()
    if not at_hand(own):
        return render(request, "server/trial_wait.html", {"name": team})
    pages = [group_page(trial, team, now=now) for trial in own]
    asked = "" if _is_own(request) else f"?{urlencode({'group': team})}"
    context = {"team": team, "pages": pages, "asked": asked}
    return render(request, "server/own_bottles.html", context)


def _is_own(request: HttpRequest) -> bool:
    return request.person is not None and request.person.role == Person.Role.GROUP


def own_rack(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Read a group's own bottles; nobody else's are asked for or kept."""
    team = _team(request)
    trial = find_trial(ident)
    if not team or not trial.class_mode or team not in teams_of(trial):
        raise Http404("this group has no bottle in that trial")
    back = reverse("own-bottles")
    if not _is_own(request):
        back = f"{back}?{urlencode({'group': team})}"
    return read_rack(request, trial, back=back, team=team)


@never_cache
def trial_groups(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Say which group looks after which bottle; give a group a password, shown once."""
    trial = find_trial(ident)
    fresh: list[tuple[str, str]] = []
    if request.method == "POST":
        if not is_lead(request):
            return turn_away(request)
        try:
            if "log-in" in request.POST:
                fresh = _log_ins(request, teams_of(trial))
            else:
                by = writer(request.POST, request.person, alone=request.alone)
                messages.success(request, keep_groups(trial, request.POST, by=by))
                return redirect("trial-groups", ident=ident)
        except InputError as error:
            messages.warning(request, str(error))
            return redirect("trial-groups", ident=ident)
    context = {
        "page": groups_page(trial),
        "fresh": fresh,
        "may_change": is_lead(request),
        "log_in": request.build_absolute_uri(reverse("log-in")),
    }
    return render(request, "server/trial_groups.html", context)


def _log_ins(request: HttpRequest, teams: tuple[str, ...]) -> list[tuple[str, str]]:
    """Give one group, or all of the trial, a new password."""
    wanted = request.POST["log-in"]
    chosen = teams if wanted == "all" else tuple(t for t in teams if t == wanted)
    if not chosen:
        raise InputError("group", wanted, ", ".join(teams) or "none yet", "Name a group first")
    return [(team, new_group_password(team)) for team in chosen]
