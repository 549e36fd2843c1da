"""Is it explosive in there? Cautions first, then the way on the triangle."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.answers.gas_space import gas_space as answer_for
from marshlight.server.gas_places import asked_run, gas_places
from marshlight.server.preferences import system_of


def gas_space(request: HttpRequest, run_id: uuid.UUID | None = None) -> HttpResponse:
    """Answer for a run, or with the figures typed."""
    run = asked_run(run_id)
    found = answer_for(request.GET.dict(), run=run, system=system_of(run))
    context = {
        "answer": found.answer,
        "picture": found.picture,
        "room": found.room,
        "slips": found.answer.problems,
        "gas_places": gas_places(run),
    }
    return render(request, "server/gas_space.html", context)
