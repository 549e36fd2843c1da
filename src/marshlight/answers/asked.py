"""A short form as data: what is asked, what was typed, what was read of it, and each problem."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import urlencode

from marshlight.errors import InputError
from marshlight.units import parse, show, shown_unit

_TO = re.compile(r"\s+to\s+|\.\.")


@dataclass(frozen=True)
class Question:
    """One field: a quantity in a stated unit, or one of ``choices``; ``low`` and ``high`` in base
    units. An empty ``usual`` may stay empty; ``long`` text may fill many lines.
    """

    name: str
    words: str
    quantity: str = ""
    unit: str = ""
    usual: str = ""
    hint: str = ""
    low: float | None = None
    high: float | None = None
    choices: tuple[tuple[str, str], ...] = ()
    long: bool = False

    @property
    def unit_words(self) -> str:
        """Spell the unit that a bare number takes."""
        return shown_unit(self.unit)

    def read(self, typed: str) -> float | str | None:
        """Read what was typed.

        Raises
        ------
        InputError
            If it can't be used.
        """
        text = typed.strip()
        if self.choices:
            known = {key for key, _ in self.choices}
            if text not in known:
                raise InputError(self.words, typed, ", ".join(sorted(known)), "Choose one of these")
            return text
        if not text:
            if self.usual:
                raise InputError(self.words, typed, f"for example {self.usual}", "Write a value")
            return None
        if not self.quantity:
            return text
        return parse(
            text,
            self.quantity,
            field=self.words,
            unit=self.unit,
            minimum=self.low,
            maximum=self.high,
        )


@dataclass(frozen=True)
class Field:
    """A question with what stands in its field."""

    question: Question
    value: str


@dataclass(frozen=True)
class Asked:
    """A form that was read: fields to show again, values by name, problems by name."""

    fields: tuple[Field, ...]
    values: Mapping[str, Any]
    problems: Mapping[str, InputError]

    @property
    def query(self) -> str:
        """Give the same form as part of an address."""
        return urlencode([(f.question.name, f.value) for f in self.fields])

    def number(self, name: str) -> float:
        """Give a value that is known to be a number."""
        return float(self.values[name])


def ask(
    questions: tuple[Question, ...],
    typed: Mapping[str, str],
    *,
    known: Mapping[str, str] | None = None,
    system: str = "metric",
) -> Asked:
    """Read a form.

    Parameters
    ----------
    questions : tuple of Question
        What is asked.
    typed : mapping
        What was typed, by name; missing names take what is known, else what is usual.
    known : mapping, optional
        What a run's own records say, as it would be typed.
    system : str
        "metric" or "us": a bare temperature then is in degrees Fahrenheit.

    Returns
    -------
    Asked
        Problems stand beside their fields; a field with a problem has no value.
    """
    own = known or {}
    fields, values, problems = [], {}, {}
    for question in (_for_reader(question, system) for question in questions):
        text = typed.get(question.name, own.get(question.name, question.usual))
        fields.append(Field(question, text))
        try:
            values[question.name] = question.read(text)
        except InputError as problem:
            problems[question.name] = problem
    return Asked(tuple(fields), values, problems)


def _for_reader(question: Question, system: str) -> Question:
    """Ask for a temperature in the reader's own degrees."""
    if system != "us" or question.quantity != "temperature":
        return question
    usual = question.usual
    if usual:
        read = parse(usual, "temperature", field=question.words, unit=question.unit)
        usual = show(read, "temperature", system="us")
    return replace(question, unit="degF", usual=usual)


def attempt(problems: dict[str, InputError], name: str, work: Callable[[], Any]) -> Any:
    """Do a piece of work; put what it refuses beside the field that caused it and give None."""
    try:
        return work()
    except InputError as problem:
        problems.setdefault(name, problem)
        return None


def read_span(text: str, words: str) -> tuple[float, float]:
    """Read a share that is known only between two ends: "52 to 64 %", "55..60", "60 %".

    Parameters
    ----------
    text : str
        As typed; bare numbers are percent.
    words : str
        The field as the reader knows it.

    Returns
    -------
    tuple of float
        Low and high end [-].

    Raises
    ------
    InputError
        If it is neither a share nor a span of shares.

    Examples
    --------
    >>> [round(end, 2) for end in read_span("52 to 64 %", "methane")]
    [0.52, 0.64]
    >>> read_span("60", "methane")
    (0.6, 0.6)
    """
    ends = [end for end in _TO.split(text.strip()) if end.strip()]
    if not 1 <= len(ends) <= 2:
        raise InputError(words, text, "a share, or two ends such as 52 to 64 %", "Write it so")
    shares = [
        parse(end, "fraction", field=words, unit="%", minimum=0.0, maximum=1.0) for end in ends
    ]
    return min(shares), max(shares)


def span_words(low: float, high: float) -> str:
    """Write a span of shares as it would be typed."""
    ends = [f"{100.0 * end:.0f}" for end in (low, high)]
    return f"{ends[0]} %" if ends[0] == ends[1] else f"{ends[0]} to {ends[1]} %"
