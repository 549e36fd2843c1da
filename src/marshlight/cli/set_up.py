"""Commands that set up, change, list and show what the notebook knows besides its log."""

from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, the_keeper, units_shown
from marshlight.cli.output import AsJson, emit, table
from marshlight.errors import InputError, require

KIND = Annotated[
    str, typer.Argument(metavar="KIND", help="site, vessel, holder, heater, lot, feedstock or run.")
]
GIVEN = Annotated[
    list[str] | None,
    typer.Argument(metavar="FIELD=VALUE ...", help='Such as name="Drum 1" volume=25L.'),
]


def pairs(given: list[str] | None) -> dict[str, str]:
    """Split FIELD=VALUE words."""
    found: dict[str, str] = {}
    for word in given or []:
        name, equals, value = word.partition("=")
        require(
            bool(equals),
            field=word,
            value=word,
            allowed="FIELD=VALUE",
            remedy='Write for example volume=25L or name="Drum 1"',
        )
        found[name] = value
    return found


def _sheet(record: Any) -> dict[str, Any]:
    from marshlight.notebook.setting_up import shown

    return {
        "id": record.pk,
        "name": record.name,
        "fields": shown(record, system=units_shown(record)),
    }


def _words(sheet: dict[str, Any], out: Console) -> None:
    rows = [[words, text] for words, text in sheet["fields"].items()]
    out.print(table(["", ""], rows, title=sheet["name"]))


@app.command("set-up")
def set_up_record(kind: KIND, given: GIVEN = None, as_json: AsJson = False) -> None:
    """Set up a site, vessel, holder, heater, lot, material of your own, or run.

    Without fields: say which fields it has.
    """
    open_notebook()
    from marshlight.notebook.setting_up import set_up, setup_kind

    description = setup_kind(kind)
    if not given:
        emit(_asked(description), as_json, _asked_words)
        return
    emit(_sheet(set_up(kind, pairs(given), by=the_keeper())), as_json, _words)


def _asked(description: Any) -> dict[str, Any]:
    fields = [
        {
            "field": f.name,
            "meaning": f.words,
            "unit": f.unit,
            "choices": dict(f.choices),
            "required": f.required,
            "only_for": list(f.only_for[1]) if f.only_for else [],
            "help": f.help,
        }
        for f in description.fields
    ]
    return {"kind": description.key, "words": description.words, "fields": fields}


def _asked_words(asked: dict[str, Any], out: Console) -> None:
    rows = []
    for field in asked["fields"]:
        what = field["unit"] or ", ".join(field["choices"]) or field["help"]
        only = f" (for {', '.join(field['only_for'])})" if field["only_for"] else ""
        needed = "needed" if field["required"] else ""
        rows.append([field["field"], field["meaning"] + only, what, needed])
    out.print(table(["field", "meaning", "unit or choices", ""], rows, title=asked["words"]))


@app.command("change")
def change_record(
    kind: KIND,
    name: Annotated[str, typer.Argument(help="The record's name, or part of it.")],
    given: GIVEN = None,
    why: Annotated[str, typer.Option(help="Why it changes; the history keeps it.")] = "",
    as_json: AsJson = False,
) -> None:
    """Change fields of a set-up record; the state it had stays in its history."""
    open_notebook()
    from marshlight.notebook.setting_up import change, found

    record = change(found(kind, name), pairs(given), by=the_keeper(), why=why)
    emit(_sheet(record), as_json, _words)


@app.command("show")
def show_record(
    kind: KIND,
    name: Annotated[str, typer.Argument(help="The record's name; left out: list them all.")] = "",
    as_json: AsJson = False,
) -> None:
    """Show one set-up record with its history, or list all of a kind."""
    open_notebook()
    from marshlight.notebook.setting_up import found, setup_kind

    if not name:
        rows = [_sheet(r) for r in setup_kind(kind).model._default_manager.filter(retired=False)]
        emit({"kind": kind, "records": rows}, as_json, _list_words)
        return
    record = found(kind, name)
    versions = [
        {"version": v.version, "at": v.at, "by": v.by.name if v.by else "", "why": v.why}
        for v in record.history()
    ]
    emit(_sheet(record) | {"history": versions}, as_json, _history_words)


def _list_words(listed: dict[str, Any], out: Console) -> None:
    if not listed["records"]:
        out.print(f"No {listed['kind']} yet. Set one up: marshlight set-up {listed['kind']}")
    for sheet in listed["records"]:
        facts = ", ".join(
            f"{w} {t}" for w, t in sheet["fields"].items() if w not in {"name", "site"}
        )
        out.print(f"{sheet['name']}: {facts}")


def _history_words(sheet: dict[str, Any], out: Console) -> None:
    _words(sheet, out)
    rows = [
        [str(v["version"]), f"{v['at']:%Y-%m-%d %H:%M}", v["by"], v["why"]]
        for v in sheet["history"]
    ]
    out.print(table(["version", "at", "by", "why"], rows, title="history"))


@app.command("retire")
def retire_record(
    kind: KIND,
    name: Annotated[str, typer.Argument(help="The record's name.")],
    why: Annotated[str, typer.Option(help="Why it is no longer used.")] = "",
    as_json: AsJson = False,
) -> None:
    """Mark a record as no longer used; nothing is ever deleted."""
    open_notebook()
    from marshlight.notebook.setting_up import found

    if not why.strip():
        raise InputError("why", why, "a few words", "Say why with --why; the history keeps it")
    record = found(kind, name)
    record.retired = True
    record.save(by=the_keeper(), why=why)
    emit(_sheet(record), as_json, _words)
