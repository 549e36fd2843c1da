"""Who may come in, and as whom: one keeper on loopback, a log-in everywhere else."""

import ipaddress
from collections.abc import Callable

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import Resolver404, resolve

from marshlight.notebook.models import Person
from marshlight.server.accounts import person_of, sole_keeper

OPEN_PAGES = frozenset({"log-in"})
READERS_MAY_POST = frozenset({"log-in", "log-out", "look", "run-stop"})
# All that a group of a class may open; each of these pages looks for the group's own bottles.
GROUP_PAGES = frozenset({"own-bottles", "own-rack", "cautions", "log-in", "log-out", "look"})
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
# Their presence means that somebody else's machine is asking through a proxy of ours.
PROXY_HEADERS = ("HTTP_FORWARDED", "HTTP_X_FORWARDED_FOR", "HTTP_X_REAL_IP")


class Door:
    """Middleware: sets ``request.person`` or asks for a log-in.

    On loopback there is one keeper and no log-in. Anything that does not look like loopback is
    turned away even so, in case a proxy was put in front by mistake.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer the request, or ask for a log-in, or explain why not."""
        page = _page_name(request)
        if settings.MARSHLIGHT_LOOPBACK:
            if not _from_here(request):
                return _refuse(request, "beyond_loopback")
            request.person = sole_keeper()
            request.alone = True
            return self.get_response(request)
        request.alone = False
        request.person = None
        if not request.user.is_authenticated:
            if page in OPEN_PAGES:
                return self.get_response(request)
            return redirect_to_login(request.get_full_path())
        request.person = person_of(request.user)
        if _is_group(request) and page not in GROUP_PAGES:
            return redirect("own-bottles") if page == "overview" else _refuse(request, "group")
        if _only_looks(request) and page not in READERS_MAY_POST:
            return _refuse(request, "reader")
        return self.get_response(request)


def _page_name(request: HttpRequest) -> str:
    try:
        return resolve(request.path_info).url_name or ""
    except Resolver404:
        return ""


def _from_here(request: HttpRequest) -> bool:
    if any(request.META.get(header) for header in PROXY_HEADERS):
        return False
    try:
        return ipaddress.ip_address(request.META.get("REMOTE_ADDR", "")).is_loopback
    except ValueError:
        return False


def _only_looks(request: HttpRequest) -> bool:
    if request.method in SAFE_METHODS:
        return False
    return request.person is None or request.person.role == "reader" or request.person.retired


def _is_group(request: HttpRequest) -> bool:
    return request.person is not None and request.person.role == Person.Role.GROUP


def _refuse(request: HttpRequest, why: str) -> HttpResponse:
    return render(request, "server/refused.html", {"why": why}, status=403)
