"""Is it explosive in there? Cautions first, then the way on the triangle."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.gas_space import GasSpace
from marshlight.answers.gas_space import gas_space as answer_for
from marshlight.answers.gas_space_run import BY_TESTS
from marshlight.answers.lives import lives_of_run
from marshlight.decide.safety import cautions_at
from marshlight.notebook.models import Run
from marshlight.server.gas_places import asked_run, gas_places
from marshlight.server.pages.what_if import asked_soon, waiting
from marshlight.server.preferences import system_of
from marshlight.server.soon import Job


def gas_space(request: HttpRequest, run_id: uuid.UUID | None = None) -> HttpResponse:
    """Answer for a run, or with the figures typed; a run's own way may take the model a while."""
    run = asked_run(run_id)
    typed, system = request.GET.dict(), system_of(run)
    # What one types is answered in its place, which may wait; a whole page may not.
    if run is None or request.headers.get("HX-Target") == "answer":
        found = answer_for(typed, run=run, system=system)
    else:
        found = asked_soon(request, run, lambda _: _worked_out(typed, run, system), system=system)
    if run is not None and isinstance(found, Job):
        title, cautions = "Is it explosive in there?", cautions_at("page:gas_space")
        return waiting(request, run, found, title, cautions=cautions)
    context = {
        "answer": found.answer,
        "picture": found.picture,
        "room": found.room,
        "slips": found.answer.problems,
        "gas_places": gas_places(run),
    }
    return render(request, "server/gas_space.html", context)


def _worked_out(typed: dict[str, str], run: Run, system: str) -> GasSpace:
    """Fit the lives first where nobody has: the answer follows them."""
    if typed.get("by") != BY_TESTS:
        lives_of_run(run, now=timezone.now())
    return answer_for(typed, run=run, system=system)
