"""Designing a trial: what goes in, where it stands, what it can show; and setting it up."""

from dataclasses import replace

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from marshlight.answers.trial_design import (
    DesignForm,
    design_answer,
    design_form,
    read_plan,
    start_trial,
)
from marshlight.answers.trial_rack import slips_of
from marshlight.decide.safety import cautions_at
from marshlight.errors import InputError, InputErrors
from marshlight.server.leads import is_lead, turn_away
from marshlight.server.pages.typed import writer


def trial_design(request: HttpRequest) -> HttpResponse:
    """Show the design that the form asks for; set the trial up when told to."""
    asked = request.POST if request.method == "POST" else request.GET
    given = {name: str(value) for name, value in asked.items()}
    chosen = tuple(asked.getlist("sample"))
    form = design_form(given, chosen)
    if request.method == "POST":
        if not is_lead(request):
            return turn_away(request)
        try:
            by = writer(request.POST, request.person, alone=request.alone)
            made = start_trial(given, chosen, by=by)
        except (InputError, InputErrors) as error:
            return _show(request, form, given, error=error)
        messages.success(request, f"{made.name} is set up. Print the plan and weigh in.")
        return redirect("trial-plan", ident=made.pk)
    return _show(request, form, given)


def _show(
    request: HttpRequest,
    form: DesignForm,
    given: dict[str, str],
    *,
    error: InputError | InputErrors | None = None,
) -> HttpResponse:
    answer, slips = None, {} if error is None else slips_of(error)
    if form.chosen:
        try:
            answer = design_answer(*read_plan(given, form.chosen))
        except (InputError, InputErrors) as trouble:
            slips |= slips_of(trouble)
    fields = tuple(replace(f, slip=slips.get(f.name, "")) for f in form.fields)
    known = {f.name for f in fields}
    context = {
        "form": replace(form, fields=fields, slips=slips),
        "answer": answer,
        "trouble": [text for name, text in slips.items() if name not in known],
        "cautions": cautions_at("log:pressure"),
    }
    status = 422 if slips and given else 200
    return render(request, "server/trial_design.html", context, status=status)
