"""What the frame of every page needs: places, look, units, and whether the data are invented."""

from typing import Any

from django.http import HttpRequest
from django.urls import reverse

from marshlight.notebook.models import Person, Site
from marshlight.server.navigation import PLACES
from marshlight.server.preferences import look_of


def frame(request: HttpRequest | None) -> dict[str, Any]:
    """Give the frame's values; a page that failed has no request and gets none."""
    if request is None:
        return {}
    match = getattr(request, "resolver_match", None)
    here = match.url_name if match else ""
    person = getattr(request, "person", None)
    is_group = person is not None and person.role == Person.Role.GROUP
    inside = getattr(request, "alone", False) or person is not None
    may_come_in = inside and not is_group
    sites = list(Site.objects.in_use().order_by("name")) if inside else []
    return {
        "places": [
            {
                "url": reverse(p.page),
                "words": p.words,
                "here": here == p.page or here in p.also,
                "extra": not p.everyday,
            }
            for p in PLACES
        ]
        if may_come_in
        else [],
        "look": look_of(request),
        "person": person,
        "alone": getattr(request, "alone", False),
        "invented": [site.name for site in sites if site.invented],
        "home_site": sites[0] if sites and may_come_in else None,
    }
