"""Commands about keeping warm, the way of the gas, and leaks."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.flame import run_or_none
from marshlight.cli.main import app
from marshlight.cli.opening import units_shown
from marshlight.cli.output import AsJson, emit, table
from marshlight.cli.set_up import pairs
from marshlight.cli.told import answer_words, refuse
from marshlight.errors import InputError, require

Words = Annotated[
    list[str] | None,
    typer.Argument(
        metavar="[RUN] [FIELD=VALUE]...",
        help='A run\'s name, and figures of your own such as power="40 W"; see --fields.',
    ),
]
ListFields = Annotated[bool, typer.Option("--fields", help="List what can be said, and stop.")]


@app.command("heat")
def heat_of(words: Words = None, fields: ListFields = False, as_json: AsJson = False) -> None:
    """Say whether it will be warm enough and at what cost, with one change compared."""
    name, given = _split(words)
    run = run_or_none(name)
    from django.utils import timezone

    from marshlight.answers.heat import heat

    answer = heat(given, run=run, now=timezone.now(), system=units_shown(run))
    if _asked(answer.told, given, fields, as_json=as_json):
        return
    emit(answer, as_json, _heat_words)
    if answer.refused:
        raise typer.Exit(1)


@app.command("gas-train")
def gas_train_of(words: Words = None, fields: ListFields = False, as_json: AsJson = False) -> None:
    """Look at seals, relief, trap and holder: can the vessel breathe, when is the holder full."""
    name, given = _split(words)
    run = run_or_none(name)
    from marshlight.answers.gas_train import gas_train

    told = gas_train(given, run=run, system=units_shown(run))
    if not _asked(told, given, fields, as_json=as_json):
        emit(told, as_json, answer_words)


@app.command("leak")
def leak_of(words: Words = None, fields: ListFields = False, as_json: AsJson = False) -> None:
    """Judge a leak test: readings="0 200; 6 188; 24 150", hours and mm of water or level."""
    name, given = _split(words)
    run = run_or_none(name)
    from marshlight.answers.leak import leak

    told = leak(given, run=run, system=units_shown(run))
    if not _asked(told, given, fields, as_json=as_json):
        emit(told, as_json, answer_words)


def _split(words: list[str] | None) -> tuple[str, dict[str, str]]:
    """Tell the run's name from the figures."""
    names = [word for word in words or [] if "=" not in word]
    require(
        len(names) <= 1,
        field="run",
        value=" ".join(names),
        allowed="one run's name, then FIELD=VALUE",
        remedy='Put a name or value of several words in quotes, such as power="40 W"',
    )
    return "".join(names), pairs([word for word in words or [] if "=" in word])


def _asked(told: Any, given: dict[str, str], fields: bool, *, as_json: bool) -> bool:
    """Refuse what is no field; list the fields where that was asked for."""
    names = [field.question.name for field in told.fields]
    for name, value in given.items():
        if name not in names:
            raise InputError(name, value, ", ".join(names), "Use one of these fields")
    if fields:
        emit(told.fields, as_json, _fields_words)
        return True
    refuse(told.problems)
    return False


def _fields_words(fields: Any, out: Console) -> None:
    rows = []
    for field in fields:
        asked = field.question
        choices = ", ".join(key for key, _ in asked.choices)
        rows.append([asked.name, asked.words, field.value, asked.unit_words, choices or asked.hint])
    out.print(table(["field", "what", "taken now", "unit", "choices or hint"], rows))


def _heat_words(answer: Any, out: Console) -> None:
    for danger in answer.dangers:
        out.print(f"! {danger.text}", markup=False, style="bold red")
        out.print(f"  {danger.why}" + (f" Ask {danger.ask}." if danger.ask else ""), markup=False)
    answer_words(answer.told, out)
    if answer.chart:
        out.print()
        for view in answer.chart.views:
            out.print(view.sentence)
    if answer.compared:
        rows = [list(row) for row in answer.compared.rows]
        out.print(table(list(answer.compared.head), rows, title=f"\n{answer.compared.caption}"))
