"""What needs me now? All runs, most urgent first."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from marshlight.answers.nightly import going_runs
from marshlight.answers.overview import overview as all_runs
from marshlight.server.ahead import analyse_soon, works_ahead

# More drawings than this on a page are no overview, and take longer than a page may; our choice.
_MOST_DRAWN = 60


def overview(request: HttpRequest) -> HttpResponse:
    """Show every run that goes on, and name those that ended; very many as a list instead."""
    if going_runs().count() > _MOST_DRAWN:
        return redirect("fleet")
    page = all_runs(timezone.now(), wait=not works_ahead())
    if page.pending:
        analyse_soon([line.ident for line in page.runs if line.pending], first=False)
    return render(request, "server/overview.html", {"page": page})
