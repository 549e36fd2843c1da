"""The command that shows a run's advice, and says that it was done or put off."""

from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from marshlight.cli.looking import RUN
from marshlight.cli.main import app
from marshlight.cli.opening import run_named, the_keeper
from marshlight.cli.output import AsJson, emit


@app.command("advice")
def show_advice(
    run: RUN,
    key: Annotated[str, typer.Argument(help="Which piece, as the list names it.")] = "",
    answer: Annotated[str, typer.Argument(help="done, tomorrow, three_days or take_back.")] = "",
    as_json: AsJson = False,
) -> None:
    """Show what to do on a run; with a piece and an answer, mark it done, or put it off."""
    found = run_named(run)
    from django.utils import timezone

    from marshlight.answers.advice import answer_advice, answered_words, take_back
    from marshlight.answers.run import run_page

    # What stands now is looked at first: an urgent piece cannot be put off.
    page = run_page(found, now=timezone.now())
    kept = ""
    if key:
        by = the_keeper()
        taken = take_back(found, key, by=by) if answer == "take_back" else None
        event = (taken or answer_advice(found, key, answer or "done", by=by)).record
        kept = answered_words(event, found)
        page = run_page(found, now=timezone.now())
    told = {
        "kept": kept,
        "advice": page.advice,
        "no_advice": "" if page.advice else page.no_advice,
        "change": page.advice_change,
        "out_of_sight": page.aside,
    }
    emit(told, as_json, _words)


def _words(told: dict[str, Any], out: Console) -> None:
    for text in (told["kept"], told["change"], told["no_advice"]):
        if text:
            out.print(text)
    advice_words(told["advice"], out)
    aside_words(told["out_of_sight"], out)


def advice_words(advice: Any, out: Console) -> None:
    """Print pieces of advice, each with its key and its cautions."""
    for line in advice:
        out.print(Text(f"\n{line.what}", style="bold"))
        out.print(f"  {line.why}")
        for name in ("how_much", "by_when", "how_sure"):
            text = getattr(line, name)
            if text:
                out.print(f"  {name.replace('_', ' ')}: {text}")
        for caution in line.cautions:
            out.print(f"  Caution: {caution.text}")
        out.print(f"  {'urgent, ' if line.urgent else ''}answered by: {line.key}")


def aside_words(aside: Any, out: Console) -> None:
    """Print what is out of sight, and until when."""
    for line in aside:
        out.print(f"Out of sight: {line.what} ({line.words}; record {line.record})")
