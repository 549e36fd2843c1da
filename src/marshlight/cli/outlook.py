"""The command that says what lies ahead of a run, by the process model fitted to its readings."""

from dataclasses import replace
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from marshlight.cli.main import app
from marshlight.cli.opening import asked_about, units_shown
from marshlight.cli.output import AsJson, emit, table


@app.command("outlook")
def outlook(
    run: Annotated[str, typer.Argument(metavar="RUN", help="A run's name.")],
    as_json: AsJson = False,
) -> None:
    """Say what the coming two weeks of a run hold, how sure, and which reading would help."""
    answer = asked_about(run, "outlook.outlook_of")
    emit(replace(answer, first=_first(answer.run_id)), as_json, _words)


def _first(run_id: str) -> str:
    """Tell what comes before any outlook."""
    from django.utils import timezone

    from marshlight.answers.analysis import analyse
    from marshlight.answers.simulate_opened import comes_first
    from marshlight.notebook.models import Run

    run = Run.objects.get(pk=run_id)
    return comes_first(analyse(run), timezone.now(), units_shown(run))[0]


def _words(answer: Any, out: Console) -> None:
    if answer.first:
        out.print(Text(answer.first, style="bold red"))
    for text in (answer.sentence, answer.why_not, answer.holder, answer.warning):
        if text:
            out.print(text)
    if answer.days:
        rows = [[d.day, d.gas, d.burns, d.ph, d.cooking] for d in answer.days]
        head = ["day", f"gas, {answer.gas_unit} (95 %)", "flame", "pH (95 %)", "one kitchen burner"]
        out.print(table(head, rows, title="\nThe first week, day by day"))
    for text in answer.doubts:
        out.print(text)
    if answer.beliefs:
        rows = [[b.name, b.before, b.now] for b in answer.beliefs]
        out.print(table(["", "before any reading", "now"], rows, title="\nWhat the readings say"))
    for note in answer.notes:
        out.print(note)
