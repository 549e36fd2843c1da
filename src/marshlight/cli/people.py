"""Commands for the people of a notebook: who they are and what they may do."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, the_keeper
from marshlight.cli.output import AsJson, emit, table
from marshlight.errors import InputError


@app.command("people")
def list_people(as_json: AsJson = False) -> None:
    """List the people, what each may do, and who can log in."""
    open_notebook()
    from marshlight.notebook.models import Person

    everybody = Person.objects.select_related("user").order_by("retired", "name")
    emit({"people": [_line(person) for person in everybody]}, as_json, _people_words)


def _line(person: Any) -> dict[str, Any]:
    return {
        "name": person.name,
        "role": person.role,
        "can_log_in": person.user is not None and person.user.is_active,
        "here": not person.retired,
    }


def _people_words(listed: dict[str, Any], out: Console) -> None:
    rows = [
        [
            p["name"],
            p["role"],
            "can log in" if p["can_log_in"] else "",
            "" if p["here"] else "no longer here",
        ]
        for p in listed["people"]
    ]
    if rows:
        out.print(table(["name", "role", "", ""], rows))
    else:
        out.print("Nobody yet: what is written names no one.")


@app.command("person")
def change_person(
    name: Annotated[str, typer.Argument(help="The person's name.")],
    role: Annotated[str, typer.Option(help="lead, keeper, reader or group.")] = "",
    here: Annotated[
        bool | None,
        typer.Option("--here/--left", help="Whether they are still here; who left cannot log in."),
    ] = None,
    password: Annotated[
        bool, typer.Option("--password", help="Ask for a new password, and let them log in.")
    ] = False,
    why: Annotated[str, typer.Option(help="Why it changes; the history keeps it.")] = "",
    as_json: AsJson = False,
) -> None:
    """Add a person who writes here, or change what one may do."""
    open_notebook()
    from marshlight.notebook.models import Person
    from marshlight.server.accounts import ROLES, give_password
    from marshlight.server.accounts import change_person as change

    person = Person.objects.filter(name__iexact=name.strip()).order_by("retired").first()
    if person is None:
        if role and role not in ROLES:
            raise InputError("role", role, ", ".join(ROLES), "Choose one of these roles")
        person = Person(name=name.strip(), role=role or "keeper")
        person.save(by=the_keeper(), why=why or "added")
    elif role or here is not None:
        change(
            person,
            role=role or person.role,
            retired=person.retired if here is None else not here,
            by=the_keeper(),
            why=why,
        )
    if password:
        give_password(person, typer.prompt("Password", hide_input=True, confirmation_prompt=True))
    emit({"people": [_line(person)]}, as_json, _people_words)
