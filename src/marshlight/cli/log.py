"""Commands that write in the log, correct it and show its history."""

import uuid
from typing import Annotated, Any

import typer
from rich.console import Console

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, run_named, the_keeper, units_shown
from marshlight.cli.output import AsJson, emit, table
from marshlight.cli.set_up import pairs
from marshlight.errors import InputError

RUN = Annotated[str, typer.Argument(metavar="RUN", help="The run's name, or part of it.")]
AT = Annotated[
    str, typer.Option(help='When, on the site\'s clock: "2026-05-01 07:30". Now if left out.')
]
NOTE = Annotated[str, typer.Option(help="Anything else.")]


@app.command("kinds")
def list_kinds(as_json: AsJson = False) -> None:
    """List what can be read (`marshlight log`) and what can be done (`marshlight did`)."""
    open_notebook()
    from marshlight.notebook.kinds import EVENTS, READINGS

    listed = {
        family: [
            {
                "kind": k.key,
                "words": k.words,
                "unit": k.measure.unit if k.measure else "",
                "details": {d.name: list(d.choices) or d.words for d in k.details},
            }
            for k in kinds.values()
        ]
        for family, kinds in (("log", READINGS), ("did", EVENTS))
    }
    emit(listed, as_json, _kinds_words)


def _kinds_words(listed: dict[str, Any], out: Console) -> None:
    for family, kinds in listed.items():
        rows = [
            [
                k["kind"],
                k["words"],
                k["unit"],
                "; ".join(f"{n}={_one(c)}" for n, c in k["details"].items()),
            ]
            for k in kinds
        ]
        out.print(
            table(
                ["kind", "meaning", "unit", "details"], rows, title=f"\nmarshlight {family} RUN ..."
            )
        )


def _one(choices: Any) -> str:
    return "|".join(choices) if isinstance(choices, list) else str(choices)


@app.command("log")
def log_reading(
    run: RUN,
    kind: Annotated[str, typer.Argument(help="What was read; see `marshlight kinds`.")],
    given: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[VALUE] [DETAIL=VALUE ...]", help="Such as 120mm, or answer=holds."
        ),
    ] = None,
    at: AT = "",
    note: NOTE = "",
    as_json: AsJson = False,
) -> None:
    """Write down something seen: a level, a temperature, a flame, a pH ..."""
    found = run_named(run)
    from marshlight.notebook.recording import record_reading

    value, detail = _split(given)
    kept = record_reading(
        found, kind, value, at=at or None, detail=detail, note=note, by=the_keeper()
    )
    emit(_kept(kept, found), as_json, _kept_words)


@app.command("did")
def log_event(
    run: RUN,
    kind: Annotated[str, typer.Argument(help="What was done; see `marshlight kinds`.")],
    given: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[VALUE] [DETAIL=VALUE ...]", help="Such as 14g substance=bicarbonate."
        ),
    ] = None,
    part: Annotated[
        list[str] | None,
        typer.Option(help='For a charge or feed, once a material: --part "stale bread=200 g".'),
    ] = None,
    at: AT = "",
    note: NOTE = "",
    as_json: AsJson = False,
) -> None:
    """Write down something done: charged, fed, drew off, dosed, emptied the holder ..."""
    found = run_named(run)
    from marshlight.notebook.recording import record_event

    value, detail = _split(given)
    if part:
        detail["parts"] = [_part(name, mass) for name, mass in pairs(part).items()]
    kept = record_event(
        found, kind, value, at=at or None, detail=detail, note=note, by=the_keeper()
    )
    emit(_kept(kept, found), as_json, _kept_words)


def _split(given: list[str] | None) -> tuple[str | None, dict[str, Any]]:
    """Tell the value (bare words) from the details (NAME=VALUE)."""
    bare = [word for word in given or [] if "=" not in word]
    return " ".join(bare) or None, dict(pairs([word for word in given or [] if "=" in word]))


def _part(name: str, mass: str) -> dict[str, Any]:
    """Name a lot if there is one of that name, else a material of the library."""
    from marshlight.notebook.models import Lot
    from marshlight.notebook.setting_up.making import find_material

    lot = Lot.objects.in_use().filter(name__iexact=name).first()
    if lot is not None:
        return {"lot": str(lot.pk), "mass": mass}
    material = find_material(name)
    return {"feedstock": material if isinstance(material, str) else material.key, "mass": mass}


def _kept(kept: Any, run: Any) -> dict[str, Any]:
    from django.utils import timezone

    from marshlight.answers.record import record_line

    line = record_line(kept.record, run, timezone.now(), system=units_shown(run))
    return {"run": run.name, "record": line, "doubts": [d.text for d in kept.doubts]}


def _kept_words(answer: dict[str, Any], out: Console) -> None:
    line = answer["record"]
    out.print(f"{answer['run']}: kept {line.words} {line.said} ({line.ident})")
    for doubt in answer["doubts"]:
        out.print(f"Worth a second look: {doubt}")


@app.command("correct")
def correct_record(
    ident: Annotated[str, typer.Argument(help="The record's id, as the log or history shows it.")],
    value: Annotated[str, typer.Argument(help="What it should have been.")] = "",
    why: Annotated[str, typer.Option(help="Why; the old version stays in the history.")] = "",
    at: AT = "",
    as_json: AsJson = False,
) -> None:
    """Correct a reading or an event; the version it had stays in its history."""
    record = _record(ident)
    from marshlight.notebook.recording import correct

    changes = {"value": value} if value else {}
    kept = correct(record, **changes, at=at or None, reason=why, by=the_keeper())
    emit(_kept(kept, record.run), as_json, _kept_words)


@app.command("retract")
def retract_record(
    ident: Annotated[str, typer.Argument(help="The record's id.")],
    why: Annotated[str, typer.Option(help="Why it should not count.")] = "",
    as_json: AsJson = False,
) -> None:
    """Take a reading or an event out of the reckoning; it stays in the history."""
    record = _record(ident)
    from marshlight.notebook.recording import retract

    emit(_kept(retract(record, reason=why, by=the_keeper()), record.run), as_json, _kept_words)


@app.command("history")
def show_history(
    ident: Annotated[str, typer.Argument(help="The record's id.")], as_json: AsJson = False
) -> None:
    """Show every version of a reading or an event, with who and why."""
    from marshlight.notebook.recording import history

    record = _record(ident)
    versions = [
        {
            "id": v.pk,
            "version": v.version,
            "at": v.at,
            "said": v.entered,
            "by": v.entered_by.name if v.entered_by else "",
            "entered_at": v.entered_at,
            "why": v.reason,
            "retracted": v.retracted,
        }
        for v in history(record)
    ]
    emit({"kind": record.kind, "versions": versions}, as_json, _history_words)


def _history_words(answer: dict[str, Any], out: Console) -> None:
    rows = [
        [str(v["version"]), v["said"], f"{v['at']:%Y-%m-%d %H:%M}", v["by"],
         v["why"] + (" (retracted)" if v["retracted"] else "")]
        for v in answer["versions"]
    ]  # fmt: skip
    out.print(table(["version", "said", "at", "by", "why"], rows, title=answer["kind"]))


def _record(ident: str) -> Any:
    open_notebook()
    from marshlight.notebook.models import Event, Reading

    try:
        key = uuid.UUID(ident)
    except ValueError:
        key = None
    for model in (Reading, Event):
        found = model.objects.filter(pk=key).first() if key else None
        if found is not None:
            return found
    raise InputError(
        "record", ident, "the id of a reading or an event", "Copy it from the run's log"
    )
