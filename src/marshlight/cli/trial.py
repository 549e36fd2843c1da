"""Trials in the terminal: list them, show one, write its report."""

from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook
from marshlight.cli.output import AsJson, emit, table

TRIAL = Annotated[str, typer.Argument(metavar="TRIAL", help="The trial's name, or part of it.")]


@app.command("trials")
def list_trials(as_json: AsJson = False) -> None:
    """List trials: materials side by side with blanks and a control."""
    open_notebook()
    from django.utils import timezone

    from marshlight.answers.trial_list import trial_lines

    emit(trial_lines(timezone.now()), as_json, _trials)


def _trials(lines: Any, out: Console) -> None:
    if not lines:
        out.print("No trial yet. Design one on the pages: marshlight serve")
    for line in lines:
        out.print(f"{line.name}: {line.words}")


def _named(trial: str) -> Any:
    open_notebook()
    from marshlight.notebook.setting_up import found

    return found("trial", trial)


@app.command("trial")
def show_trial(trial: TRIAL, as_json: AsJson = False) -> None:
    """Show a trial: which is better, whether one may say so, and what to look at."""
    found = _named(trial)
    from marshlight.answers.trial import trial_page

    emit(trial_page(found), as_json, _trial)


def _trial(page: Any, out: Console) -> None:
    out.print(Text(page.sentence, style="bold"))
    out.print(f"{page.standing}\n{page.what}")
    for flag in page.flags:
        out.print(f"\n{flag.text} {flag.evidence} {flag.todo}")
    tables = (
        page.potentials, page.contrasts, *page.buckets, page.other_way, page.without,
        *page.kinetics, page.bottles,
    )  # fmt: skip
    for found in tables:
        if found is not None and found.rows:
            rows = [list(row) for row in found.rows]
            out.print(table(list(found.head), rows, title=f"\n{found.caption}"))
    words = {True: "met", False: "not met", None: "not known"}
    rows = [[words[c.met], c.words, c.found, c.wanted] for c in page.criteria]
    if rows:
        out.print(table(["", "criterion", "found", "wanted"], rows, title="\nPublished criteria"))
    for text in (*page.mixtures, *page.notes):
        out.print(f"- {text}")
    for caution in page.cautions:
        out.print(f"Caution: {caution.text}")


@app.command("trial-report")
def write_report(
    trial: TRIAL,
    to: Annotated[Path, typer.Option(help="File to write: .pdf or .xlsx.")],
) -> None:
    """Write a trial's report: a PDF, or a workbook whose formulas work the result out."""
    from marshlight.errors import InputError

    if to.suffix not in {".pdf", ".xlsx"}:
        raise InputError(
            "file", str(to), "a name that ends in .pdf or .xlsx", "Choose one of these"
        )
    found = _named(trial)
    from marshlight.answers.trial_report import trial_report
    from marshlight.reports.trial_pdf import trial_pdf
    from marshlight.reports.trial_sheet import trial_sheet

    report = trial_report(found)
    to.write_bytes(trial_pdf(report) if to.suffix == ".pdf" else trial_sheet(report))
    print(f"Wrote {to}.")
