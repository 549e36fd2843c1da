"""People and what each may do; accounts matter once others on the network reach the notebook."""

import uuid

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from marshlight.answers.set_up import person_history
from marshlight.errors import InputError
from marshlight.notebook.models import Person
from marshlight.server.accounts import add_account, change_person, give_password
from marshlight.server.leads import is_lead, leads_only, turn_away

ROLES = tuple(Person.Role.choices)


def people(request: HttpRequest) -> HttpResponse:
    """List everybody, and add somebody."""
    slips: dict[str, InputError] = {}
    if request.method == "POST":
        if not is_lead(request):
            return turn_away(request)
        try:
            person = _add(request)
        except InputError as error:
            slips = {error.field: error}
        else:
            messages.success(request, f"{person.name} is added as {person.role}.")
            return redirect("people")
    context = {
        "everybody": Person.objects.select_related("user").order_by("retired", "name"),
        "roles": ROLES,
        "slips": slips,
        "typed": request.POST or {"role": "keeper"},
        "may_change": is_lead(request),
    }
    return render(request, "server/people.html", context, status=422 if slips else 200)


def _add(request: HttpRequest) -> Person:
    """Add a person: with a password they can log in, without one they only sign what they write."""
    name, role = request.POST.get("name", "").strip(), request.POST.get("role", "")
    password = request.POST.get("password", "")
    if password:
        return add_account(name, password, role=role)
    if not name or Person.objects.in_use().filter(name__iexact=name).exists():
        raise InputError("name", name, "a name nobody has yet", "Choose another name")
    if role not in Person.Role.values:
        raise InputError("role", role, ", ".join(Person.Role.values), "Choose one of these roles")
    person = Person(name=name, role=role)
    person.save(by=request.person, why="added")
    return person


@leads_only
def person(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Change what somebody may do, or give a new password."""
    somebody = get_object_or_404(Person, pk=ident)
    slips: dict[str, InputError] = {}
    if request.method == "POST":
        try:
            done = _change(request, somebody)
        except InputError as error:
            slips = {error.field: error}
            somebody.refresh_from_db()
        else:
            messages.success(request, done)
            return redirect("people")
    context = {
        "somebody": somebody,
        "roles": ROLES,
        "slips": slips,
        "typed": request.POST or {"role": somebody.role},
        "history": person_history(somebody),
    }
    return render(request, "server/person.html", context, status=422 if slips else 200)


def _change(request: HttpRequest, somebody: Person) -> str:
    post = request.POST
    if "set-password" in post:
        give_password(somebody, post.get("password", ""))
        return f"{somebody.name} has a new password."
    retired = somebody.retired
    if "leave" in post or "return" in post:
        retired = "leave" in post
    change_person(
        somebody,
        role=post.get("role", somebody.role),
        retired=retired,
        by=request.person,
        why=post.get("why", ""),
    )
    return f"{somebody.name} is {'no longer here' if retired else somebody.role}."
