"""Correcting or withdrawing a record: a new version with who and why; the old one stays."""

import uuid
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from marshlight.answers.log import correction_form
from marshlight.answers.record import kind_of, record_line
from marshlight.errors import InputError
from marshlight.notebook.models import LogRecord
from marshlight.notebook.recording import correct as correct_record
from marshlight.notebook.recording import history, retract
from marshlight.server.ahead import analyse_soon
from marshlight.server.pages.runs import find_record
from marshlight.server.pages.typed import keep_typed, record_id, typed_record, writer


def correct(request: HttpRequest, family: str, ident: uuid.UUID) -> HttpResponse:
    """Show a record with its history, and keep a correction or a withdrawal."""
    record = find_record(family, ident)
    versions = history(record)
    newest = versions[-1]
    if newest.pk != record.pk:
        return redirect("correct", family=family, ident=newest.pk)
    if request.method != "POST":
        return _show(request, record, versions)
    try:
        _keep(request, record)
    except InputError as error:
        return _show(request, record, versions, error=error)
    done = "Withdrawn" if "withdraw" in request.POST else "Corrected"
    messages.success(request, f"{done}. The earlier version stays in the history.")
    analyse_soon([record.run_id])
    return redirect("run", run_id=record.run_id)


def _keep(request: HttpRequest, record: LogRecord) -> None:
    by = writer(request.POST, request.person, alone=request.alone)
    reason = request.POST.get("reason", "")
    if "withdraw" in request.POST:
        retract(record, reason=reason, by=by, record_id=record_id(request.POST))
        return
    given = typed_record(kind_of(record), request.POST)
    correct_record(record, reason=reason, by=by, record_id=record_id(request.POST), **given)


def _show(
    request: HttpRequest, record: LogRecord, versions: list[LogRecord], **more: Any
) -> HttpResponse:
    run, now = record.run, timezone.now()
    form = correction_form(record, now=now, system=run.site.units)
    if request.method == "POST":
        form = keep_typed(form, request.POST)
    context = {
        "run": run,
        "form": form,
        "line": record_line(record, run, now, system=run.site.units),
        "versions": [record_line(v, run, now, system=run.site.units) for v in versions],
        "record": uuid.uuid4(),
        "reason": request.POST.get("reason", ""),
        **more,
    }
    return render(request, "server/correct.html", context, status=422 if more else 200)
