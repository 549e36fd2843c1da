"""The command about burning: will it, on what, for how long."""

from typing import Annotated, Any

import typer

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, run_named, units_shown
from marshlight.cli.output import AsJson, emit
from marshlight.cli.told import answer_words, refuse, typed

RunName = Annotated[
    str, typer.Argument(metavar="[RUN]", help="A run's name; left out: your own figures.")
]


def run_or_none(name: str) -> Any:
    """Open the notebook, and find the run if one is named."""
    if name:
        return run_named(name)
    open_notebook()
    return None


@app.command("flame")
def flame(
    run: RunName = "",
    methane: Annotated[str | None, typer.Option(help='"60 %", or a span "52..64 %".')] = None,
    held: Annotated[str | None, typer.Option(help="Gas at hand.")] = None,
    pressure: Annotated[str | None, typer.Option(help="Gas pressure at the burner.")] = None,
    flow: Annotated[str | None, typer.Option(help="Gas the burner takes.")] = None,
    water: Annotated[str | None, typer.Option(help="Water to boil.")] = None,
    port: Annotated[str | None, typer.Option(help="Bore of one port.")] = None,
    fuel: Annotated[
        str | None, typer.Option(help="Burner was made for C3H8 (propane), C4H10 or CH4.")
    ] = None,
    jet: Annotated[str | None, typer.Option(help="The old jet's hole.")] = None,
    made_for: Annotated[str | None, typer.Option(help="Pressure it was made for.")] = None,
    as_json: AsJson = False,
) -> None:
    """Say whether the gas burns, on what and for how long, and size or convert a burner."""
    found = run_or_none(run)
    from marshlight.answers.flame import flame as answer_for

    asked = typed(
        methane=methane, held=held, pressure=pressure, flow=flow, water=water, port=port,
        fuel=fuel, jet=jet, made_for=made_for,
    )  # fmt: skip
    answer = answer_for(asked, run=found, system=units_shown(found))
    refuse(answer.problems)
    emit(answer, as_json, answer_words)
