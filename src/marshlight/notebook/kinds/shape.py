"""The shape of a description: what a kind of record asks for and what it doubts."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from marshlight.errors import InputError

Span = tuple[float, float]


@dataclass(frozen=True)
class Measure:
    """How one number is given and judged.

    ``usual`` (base units) is where a value raises no question: common practice, no source; a
    value outside it is kept with a doubt.  ``possible`` is what can be at all; outside it the
    number is refused.
    """

    quantity: str
    unit: str
    usual: Span | None = None
    possible: Span | None = None


@dataclass(frozen=True)
class Detail:
    """One thing that may or must be said beside the value."""

    name: str
    words: str
    measure: Measure | None = None
    choices: Mapping[str, str] = field(default_factory=dict)
    required: bool = False
    form: str = "text"
    """number, choice, text, flag or parts"""


@dataclass(frozen=True)
class Kind:
    """One kind of reading or event."""

    key: str
    words: str
    ask: str
    measure: Measure | None = None
    required: bool = True
    """Whether a value must be given (kinds without a measure have none)."""
    details: tuple[Detail, ...] = ()
    measure_by: str = ""
    """Name of the detail whose choice decides the measure (a lab result, a gas tube)."""
    measures: Mapping[str, Measure] = field(default_factory=dict)
    jump: float | None = None
    """Change since the last reading [base unit] that raises a doubt."""
    only_rises: bool = False
    """A register that never runs backwards."""
    says_in_words: bool = False
    """Nothing but the note holds what it says, so there must be one."""

    def detail(self, name: str) -> Detail | None:
        """Find a detail by name."""
        return next((d for d in self.details if d.name == name), None)

    def measure_for(self, detail: Mapping[str, object]) -> Measure | None:
        """Find how the value is given, once the details are known."""
        if not self.measure_by:
            return self.measure
        choice = detail.get(self.measure_by)
        if choice not in self.measures:
            asked = self.detail(self.measure_by)
            words = asked.words if asked else self.measure_by
            raise InputError(words, choice, ", ".join(self.measures), "Say which one it was")
        return self.measures[str(choice)]


def number(name: str, words: str, measure: Measure, *, required: bool = False) -> Detail:
    """Make a detail that is a number with a unit."""
    return Detail(name, words, measure=measure, required=required, form="number")


def choice(name: str, words: str, choices: Mapping[str, str], *, required: bool = False) -> Detail:
    """Make a detail that is one of a few words."""
    return Detail(name, words, choices=choices, required=required, form="choice")


def text(name: str, words: str) -> Detail:
    """Make a detail in free words."""
    return Detail(name, words)
