"""Printing an answer that is told in sections: the sentence, cautions, figures, sources."""

from collections.abc import Mapping
from typing import Any

from rich.console import Console
from rich.text import Text

from marshlight.answers.reader import in_reader_units
from marshlight.cli.opening import units_shown
from marshlight.cli.output import table
from marshlight.errors import raise_all


def typed(**options: str | None) -> dict[str, str]:
    """Keep the options that were given: what was left out takes the run's or usual value."""
    return {name: text for name, text in options.items() if text is not None}


def refuse(problems: Mapping[str, Any]) -> None:
    """Raise what can't be used, one or all of it.

    Raises
    ------
    InputError
        If one field can't be used.
    InputErrors
        If several can't.
    """
    raise_all(list(problems.values()))


def answer_words(answer: Any, out: Console) -> None:
    """Print an answer: cautions first, every figure with its sources' keys."""
    for caution in answer.cautions:
        out.print(Text(f"! {in_reader_units(caution.text, units_shown())}", style="bold red"))
    out.print()
    out.print(Text(answer.title, style="bold"))
    if answer.first:
        out.print(Text(answer.first, style="bold red"))
    out.print(answer.sentence)
    for section in answer.sections:
        section_words(section, out)
    for note in answer.notes:
        out.print(note)


def section_words(section: Any, out: Console) -> None:
    """Print one section."""
    out.print()
    out.print(Text(section.title, style="bold"))
    if section.warning:
        out.print(Text(f"! {section.warning}", style="bold red"))
    for text in section.before:
        out.print(text, markup=False)
    for figure in section.figures:
        out.print(Text.assemble(f"  {figure.name}: ", (figure.value, "bold")))
        keys = ", ".join(record.key for record in figure.sources)
        about = "; ".join(part for part in (figure.note, figure.equation) if part)
        told = f"    {about} [{keys}]" if keys else f"    {about}"
        if about or keys:
            out.print(Text(told, style="dim"))
    for each in section.tables:
        out.print(table(list(each.head), [list(row) for row in each.rows], title=each.caption))
    for text in section.after:
        out.print(text, markup=False)
