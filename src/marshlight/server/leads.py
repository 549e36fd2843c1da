"""What only a lead may do where several people reach the notebook."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.notebook.models import Person

View = Callable[..., HttpResponse]


def is_lead(request: HttpRequest) -> bool:
    """Say whether the request may do what only a lead may; alone on loopback, anyone may."""
    return request.alone or (request.person is not None and request.person.role == Person.Role.LEAD)


def turn_away(request: HttpRequest) -> HttpResponse:
    """Say that only a lead may do this."""
    return render(request, "server/refused.html", {"why": "lead"}, status=403)


def leads_only(view: View) -> View:
    """Turn away everybody else."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        return view(request, *args, **kwargs) if is_lead(request) else turn_away(request)

    return guarded
