"""What a reader chose: light or dark on this device, metric or US at a site."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from marshlight.notebook.models import Run, Site

LOOK_COOKIE = "marshlight_look"
LOOKS = ("light", "dark")
A_YEAR_S = 365 * 86400


def look_of(request: HttpRequest) -> str:
    """Give "light", "dark", or nothing when the device decides."""
    chosen = request.COOKIES.get(LOOK_COOKIE, "")
    return chosen if chosen in LOOKS else ""


def system_of(run: Run | None = None) -> str:
    """Give the units of a run's site, or of the first site in use."""
    site = run.site if run is not None else Site.objects.in_use().first()
    return site.units if site is not None else Site.Units.METRIC.value


def back(request: HttpRequest) -> HttpResponse:
    """Return to the page the form was on, never to another host."""
    target = request.POST.get("next", "")
    here = url_has_allowed_host_and_scheme(target, allowed_hosts={request.get_host()})
    return HttpResponseRedirect(target if here else reverse("overview"))


@require_POST
def look(request: HttpRequest) -> HttpResponse:
    """Remember light or dark on this device; anything else lets the device decide."""
    response = back(request)
    chosen = request.POST.get("look", "")
    if chosen in LOOKS:
        response.set_cookie(LOOK_COOKIE, chosen, max_age=A_YEAR_S, samesite="Lax", httponly=True)
    else:
        response.delete_cookie(LOOK_COOKIE)
    return response


@require_POST
def units(request: HttpRequest, site_id: str) -> HttpResponse:
    """Switch a site between metric and US customary units."""
    site = get_object_or_404(Site, pk=site_id)
    chosen = request.POST.get("units", "")
    if chosen in Site.Units.values and chosen != site.units:
        site.units = chosen
        site.save(by=request.person, why="units switched on a page")
    return back(request)
