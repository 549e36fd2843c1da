"""Where every value comes from."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.answers.source import how_often, source_groups, source_page
from marshlight.errors import InputError


def sources(request: HttpRequest) -> HttpResponse:
    """List every source by subject."""
    context = {"groups": source_groups(), "counts": how_often()}
    return render(request, "server/sources.html", context)


def source(request: HttpRequest, key: str) -> HttpResponse:
    """Show one source and what rests on it."""
    try:
        page = source_page(key)
    except InputError as error:
        raise Http404(str(error)) from error
    return render(request, "server/source.html", {"page": page})
