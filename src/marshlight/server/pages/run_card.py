"""The run card: what hangs beside the vessel, made to be printed."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from marshlight.answers.mix import MixAnswer
from marshlight.answers.mix_form import mix_form
from marshlight.answers.mix_picture import mix_picture
from marshlight.notebook.models import Vessel
from marshlight.server.pages.mix import answered
from marshlight.server.preferences import system_of


def run_card(request: HttpRequest) -> HttpResponse:
    """Show the run card of a mix; without one that keeps the limits, go back to mixing."""
    system = system_of()
    form = mix_form(request.GET.dict(), today=timezone.localdate(), system=system)
    found = answered(form, system)
    answer = found["answer"]
    # A mix that breaks a firm limit is there to be changed, not to hang beside a vessel.
    if not isinstance(answer, MixAnswer) or not answer.feasible:
        return redirect(f"{reverse('mix')}?{form.query}")
    vessel = Vessel.objects.in_use().filter(name=form.vessel).first() if form.vessel else None
    picture, own_shape = mix_picture(answer, vessel, system=system)
    context = {
        **found,
        "form": form,
        "system": system,
        "picture": picture,
        "variant": "card" if own_shape else "run",
        "day": timezone.localdate(),
        "card": {section.kind: section for section in answer.card.sections},
    }
    return render(request, "server/run_card.html", context)
