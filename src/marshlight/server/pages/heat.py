"""Will it be warm enough, at what cost? For any vessel, or for a run."""

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django_htmx.http import replace_url

from marshlight.answers.heat import heat as heat_answer
from marshlight.server.pages.form_groups import FieldGroup, grouped
from marshlight.server.pages.runs import find_run
from marshlight.server.preferences import system_of

_ELECTRIC = ("heater", "mat cable immersed")
GROUPS = (
    FieldGroup("Vessel and insulation",
               ("vessel", "slurry", "insulation", "thickness", "wrapped", "stand")),
    FieldGroup("Around it", ("around", "air", "low", "high", "series", "months"),
               rare=("months",)),
    FieldGroup("Heater",
               ("heater", "power", "set_point", "cut_out", "protection", "liquids", "water",
                "tube")),
    FieldGroup("What is wanted",
               ("wanted", "start", "days", "gas", "methane", "price", "feed", "feed_at"),
               rare=("gas", "methane", "price", "feed", "feed_at")),
)  # fmt: skip
_FOAM = (
    "insulation",
    "eps xps pir polyurethane mineral_wool soft_foam phenolic cellular_glass perlite vermiculite "
    "straw wood_shavings wool_cloth",
)
DEPENDS = {
    "thickness": _FOAM,
    "wrapped": _FOAM,
    "power": ("heater", "mat cable immersed sun"),
    "set_point": ("heater", "mat cable immersed coil"),
    "cut_out": _ELECTRIC,
    "protection": _ELECTRIC,
    "low": ("air", "usual"),
    "high": ("air", "usual"),
    "series": ("air", "typed"),
    "liquids": ("heater", "immersed"),
    "water": ("heater", "bath coil"),
    "tube": ("heater", "coil"),
}


def heat(request: HttpRequest, run_id: uuid.UUID | None = None) -> HttpResponse:
    """Show the heat page, or only its answer while one types."""
    run = None if run_id is None else find_run(run_id)
    system = system_of(run)
    answer = heat_answer(request.GET.dict(), run=run, now=timezone.now(), system=system)
    context = {
        "answer": answer,
        "told": answer.told,
        "groups": grouped(answer.told.fields, GROUPS, DEPENDS),
        "change": next(f for f in answer.told.fields if f.question.name == "change"),
        "slips": answer.told.problems,
        "system": system,
        "run": run,
    }
    if not request.htmx:
        return render(request, "server/heat.html", context)
    page = render(request, "server/parts/heat_update.html", {**context, "swapping": True})
    return replace_url(page, f"{request.path}?{answer.told.query}")
