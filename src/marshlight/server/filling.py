"""Parts of a page that fill themselves in: the newest there is, marked while a newer is made."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.keeping import Ready
from marshlight.answers.words import ago
from marshlight.notebook.models import Run
from marshlight.server.ahead import waited, works_ahead
from marshlight.server.preferences import system_of


def filled(
    request: HttpRequest,
    run: Run,
    template: str,
    *,
    name: str,
    newest: Callable[..., Ready[Any] | None],
    work_out: Callable[..., Any],
    soon: Callable[[Any, str], None],
    more: Callable[[Run, datetime, str], dict[str, object]] | None = None,
) -> HttpResponse:
    """Show what was worked out of a run; never wait for it where the server works ahead.

    Parameters
    ----------
    request : HttpRequest
        Who asks.
    run : Run
        The run.
    template : str
        Told ``run``, the thing under its ``name`` (None while there is none), ``fresh``, ``age``,
        and how long a newer one was ``waited`` for.
    newest, work_out : callable
        Give the newest there is; work it out now.
    soon : callable
        Puts it on the list of what is worked out behind the pages.
    more : callable, optional
        Gives what else the template is told of the run, without waiting.
    """
    system, now = system_of(run), timezone.now()
    ready = newest(run, system=system)
    if ready is None or not ready.fresh:
        if works_ahead():
            soon(run.pk, system)
        else:
            ready = Ready(work_out(run, now=now, system=system), fresh=True)
    context = {
        **({} if more is None else more(run, now, system)),
        "run": run,
        name: None if ready is None else ready.thing,
        "fresh": ready is not None and ready.fresh,
        "waited": waited((name, run.pk, system)),
        "age": "" if ready is None else ago(ready.thing.as_of, now),
    }
    return render(request, template, context)
