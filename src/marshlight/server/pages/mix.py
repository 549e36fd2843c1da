"""What do I put in? What is at hand on one side, the answer on the other."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django_htmx.http import replace_url

from marshlight.answers.mix import Tried, try_mix
from marshlight.answers.mix_form import ROLES, MixForm, ask_of, mix_form
from marshlight.decide.safety import cautions_at
from marshlight.errors import InfeasibleError, InputError
from marshlight.server.preferences import system_of
from marshlight.sources import source


def mix(request: HttpRequest) -> HttpResponse:
    """Show the mixing page, or only its answer while one types."""
    system = system_of()
    form = mix_form(request.GET.dict(), today=timezone.localdate(), system=system)
    context = {"form": form, "roles": ROLES, **answered(form, system)}
    if not request.htmx:
        return render(request, "server/mix.html", context)
    page = render(request, "server/parts/mix_update.html", {**context, "swapping": True})
    return replace_url(page, f"{request.path}?{form.query}")


def answered(form: MixForm, system: str) -> dict[str, object]:
    """Give the answer to a form, or what stands in its way."""
    if not form.names_something:
        return {"answer": None, "slips": {}, "trouble": ""}
    trouble = ""
    try:
        tried = try_mix(ask_of(form), today=timezone.localdate(), system=system)
    except InfeasibleError as error:
        tried, trouble = Tried(None, {}), str(error)
    whole = tried.problems.get("")
    return {
        "answer": tried.answer,
        "slips": tried.problems,
        "first_slip": next(iter(tried.problems.values()), None),
        "trouble": trouble or (said(whole) if whole is not None else ""),
        "sources": [source(key) for key in tried.answer.sources] if tried.answer else [],
        "cautions": cautions_here(tried),
    }


def said(problem: InputError) -> str:
    """Say a problem that belongs to no single field."""
    return f"{problem.field}: {problem.allowed}. {problem.remedy}."


def cautions_here(tried: Tried) -> list[object]:
    """List what can hurt when mixing, of that which these materials bring; gravest first."""
    if tried.answer is None:
        return []
    here = {caution.key for caution in cautions_at("page:mix")}
    return [caution for caution in tried.answer.cautions if caution.key in here]
