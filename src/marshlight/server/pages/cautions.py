"""Every caution in one place, gravest first; each also stands where its hazard arises."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.decide.safety import all_cautions


def cautions(request: HttpRequest) -> HttpResponse:
    """Show all cautions with their reasons and sources."""
    return render(request, "server/cautions.html", {"cautions": all_cautions().values()})
