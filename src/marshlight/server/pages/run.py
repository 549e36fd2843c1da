"""How is it, what will it do, what should I do? One run."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.run import run_page
from marshlight.server.pages.runs import find_run


def run(request: HttpRequest, run_id: uuid.UUID) -> HttpResponse:
    """Show one run whole."""
    asked = request.GET.get("records", "1")
    page = run_page(
        find_run(run_id),
        now=timezone.now(),
        records_page=int(asked) if asked.isdigit() and len(asked) < 8 else 1,
    )
    return render(request, "server/run.html", {"page": page})
