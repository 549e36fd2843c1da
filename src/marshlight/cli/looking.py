"""Commands that look: all runs at a glance, one run whole, its gas day by day."""

from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, run_named
from marshlight.cli.output import AsJson, emit, table

RUN = Annotated[str, typer.Argument(metavar="RUN", help="The run's name, or part of it.")]


@app.command("runs")
def list_runs(as_json: AsJson = False) -> None:
    """Show every run at a glance, the most urgent first."""
    open_notebook()
    from django.utils import timezone

    from marshlight.answers.overview import overview

    emit(overview(timezone.now()), as_json, _overview)


def _overview(page: Any, out: Console) -> None:
    out.print(Text(page.sentence, style="bold"))
    if page.hint:
        out.print(page.hint)
    rows = [
        [
            line.name,
            "" if line.day is None else f"day {line.day}",
            line.state.word,
            line.gas,
            line.expected,
            line.next_step,
        ]
        for line in page.runs
    ]
    if rows:
        out.print(table(["run", "", "state", "gas lately", "expected", "next"], rows))
    else:
        out.print("Plan one: marshlight mix; or set one up: marshlight set-up run")
    for rack in page.trials:
        out.print(f"trial {rack.name}: {rack.words}")
    for run in page.ended:
        out.print(f"{run.name}: {run.words}")


@app.command("run")
def show_run(
    run: RUN,
    page: Annotated[int, typer.Option(help="Which page of its records; 1 is the newest.")] = 1,
    as_json: AsJson = False,
) -> None:
    """Show one run: how it is, what to do, its gas and forecast, its records."""
    found = run_named(run)
    from django.utils import timezone

    from marshlight.answers.run import run_page

    emit(run_page(found, now=timezone.now(), records_page=page), as_json, _run)


def _run(page: Any, out: Console) -> None:
    out.print(Text(f"{page.name}: {page.state.word}", style="bold"))
    out.print(f"{page.sentence}\n{page.where}")
    out.print(table(["", "", ""], [[n.name, n.value, n.note] for n in page.numbers]))
    _advice(page, out)
    for chart in page.charts:
        for view in chart.views:
            out.print(
                f"\n{chart.title}, {view.name}: {view.sentence}" if view.name else view.sentence
            )
    for note in page.notes:
        out.print(f"- {note}")
    _records(page.timeline, out)
    for caution in page.cautions:
        out.print(f"Caution: {caution.text}")


def _advice(page: Any, out: Console) -> None:
    # Imported here: the command stands on this module.
    from marshlight.cli.advice import advice_words, aside_words

    for text in (page.advice_change, "" if page.advice else page.no_advice):
        if text:
            out.print(text)
    advice_words(page.advice, out)
    aside_words(page.aside, out)


def _records(timeline: Any, out: Console) -> None:
    rows = [
        [
            r.when,
            r.words,
            r.said or r.note,
            f"version {r.version}" if r.version > 1 else "",
            r.ident,
        ]
        for r in timeline.lines
    ]
    out.print(table(["when", "what", "", "", "id"], rows, title="\nRecords, newest first"))


@app.command("gas")
def show_gas(
    run: RUN,
    view: Annotated[str, typer.Option(help="total or daily.")] = "daily",
    as_json: AsJson = False,
) -> None:
    """Show a run's gas and its forecast as a table."""
    found = run_named(run)
    from django.utils import timezone

    from marshlight.answers.run import run_page
    from marshlight.errors import InputError

    charts = run_page(found, now=timezone.now()).charts
    views = {v.key: v for chart in charts if chart.key == "gas" for v in chart.views}
    if view not in views:
        allowed = ", ".join(views) or "none yet: the gas has not been read"
        raise InputError("view", view, allowed, "Choose one of these")
    emit(views[view], as_json, _view)


def _view(view: Any, out: Console) -> None:
    out.print(view.sentence)
    out.print(table(list(view.table.head), [list(r) for r in view.table.rows]))
