"""Commands for many digesters: which need a visit first, and the nightly update of them all."""

import os
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook
from marshlight.cli.output import AsJson, emit, table


@app.command("nightly")
def bring_up_to_date(
    again: Annotated[
        bool, typer.Option("--again", help="Work everything out, however fresh it is.")
    ] = False,
    by_model: Annotated[
        bool,
        typer.Option(help="Fit the process model to each log and forecast by it; takes longer."),
    ] = True,
    diagnosis: Annotated[
        bool,
        typer.Option(help="Hold the newest readings against what may be wrong; takes longer."),
    ] = True,
    as_json: AsJson = False,
) -> None:
    """Work out every run that goes on and keep the results; a stopped update goes on."""
    # What is worked out is kept beside the notebook, where the pages find it.
    os.environ.setdefault("MARSHLIGHT_AHEAD", "1")
    open_notebook()
    from django.utils import timezone

    from marshlight.answers.nightly import nightly
    from marshlight.answers.nightly_place import place_to_work

    out = Console(stderr=True, quiet=as_json)
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with Progress(*columns, TimeRemainingColumn(), console=out, transient=True) as bar:
        task = bar.add_task("Looking for what is old", total=None)

        def tell(done: int, of: int, what: str) -> None:
            bar.update(task, completed=done, total=of, description=what[:40])

        report = nightly(
            timezone.now(),
            place=place_to_work,
            again=again,
            by_model=by_model,
            diagnosis=diagnosis,
            progress=tell,
        )
    emit({"sentence": report.sentence, "report": report}, as_json, _words)
    if report.cancelled:
        raise typer.Exit(130)
    if report.failed:
        raise typer.Exit(1)


def _words(told: dict[str, Any], out: Console) -> None:
    report = told["report"]
    out.print(told["sentence"])
    if report.failed:
        out.print(table(["run that failed", "why"], [[f.name, f.why] for f in report.failed]))
    if report.left:
        out.print("Start it again to go on where it stopped.")


@app.command("fleet")
def list_fleet(
    search: Annotated[str, typer.Argument(help="Part of a name, a vessel or a site.")] = "",
    site: Annotated[str, typer.Option(help="Only at this site.")] = "",
    state: Annotated[str, typer.Option(help="Only in this state, such as souring.")] = "",
    keeper: Annotated[str, typer.Option(help="Only where this person wrote last.")] = "",
    page: Annotated[int, typer.Option(help="Which page; 1 is the most urgent.")] = 1,
    as_json: AsJson = False,
) -> None:
    """List many digesters, the most urgent first, from what `marshlight nightly` kept."""
    open_notebook()
    from django.utils import timezone

    from marshlight.answers.fleet import Asked, fleet
    from marshlight.notebook.setting_up import found

    asked = Asked(
        search=search,
        site=str(found("site", site).pk) if site else "",
        state=state,
        keeper=_person(keeper) if keeper else "",
        page=page,
    )
    emit(fleet(timezone.now(), asked), as_json, _fleet_words)


def _person(name: str) -> str:
    from marshlight.errors import InputError
    from marshlight.notebook.models import Person

    person = Person.objects.filter(name__iexact=name).first()
    if person is None:
        raise InputError(
            "keeper", name, "a person of this notebook", "Look at the people there are"
        )
    return str(person.pk)


def _fleet_words(fleet: Any, out: Console) -> None:
    out.print(fleet.sentence)
    if fleet.hint:
        out.print(fleet.hint)
    rows = [
        [
            line.name,
            line.where,
            line.state.word,
            _next_words(line),
            "; ".join(text for text in (line.stale, line.worked) if text),
        ]
        for line in fleet.lines
    ]
    if rows:
        out.print(table(["run", "where", "state", "next", "how old"], rows))
    if fleet.pages > 1:
        out.print(f"Page {fleet.page} of {fleet.pages}, {fleet.found} digesters.")


def _next_words(line: Any) -> str:
    words = f"urgent: {line.next_step}" if line.urgent else line.next_step or line.trouble
    return f"{words} By the process model: {line.feared}." if line.feared else words
