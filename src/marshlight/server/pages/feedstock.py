"""The feedstock library."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.answers.feedstock import feedstock_groups, feedstock_page
from marshlight.answers.trial_library import OwnMaterial, own_by_material
from marshlight.errors import InputError
from marshlight.notebook.models import Trial
from marshlight.server.pages.trial_wait import at_hand


def feedstocks(request: HttpRequest) -> HttpResponse:
    """List the library, or what matches a word."""
    wanted = request.GET.get("find", "")
    own = {key: found.used for key, found in _own().items()}
    context = {"groups": feedstock_groups(wanted, own), "wanted": wanted}
    return render(request, "server/feedstocks.html", context)


def feedstock(request: HttpRequest, key: str) -> HttpResponse:
    """Show one material with every value, range and source."""
    try:
        page = feedstock_page(key)
    except InputError as error:
        raise Http404(str(error)) from error
    return render(request, "server/feedstock.html", {"page": page, "own": _own().get(page.key)})


def _own() -> dict[str, OwnMaterial]:
    """Give what trials found, or nothing yet while that is being worked out."""
    return own_by_material() if at_hand(Trial.objects.in_use()) else {}
