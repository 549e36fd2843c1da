"""The commands that try things on a run by the process model: what if, and what next."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import asked_about
from marshlight.cli.output import AsJson, emit, table
from marshlight.cli.told import answer_words, refuse, typed


@app.command("simulate")
def simulate(
    run: Annotated[str, typer.Argument(metavar="RUN", help="A run's name.")],
    feed: Annotated[str | None, typer.Option(help="A lot, or a material it held before.")] = None,
    amount: Annotated[str | None, typer.Option(help="How much of it, fresh, each time.")] = None,
    every: Annotated[str | None, typer.Option(help="How often; left out: once, now.")] = None,
    skip: Annotated[str | None, typer.Option(help="Days without feed first.")] = None,
    dose: Annotated[str | None, typer.Option(help="Sodium bicarbonate, once, now.")] = None,
    warm: Annotated[str | None, typer.Option(help="Kelvin warmer from now on.")] = None,
    draw: Annotated[str | None, typer.Option(help="Slurry drawn off, once, now.")] = None,
    refill: Annotated[
        str | None, typer.Option(help="What then fills it up: a lot, water, or 'as charged'.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what the process model expects of a run in 30 days, beside leaving it alone."""
    asked = typed(
        feed=feed, amount=amount, every=every, skip=skip, dose=dose, warm=warm, draw=draw,
        refill=refill,
    )  # fmt: skip
    answer = asked_about(run, "simulate.what_if", asked)
    refuse(answer.told.problems)
    emit(answer, as_json, _words)


@app.command("next")
def next_step(
    run: Annotated[str, typer.Argument(metavar="RUN", help="A run's name.")],
    lot: Annotated[str | None, typer.Option(help="What can be fed.")] = None,
    risk: Annotated[str | None, typer.Option(help="Risk of souring you would bear.")] = None,
    at_hand: Annotated[str | None, typer.Option(help="How much of it is at hand.")] = None,
    refill: Annotated[
        str | None, typer.Option(help="What fills it up: a lot, or 'as charged'.")
    ] = None,
    warm: Annotated[str | None, typer.Option(help="Kelvin, to see whether heat pays.")] = None,
    as_json: AsJson = False,
) -> None:
    """Say the best next step: how much to feed, when to refill, what buffer, whether heat pays."""
    asked = typed(lot=lot, risk=risk, at_hand=at_hand, refill=refill, warm=warm)
    answer = asked_about(run, "next_step.next_step", asked)
    refuse(answer.problems)
    emit(answer, as_json, answer_words)


def _words(answer: Any, out: Console) -> None:
    answer_words(answer.told, out)
    for chart in answer.charts:
        for view in chart.views:
            rows = [list(row) for row in view.table.rows[::5]]
            title = f"\n{chart.title}: {view.table.caption}"
            out.print(table(list(view.table.head), rows, title=title))
