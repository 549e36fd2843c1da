"""The feedstock library."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.answers.feedstock import feedstock_groups, feedstock_page
from marshlight.errors import InputError


def feedstocks(request: HttpRequest) -> HttpResponse:
    """List the library, or what matches a word."""
    wanted = request.GET.get("find", "")
    context = {"groups": feedstock_groups(wanted), "wanted": wanted}
    return render(request, "server/feedstocks.html", context)


def feedstock(request: HttpRequest, key: str) -> HttpResponse:
    """Show one material with every value, range and source."""
    try:
        page = feedstock_page(key)
    except InputError as error:
        raise Http404(str(error)) from error
    return render(request, "server/feedstock.html", {"page": page})
