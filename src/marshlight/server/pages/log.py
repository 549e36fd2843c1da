"""The quick log: choose, one number, save. Odd values are questioned, never refused."""

import uuid
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from marshlight.answers.log import LogForm, log_choices, log_form
from marshlight.answers.record import said
from marshlight.answers.words import capital
from marshlight.errors import InputError
from marshlight.notebook.kinds import Kind
from marshlight.notebook.models import Run
from marshlight.notebook.recording import Kept, record_event, record_reading
from marshlight.server.ahead import analyse_soon
from marshlight.server.pages.runs import find_kind, find_run
from marshlight.server.pages.typed import keep_typed, record_id, typed_record, writer


def log(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Ask what was read or done."""
    run = find_run(run_id)
    choices = log_choices(run, now=timezone.now(), system=run.site.units)
    return render(request, "server/log.html", {"run": run, "choices": choices})


def log_entry(request: HttpRequest, run_id: uuid.UUID, family: str, kind: str) -> HttpResponse:
    """Ask for one reading or event, and keep it."""
    run = find_run(run_id)
    described = find_kind(family, kind)
    form = log_form(run, described, family, now=timezone.now(), system=run.site.units)
    if request.method != "POST":
        return _show(request, form, record=uuid.uuid4())
    try:
        kept = _keep(request, run, described, family)
    except InputError as error:
        return _show(request, keep_typed(form, request.POST), error=error, status=422)
    if kept.doubts and not request.POST.get("sure"):
        return _show(request, keep_typed(form, request.POST), doubts=kept.doubts)
    words = f"{described.words}: {said(kept.record, system=run.site.units)}".rstrip(": ")
    messages.success(request, f"Saved. {capital(words)}.")
    analyse_soon([run.pk])
    # Back to the choices: most visits to a vessel bring more than one reading.
    return redirect("log", run_id=run.pk)


def _keep(request: HttpRequest, run: Run, kind: Kind, family: str) -> Kept:
    """Keep what was typed; undone again while a doubt is unanswered."""
    record = record_event if family == "event" else record_reading
    given = typed_record(kind, request.POST)
    with transaction.atomic():
        kept = record(
            run,
            kind.key,
            given.pop("value"),
            by=writer(request.POST, request.person, alone=request.alone),
            record_id=record_id(request.POST),
            **given,
        )
        if kept.doubts and not request.POST.get("sure"):
            transaction.set_rollback(True)
    return kept


def _show(request: HttpRequest, form: LogForm, **more: Any) -> HttpResponse:
    status = more.pop("status", 200)
    context = {
        "form": form,
        "record": more.pop("record", None) or record_id(request.POST),
        "cautions": form.cautions,
        "keys": [*"789456123", ".", "0"],
        **more,
    }
    return render(request, "server/log_entry.html", context, status=status)
