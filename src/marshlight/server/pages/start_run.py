"""Starting a run from a mix: the plan is kept with it, the amounts are written as its charge."""

from urllib.parse import parse_qsl

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from marshlight.answers.mix import MixAnswer
from marshlight.answers.mix_form import MixForm, mix_form
from marshlight.answers.mix_start import start_from_mix
from marshlight.decide.safety import cautions_at
from marshlight.errors import InputError, InputErrors
from marshlight.server.pages.mix import answered
from marshlight.server.pages.typed import writer
from marshlight.server.preferences import system_of

# A run that starts is closed, vented and tried with a flame: their cautions stand here.
_CLOSING = ("plan:seal", "plan:vent", "plan:flame")
# The words errors use, and the field of this page they belong to.
_FIELDS = {"name": "name", "vessel": "vessel", "gas holder": "holder", "heater": "heater"}


def start_run(request: HttpRequest) -> HttpResponse:
    """Ask for the run's name, holder and heater, and start it."""
    query = request.POST.get("mix", "") if request.method == "POST" else request.GET.urlencode()
    system = system_of()
    typed = dict(parse_qsl(query, keep_blank_values=True))
    form = mix_form(typed, today=timezone.localdate(), system=system)
    answer = answered(form, system)["answer"]
    if not isinstance(answer, MixAnswer) or not answer.feasible:
        return redirect(f"{reverse('mix')}?{form.query}")
    slips: dict[str, InputError] = {}
    if request.method == "POST":
        try:
            run = _start(request, form, answer)
        except (InputError, InputErrors) as error:
            slips = _slips(error)
        else:
            messages.success(request, f"{run.name} is started with this mix as its charge.")
            return redirect("run", run_id=run.pk)
    context = {
        "form": form,
        "answer": answer,
        "slips": slips,
        "trouble": slips.get(""),
        "cautions": [*dict.fromkeys(c for place in _CLOSING for c in cautions_at(place))],
        "typed": request.POST or {"name": _name(form), "holder": form.holder},
    }
    return render(request, "server/start_run.html", context, status=422 if slips else 200)


def _start(request: HttpRequest, form: MixForm, answer: MixAnswer):
    given = {name: request.POST.get(name, "").strip() for name in ("name", "holder", "heater")}
    return start_from_mix(
        answer,
        vessel=request.POST.get("vessel", "").strip() or form.vessel,
        at=request.POST.get("at", "").strip() or None,
        by=writer(request.POST, request.person, alone=request.alone),
        **given,
    )


def _slips(error: InputError | InputErrors) -> dict[str, InputError]:
    problems = error.problems if isinstance(error, InputErrors) else (error,)
    return {_FIELDS.get(p.field, "at" if "time" in p.field else ""): p for p in problems}


def _name(form: MixForm) -> str:
    today = timezone.localdate()
    return f"{form.vessel}, {today.day} {today:%B %Y}" if form.vessel else ""
