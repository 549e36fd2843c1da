"""Setting up sites, vessels, holders, heaters, lots, materials and runs, from one description."""

import uuid
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from marshlight.answers.set_up import set_up_group, set_up_groups, set_up_page
from marshlight.errors import InputError, InputErrors
from marshlight.notebook.models import Setup
from marshlight.notebook.setting_up import SETUPS, SetupKind, change
from marshlight.notebook.setting_up import set_up as keep_new
from marshlight.server.leads import is_lead, turn_away
from marshlight.server.pages.typed import writer
from marshlight.server.preferences import system_of

# What a keeper's day needs; the rest is set up by a lead.
EVERYDAY = frozenset({"lot", "feedstock", "run"})


def set_up(request: HttpRequest) -> HttpResponse:
    """List everything that is set up."""
    groups = set_up_groups(system=system_of())
    return render(request, "server/set_up.html", {"groups": groups})


def set_up_list(request: HttpRequest, kind: str) -> HttpResponse:
    """List the records of one kind."""
    group = set_up_group(_kind(kind), system=system_of())
    return render(request, "server/set_up_list.html", {"group": group})


def set_up_new(request: HttpRequest, kind: str) -> HttpResponse:
    """Ask for a new record and keep it."""
    described = _kind(kind)
    if not _may(request, kind):
        return turn_away(request)
    if request.method != "POST":
        given = {f.name: request.GET[f.name] for f in described.fields if f.name in request.GET}
        return _show(request, described, None, given=given)
    try:
        record = keep_new(kind, _given(request, described), by=_writer(request))
    except (InputError, InputErrors) as error:
        return _show(request, described, None, error=error)
    messages.success(request, f"Kept: {record.name}.")
    return redirect("set-up-list", kind=kind)


def set_up_change(request: HttpRequest, kind: str, ident: uuid.UUID) -> HttpResponse:
    """Show a record with its history, and keep a change or retire it."""
    described = _kind(kind)
    record = get_object_or_404(described.model, pk=ident)
    if request.method == "POST" and not _may(request, kind):
        return turn_away(request)
    if request.method != "POST":
        return _show(request, described, record)
    try:
        done = _change(request, described, record)
    except (InputError, InputErrors) as error:
        record.refresh_from_db()
        return _show(request, described, record, error=error)
    messages.success(request, f"{record.name}: {done}. The state it had stays in its history.")
    return redirect("set-up-change", kind=kind, ident=ident)


def _change(request: HttpRequest, kind: SetupKind, record: Any) -> str:
    why, by = request.POST.get("why", ""), _writer(request)
    if "retire" in request.POST or "use" in request.POST:
        if not why.strip():
            raise InputError("why", why, "a few words", "Say why; the history keeps it")
        record.retired = "retire" in request.POST
        record.save(by=by, why=why)
        return "no longer used" if record.retired else "in use again"
    change(record, _given(request, kind), by=by, why=why)
    return "changed"


def _may(request: HttpRequest, kind: str) -> bool:
    """Say whether the person may set up such a record: what is built and where, only leads."""
    return kind in EVERYDAY or is_lead(request)


def _kind(key: str) -> SetupKind:
    if key not in SETUPS:
        raise Http404(f"nothing called {key} is set up")
    return SETUPS[key]


def _writer(request: HttpRequest) -> Any:
    return writer(request.POST, request.person, alone=request.alone)


def _given(request: HttpRequest, kind: SetupKind) -> dict[str, str]:
    """Take the fields that were on the form, empty ones too: emptying a field clears it."""
    return {f.name: request.POST[f.name].strip() for f in kind.fields if f.name in request.POST}


def _show(
    request: HttpRequest,
    kind: SetupKind,
    record: Setup | None,
    *,
    given: dict[str, str] | None = None,
    error: InputError | InputErrors | None = None,
) -> HttpResponse:
    if error is not None:
        given = _given(request, kind)
    slips = _slips(kind, error)
    context = {
        "page": set_up_page(kind, record, given=given, system=system_of()),
        "slips": slips,
        "trouble": slips.get(""),
        "lab_open": any(f.place.startswith(("measured.", "properties.")) and f.name in slips
                        for f in kind.fields),
        "why": request.POST.get("why", ""),
    }  # fmt: skip
    return render(request, "server/set_up_record.html", context, status=422 if error else 200)


def _slips(kind: SetupKind, error: InputError | InputErrors | None) -> dict[str, InputError]:
    """Find the field that each problem belongs to; the engine names places, people name words."""
    if error is None:
        return {}
    names = {"why": "why"}
    for field in kind.fields:
        place = field.place.rpartition(".")[2]
        names |= dict.fromkeys((place, field.words, field.name), field.name)
    problems = error.problems if isinstance(error, InputErrors) else (error,)
    return {names.get(p.field, ""): p for p in reversed(problems)}
