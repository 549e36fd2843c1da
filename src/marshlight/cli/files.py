"""Commands for files: bring in a log, take and restore copies, check the notebook."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any, BinaryIO

import typer
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn

from marshlight.cli.main import app
from marshlight.cli.opening import open_notebook, run_named, the_keeper
from marshlight.cli.output import AsJson, emit, table
from marshlight.cli.set_up import pairs
from marshlight.errors import InputError, NotebookError

Tell = Callable[[int, int], None]
_MOST_BAD_SHOWN = 20


@contextmanager
def _telling(what: str) -> Iterator[Tell]:
    """Show how far long work is, on the error stream so that piped output stays clean."""
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


@app.command("import")
def import_log(
    run: Annotated[str, typer.Argument(metavar="RUN", help="The run it belongs to.")],
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A CSV or XLSX file.")],
    column: Annotated[
        list[str] | None,
        typer.Option(
            help='What a column holds, once a column: --column "h=level,mm", '
            '--column "when=time", --column "who=skip". Left out: as the headings say.'
        ),
    ] = None,
    dates: Annotated[str, typer.Option(help="ymd, dmy, mdy or epoch.")] = "",
    zone: Annotated[str, typer.Option(help="Time zone of the file's clock.")] = "",
    decimal: Annotated[str, typer.Option(help='"." or ",".')] = "",
    leave_out: Annotated[
        str, typer.Option(help='Bad rows to leave out: "5,9", or "all". Nothing is skipped unsaid.')
    ] = "",
    look: Annotated[bool, typer.Option("--look", help="Only look; keep nothing.")] = False,
    as_json: AsJson = False,
) -> None:
    """Bring in a log: look at the whole file first, then keep all of it or nothing."""
    found = run_named(run)
    from marshlight.answers.import_log import first_layout
    from marshlight.answers.import_log import look as look_at
    from marshlight.notebook.importing import read_table, take_in

    sheet = read_table(_read(file), file.name)
    layout = _changed(
        first_layout(found, sheet)[0], column, dates=dates, zone=zone, decimal=decimal
    )
    with _telling("Reading") as tell:
        looked = look_at(found, sheet, layout, progress=tell)
    left_out = _left_out(leave_out, looked.bad_numbers)
    answer: dict[str, Any] = {
        "run": found.name,
        "file": file.name,
        "columns": [
            {"heading": c.heading, "holds": c.use, "kind": c.kind, "unit": c.unit}
            for c in layout.columns
        ],
        "guesses": [question.text for question in layout.questions],
        "looked": looked,
    }
    if look:
        emit(answer, as_json, _looked_words)
        return
    if set(looked.bad_numbers) - left_out:
        emit(answer, as_json, _looked_words)
        raise NotebookError(
            f"{len(looked.bad_numbers)} of {looked.rows:,} rows cannot be read, so nothing was "
            'kept. Correct them, or name those to leave out with --leave-out "5,9" or all.'
        )
    with _telling("Keeping") as tell:
        taken = take_in(found, sheet, layout, by=the_keeper(), leave_out=left_out, progress=tell)
    answer["kept"] = {
        "added": taken.added,
        "already_kept": taken.already_kept,
        "repeated_in_file": taken.repeated_in_file,
        "rows_left_out": sorted({cell.row for cell in taken.left_out}),
    }
    emit(answer, as_json, _kept_words)


def _read(file: Path) -> bytes:
    try:
        return file.read_bytes()
    except OSError as error:
        raise InputError(
            "file", str(file), "a file that can be read", f"{error.strerror}; check its name"
        ) from error


def _changed(layout: Any, columns: list[str] | None, *, dates: str, zone: str, decimal: str) -> Any:
    """Change how a file is understood by what was said on the line."""
    from marshlight.answers.import_log import layout_from
    from marshlight.notebook.kinds import EVENTS, READINGS

    typed: dict[str, str] = {}
    by_heading = {c.heading.casefold(): c for c in layout.columns}
    for heading, holds in pairs(columns).items():
        meant = by_heading.get(heading.strip().casefold())
        if meant is None:
            headings = ", ".join(c.heading for c in layout.columns)
            raise InputError("--column", heading, headings, "Use a heading of the file")
        what, _, unit = (part.strip() for part in holds.partition(","))
        use = "reading:" if what in READINGS else "event:" if what in EVENTS else ""
        typed[f"holds-{meant.index}"] = f"{use}{what}"
        typed[f"unit-{meant.index}"] = unit
    named = {"date_order": dates, "zone": zone, "decimal": decimal}
    typed |= {name: text for name, text in named.items() if text}
    return layout_from(typed, layout) if typed else layout


def _left_out(text: str, bad: tuple[int, ...]) -> set[int]:
    if text.strip().casefold() == "all":
        return set(bad)
    numbers = [part.strip() for part in text.split(",") if part.strip()]
    if not all(number.isdigit() for number in numbers):
        raise InputError("--leave-out", text, 'row numbers such as "5,9", or all', "Correct it")
    return {int(number) for number in numbers}


def _looked_words(answer: dict[str, Any], out: Console) -> None:
    looked = answer["looked"]
    rows = [
        [c["heading"], c["kind"].replace("_", " ") or c["holds"], c["unit"]]
        for c in answer["columns"]
    ]
    out.print(table(["column", "holds", "unit"], rows, title=f"{answer['file']}"))
    for text in (*answer["guesses"], *looked.remarks):
        out.print(f"Worth a look: {text}")
    lines = [[str(x["row"]), x["at"], x["words"], x["shown"], x["entered"]] for x in looked.lines]
    if lines:
        out.print(table(["row", "when", "what", "kept as", "in the file"], lines))
    for row in looked.bad[:_MOST_BAD_SHOWN]:
        for cell in row.reasons:
            out.print(f"Row {row.number}, {cell.heading}: {cell.text!r}. {cell.reason}")
    if len(looked.bad_numbers) > _MOST_BAD_SHOWN:
        out.print(f"... and {len(looked.bad_numbers) - _MOST_BAD_SHOWN} more bad rows.")
    out.print(looked.sentence)


def _kept_words(answer: dict[str, Any], out: Console) -> None:
    kept = answer["kept"]
    for text in (*answer["guesses"], *answer["looked"].remarks):
        out.print(f"Worth a look: {text}")
    words = [f"{kept['added']:,} added"]
    if kept["already_kept"]:
        words.append(f"{kept['already_kept']:,} were in the notebook already")
    if kept["repeated_in_file"]:
        words.append(f"{kept['repeated_in_file']:,} stood in the file twice")
    if kept["rows_left_out"]:
        words.append(f"rows left out: {', '.join(map(str, kept['rows_left_out']))}")
    out.print(f"{answer['run']}: {'; '.join(words)}.")


@app.command("export")
def export_notebook(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write the zip.")],
    tables: Annotated[
        bool, typer.Option("--tables", help="CSV tables for a spreadsheet, not the archive.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Write the whole notebook into one file: the archive that restores it, or CSV tables."""
    open_notebook()
    from marshlight.answers.backup import copy_notebook

    with _new_file(file) as target, _telling("Writing") as tell:
        copied = copy_notebook(target, "csv" if tables else "archive", progress=tell)
    emit({"file": str(file), "copy": copied}, as_json, _copied_words)


@contextmanager
def _new_file(file: Path) -> Iterator[BinaryIO]:
    """Open a file that must not exist yet; a half-written one is not left behind."""
    try:
        target = file.open("x+b")
    except FileExistsError as error:
        raise InputError(
            "file", str(file), "a name that is free", "Choose another, or move the old copy"
        ) from error
    except OSError as error:
        raise InputError(
            "file", str(file), "a place that can be written", f"{error.strerror}"
        ) from error
    try:
        with target:
            yield target
    except BaseException:
        file.unlink(missing_ok=True)
        raise


def _copied_words(answer: dict[str, Any], out: Console) -> None:
    copied = answer["copy"]
    out.print(f"{answer['file']}: {copied.rows:,} rows in {len(copied.files)} files.")
    out.print(f"SHA-256 {copied.sha256}")


@app.command("restore")
def restore_archive(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="An archive from export.")],
    as_json: AsJson = False,
) -> None:
    """Restore an archive into an empty notebook (name a new one with --notebook)."""
    open_notebook()
    from marshlight.answers.backup import restore_notebook

    try:
        source = file.open("rb")
    except OSError as error:
        raise InputError(
            "file", str(file), "a file that can be read", f"{error.strerror}; check its name"
        ) from error
    with source, _telling("Restoring") as tell:
        restored = restore_notebook(source, progress=tell)
    emit({"file": str(file), "restored": restored}, as_json, _restored_words)


def _restored_words(answer: dict[str, Any], out: Console) -> None:
    restored = answer["restored"]
    total = sum(restored["rows"].values())
    out.print(
        f"Restored {total:,} rows, written {restored['written_at']} by {restored['written_by']}."
    )
    for text in restored["left_out"]:
        out.print(text)


@app.command("check")
def check(as_json: AsJson = False) -> None:
    """Check that the notebook is sound: its file, its links, the locks on what was written."""
    open_notebook()
    from marshlight.answers.backup import check_notebook, holdings

    checked = check_notebook()
    emit({"check": checked, "holds": holdings()}, as_json, _check_words)
    if not checked.sound:
        sys.exit(3)


def _check_words(answer: dict[str, Any], out: Console) -> None:
    checked = answer["check"]
    out.print(checked.sentence)
    for text in checked.troubles:
        out.print(text)
    held = [f"{c.count:,} {c.words}" for c in answer["holds"].counts if c.count]
    out.print(f"It holds {', '.join(held) or 'nothing yet'}.")
