"""What an answer says: figures with their equation and source, in sections under one sentence."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from marshlight.answers.asked import Asked, Field
from marshlight.answers.series import Table
from marshlight.decide.safety import Caution
from marshlight.errors import InputError
from marshlight.notebook.models import Run
from marshlight.sources import Source, source


@dataclass(frozen=True)
class Figure:
    """One figure: its name, value, a note, the equation it comes from, and its sources."""

    name: str
    value: str
    note: str = ""
    equation: str = ""
    sources: tuple[Source, ...] = ()


def figure(name: str, value: str, note: str = "", *, equation: str = "", by: str = "") -> Figure:
    """Make a figure; ``by`` holds keys of sources, separated by blanks."""
    return Figure(name, value, note, equation, tuple(source(key) for key in by.split()))


@dataclass(frozen=True)
class Section:
    """Figures and tables under one heading, with sentences before and after."""

    title: str
    figures: tuple[Figure, ...] = ()
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    warning: str = ""
    tables: tuple[Table, ...] = ()


@dataclass(frozen=True)
class Answer:
    """A page or command: one sentence, cautions, sections, the form, and sources.

    ``problems`` maps a field's name to what is wrong with it; then sections may be missing.
    ``first`` is what has to be done before anything else, if there is such a thing.
    """

    key: str
    title: str
    sentence: str
    cautions: tuple[Caution, ...]
    sections: tuple[Section, ...]
    fields: tuple[Field, ...] = ()
    problems: dict[str, InputError] = field(default_factory=dict)
    run_id: str = ""
    run_name: str = ""
    query: str = ""
    notes: tuple[str, ...] = ()
    first: str = ""

    @classmethod
    def to_form(
        cls, asked: Asked, problems: dict[str, InputError], run: Run | None, **rest: Any
    ) -> "Answer":
        """Answer a form that was read, for a run or free-standing; ``rest``: other fields."""
        return cls(
            fields=asked.fields,
            problems=problems,
            run_id="" if run is None else str(run.pk),
            run_name="" if run is None else run.name,
            query=asked.query,
            **rest,
        )

    @property
    def sources(self) -> tuple[Source, ...]:
        """Give every source behind the answer, each once."""
        return gathered(figure for section in self.sections for figure in section.figures)


def gathered(figures: Iterable[Figure]) -> tuple[Source, ...]:
    """Collect the sources of some figures, each once."""
    return tuple({s.key: s for f in figures for s in f.sources}.values())
