"""Which need a visit first? Many digesters, one line each."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from marshlight.answers.fleet import Asked
from marshlight.answers.fleet import fleet as fleet_of


@require_safe
def fleet(request: HttpRequest) -> HttpResponse:
    """List the digesters that go on from what was kept of them; nothing is worked out here."""
    asked = Asked.read(request.GET.dict())
    page = fleet_of(timezone.now(), asked)
    kept = {"search": asked.search, "site": asked.site, "state": asked.state}
    query = urlencode([(k, v) for k, v in {**kept, "keeper": asked.keeper}.items() if v])
    return render(request, "server/fleet.html", {"page": page, "query": query})
