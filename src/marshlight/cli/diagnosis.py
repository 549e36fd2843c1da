"""The command that says what may be wrong with a run, how sure, and which test tells."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import asked_about
from marshlight.cli.output import AsJson, emit


@app.command("diagnose")
def diagnose(
    run: Annotated[str, typer.Argument(metavar="RUN", help="A run's name.")],
    as_json: AsJson = False,
) -> None:
    """Hold a run's newest readings against what could be wrong, and name the cheapest test."""
    emit(asked_about(run, "diagnosis.diagnosis_of"), as_json, _words)


def _words(answer: Any, out: Console) -> None:
    for text in (answer.sentence, answer.why_not, answer.looked_back, answer.souring):
        if text:
            out.print(text)
    for line in answer.lines:
        out.print(f"\n{line.words}: {line.chance}, {line.standing}")
        if line.severity:
            out.print(f"  if so: {line.severity}")
        for caution in line.cautions:
            out.print(f"  Caution: {caution.text}")
        if line.test:
            never = f" {line.never}." if line.never else ""
            out.print(f"  cheapest test ({line.takes}): {line.test}.{never}")
        for text in line.results:
            out.print(f"    {text}")
        for text in line.evidence:
            out.print(f"  - {text}")
    if answer.unknown:
        out.print("\nNot known: " + "; ".join(answer.unknown))
