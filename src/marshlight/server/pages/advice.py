"""Answering a piece of advice with one tap: done, put off, or the answer taken back."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from marshlight.answers.advice import answer_advice, answered_words, take_back
from marshlight.answers.analysis import ready, revision
from marshlight.answers.fleet_finding import keep_finding
from marshlight.answers.run import run_page
from marshlight.errors import InputError
from marshlight.server.pages.runs import find_run
from marshlight.server.pages.typed import record_id, writer


@require_POST
def advice(request: HttpRequest, run_id: uuid.UUID, key: str) -> HttpResponse:
    """Keep the answer as an event of the log, and show what stands now."""
    run = find_run(run_id)
    by = writer(request.POST, request.person, alone=request.alone)
    answer = request.POST.get("answer", "")
    # The page shown again by the browser's Back button may be answered otherwise.
    ident = uuid.uuid5(record_id(request.POST), answer)
    try:
        if answer == "take_back":
            kept = take_back(run, key, by=by, record_id=ident)
        else:
            kept = answer_advice(run, key, answer, by=by, record_id=ident)
    except InputError as error:
        page = run_page(run, now=timezone.now())
        return render(request, "server/run.html", {"page": page, "refused": error}, status=422)
    state, analysis = revision(run), ready(run)
    if analysis is not None:
        keep_finding(run, analysis, timezone.now(), rests_on=state)
    messages.success(request, answered_words(kept.record, run))
    return redirect(f"{reverse('run', args=[run.pk])}#advice")
