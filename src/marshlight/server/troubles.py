"""What a person sees when something is refused or fails: a sentence, never a traceback."""

import logging
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.errors import MarshlightError

log = logging.getLogger("marshlight.server")


class Troubles:
    """Middleware: turns our own errors into a page that says what to do."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Pass on."""
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Explain a MarshlightError; leave everything else to Django."""
        if not isinstance(error, MarshlightError):
            return None
        log.warning("%s: %s", request.path, error)
        return render(request, "server/trouble.html", {"sentence": str(error)}, status=400)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Say that there is no such page."""
    return render(request, "server/not_found.html", status=404)


def failed(request: HttpRequest) -> HttpResponse:
    """Say that we failed, without any of the page's frame: that may be what failed."""
    return render(None, "server/failed.html", status=500)


def stale_form(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that a form was too old or came from elsewhere."""
    return render(request, "server/refused.html", {"why": "stale"}, status=403)
