"""Commands about what can hurt: gas space, germs, gas cleaning, and the safety sheet."""

from typing import Annotated, Any

import typer
from rich.console import Console
from rich.text import Text

from marshlight.cli.flame import RunName, run_or_none
from marshlight.cli.main import app
from marshlight.cli.opening import units_shown
from marshlight.cli.output import AsJson, emit, table
from marshlight.cli.told import answer_words, refuse, section_words, typed

Room = Annotated[str | None, typer.Option(help="Room that gas would leak into.")]
Changes = Annotated[str | None, typer.Option(help="Air changes of it an hour.")]
Leak = Annotated[str | None, typer.Option(help="Gas that would leak.")]
Sulphide = Annotated[str | None, typer.Option(help="Hydrogen sulphide in the gas, from a tube.")]
Methane = Annotated[str | None, typer.Option(help='"60 %", or a span "50..65 %".')]


@app.command("gas-space")
def gas_space(
    run: RunName = "",
    methane: Methane = None,
    space: Annotated[str | None, typer.Option(help="Gas space above the slurry.")] = None,
    made: Annotated[str | None, typer.Option(help="Gas made since it was closed.")] = None,
    room: Room = None,
    changes: Changes = None,
    leak: Leak = None,
    h2s: Sulphide = None,
    by: Annotated[
        str | None, typer.Option(help="Make-up of a run's gas: by the model, or by tests.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say whether the inside is or was explosive, and what opening or a leak does."""
    found = run_or_none(run)
    from marshlight.answers.gas_space import gas_space as answer_for

    asked = typed(
        methane=methane, space=space, made=made, room=room, changes=changes, leak=leak, h2s=h2s,
        by=by,
    )  # fmt: skip
    answer = answer_for(asked, run=found, system=units_shown(found))
    refuse(answer.answer.problems)
    emit(answer, as_json, _gas_space_words)


def _gas_space_words(found: Any, out: Console) -> None:
    answer_words(found.answer, out)
    if found.picture is not None:
        out.print()
        out.print(found.picture.sentence)
        shown = found.picture.table
        out.print(table(list(shown.head), [list(row) for row in shown.rows], title=shown.caption))
    if found.room is not None:
        out.print()
        for view in found.room.views:
            out.print(view.sentence, markup=False)


@app.command("hygiene")
def hygiene(
    run: RunName = "",
    temperature: Annotated[str | None, typer.Option(help="Slurry temperature.")] = None,
    days: Annotated[str | None, typer.Option(help="How long it stays.")] = None,
    way: Annotated[str | None, typer.Option(help="fed (stirred and fed) or batch.")] = None,
    hold: Annotated[str | None, typer.Option(help="Time every part is held hot.")] = None,
    solids: Annotated[str | None, typer.Option(help="Solids (TS).")] = None,
    piece: Annotated[str | None, typer.Option(help="Largest piece.")] = None,
    as_json: AsJson = False,
) -> None:
    """Say what law asks of digestate on food crops, and what digestion really does to germs."""
    found = run_or_none(run)
    from marshlight.answers.hygiene import hygiene as answer_for

    asked = typed(
        temperature=temperature, days=days, way=way, hold=hold, solids=solids, piece=piece
    )
    answer = answer_for(asked, run=found, system=units_shown(found))
    refuse(answer.problems)
    emit(answer, as_json, answer_words)


@app.command("clean-gas")
def clean_gas(
    run: RunName = "",
    gas: Annotated[str | None, typer.Option(help="Gas a day.")] = None,
    h2s: Sulphide = None,
    methane: Annotated[str | None, typer.Option(help="Methane in it.")] = None,
    days: Annotated[str | None, typer.Option(help="How long a bed is to last.")] = None,
    air: Annotated[str | None, typer.Option(help="Air dose, share of the biogas.")] = None,
    space: Annotated[str | None, typer.Option(help="Gas space that is aerated.")] = None,
    warm: Annotated[str | None, typer.Option(help="Temperature of the gas at first.")] = None,
    cold: Annotated[str | None, typer.Option(help="Coldest place of the pipe.")] = None,
    water: Annotated[str | None, typer.Option(help="Temperature of washing water.")] = None,
    as_json: AsJson = False,
) -> None:
    """Size an iron bed, an air dose, washing and drying; refuse a dangerous dose."""
    found = run_or_none(run)
    from marshlight.answers.cleaning import cleaning

    asked = typed(
        gas=gas, h2s=h2s, methane=methane, days=days, air=air, space=space, warm=warm, cold=cold,
        water=water,
    )  # fmt: skip
    answer = cleaning(asked, run=found, system=units_shown(found))
    refuse(answer.problems)
    emit(answer, as_json, answer_words)


@app.command("safety-sheet")
def safety_sheet(
    run: RunName = "",
    people: Annotated[str | None, typer.Option(help="Who is near it, by role.")] = None,
    act: Annotated[
        str | None, typer.Option(help='Something you mean to do, such as "enter the tank".')
    ] = None,
    room: Room = None,
    changes: Changes = None,
    leak: Leak = None,
    h2s: Sulphide = None,
    refusals: Annotated[bool, typer.Option(help="List everything that is refused.")] = False,
    as_json: AsJson = False,
) -> None:
    """Print the safety sheet of a run: hazards in its numbers, when to stop, who to ask."""
    found = run_or_none(run)
    from marshlight.answers.safety_sheet import safety_sheet_page

    asked = typed(people=people, act=act, room=room, changes=changes, leak=leak, h2s=h2s)
    page = safety_sheet_page(asked, run=found, system=units_shown(found))
    refuse(page.answer.problems)
    emit(page, as_json, _refusal_words if refusals else _sheet_words)


def _refusal_words(page: Any, out: Console) -> None:
    for refusal in page.refusals:
        out.print(Text(f"{refusal.act}: {refusal.says}", style="bold"))
        out.print(f"  {refusal.why} Instead: {refusal.instead}")


def _sheet_words(page: Any, out: Console) -> None:
    if page.asked_act:
        _asked_words(page, out)
    answer = page.answer
    out.print(Text(answer.title, style="bold"))
    out.print(answer.sentence)
    for name, words in (("Holds", page.materials), ("Near it", page.people)):
        if words:
            out.print(f"{name}: {', '.join(words)}")
    out.print(Text("\nStop when", style="bold"))
    for stop in page.stops:
        out.print(f"  {stop.when}: {stop.then}.")
    out.print(Text("\nWhat can hurt here", style="bold"))
    for caution in answer.cautions:
        out.print(Text(f"! {caution.text}", style="bold red"))
        out.print(f"  {caution.why}")
    for section in answer.sections:
        section_words(section, out)
    out.print(Text("\nWho to ask", style="bold"))
    for who, what in page.sheet.ask:
        out.print(f"  {what}: {who}")
    for note in answer.notes:
        out.print(note)


def _asked_words(page: Any, out: Console) -> None:
    if page.refused is None:
        out.print("Not on our list of refusals. This does not make it safe: ask someone on site.")
    else:
        out.print(Text(page.refused.says, style="bold red"))
        out.print(f"{page.refused.why} Instead: {page.refused.instead}")
    out.print()
