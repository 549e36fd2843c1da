"""The safety sheet: made to be printed, from a run's own numbers."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from marshlight.answers.safety_sheet import safety_sheet_page
from marshlight.server.gas_places import asked_run, gas_places
from marshlight.server.preferences import system_of
from marshlight.sources import source


def safety_sheet(request: HttpRequest, run_id: uuid.UUID | None = None) -> HttpResponse:
    """Show the sheet of a run, or the general one."""
    run = asked_run(run_id)
    page = safety_sheet_page(request.GET.dict(), run=run, system=system_of(run))
    context = {
        "answer": page.answer,
        "sheet": page.sheet,
        "stops": page.stops,
        "sheet_sources": dict.fromkeys(source(key).short for key in page.sheet.sources),
        "materials": page.materials,
        "people": page.people,
        "asked_act": page.asked_act,
        "refused": page.refused,
        "refusals": page.refusals,
        "slips": page.answer.problems,
        "gas_places": gas_places(run),
        "day": timezone.localdate(),
    }
    return render(request, "server/safety_sheet.html", context)
