"""What needs me now? All runs, most urgent first."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.overview import overview as all_runs


def overview(request: HttpRequest) -> HttpResponse:
    """Show every run that goes on, and name those that ended."""
    return render(request, "server/overview.html", {"page": all_runs(timezone.now())})
