"""Where does the gas go, and can the vessel breathe?"""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from marshlight.answers.gas_train import gas_train_told as answer_for
from marshlight.server.gas_places import asked_run, gas_places
from marshlight.server.preferences import system_of


def gas_train(request: HttpRequest, run_id: uuid.UUID | None = None) -> HttpResponse:
    """Answer for a run, or with the figures typed."""
    run = asked_run(run_id)
    told = answer_for(request.GET.dict(), run=run, system=system_of(run))
    context = {
        "answer": told.answer,
        "sketch": told.sketch,
        "slips": told.answer.problems,
        "gas_places": gas_places(run),
    }
    return render(request, "server/gas_train.html", context)
