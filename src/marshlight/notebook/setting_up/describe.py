"""The shape of a set-up description: which fields a record asks for and how each is read."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.db import models


@dataclass(frozen=True)
class Field:
    """One field of a set-up record.

    ``store`` names where the value is kept: an attribute of the row, or ``dimensions.NAME`` /
    ``measured.NAME`` / ``properties.NAME`` inside its JSON.  ``only_for`` limits the field to
    some values of another field, such as the dimensions of one kind of holder.
    """

    name: str
    words: str
    form: str = "text"
    """text, number, choice, date, moment, flag, table, record or feedstock"""
    quantity: str = ""
    unit: str = ""
    lowest: float | None = None
    highest: float | None = None
    choices: Mapping[str, str] = field(default_factory=dict)
    required: bool = False
    default: str = ""
    help: str = ""
    store: str = ""
    record: str = ""
    """For form "record": the set-up kind it points to."""
    only_for: tuple[str, tuple[str, ...]] | None = None

    @property
    def place(self) -> str:
        """Where the value is kept."""
        return self.store or self.name

    def applies(self, given: Mapping[str, str]) -> bool:
        """Say whether the field belongs to a record with these other values."""
        if self.only_for is None:
            return True
        other, values = self.only_for
        return given.get(other, "") in values


@dataclass(frozen=True)
class SetupKind:
    """One kind of set-up record."""

    key: str
    words: str
    many: str
    model: type[models.Model]
    fields: tuple[Field, ...]
    caution: str = ""
    """Key of the caution to show where this is set up."""

    def field(self, name: str) -> Field | None:
        """Find a field by name."""
        return next((f for f in self.fields if f.name == name), None)


SITE = Field("site", "site", "record", record="site", help="Left out: the only site.")
NOTES = Field("notes", "notes")


def name_field(help_text: str) -> Field:
    """Make the name that every record has."""
    return Field("name", "name", required=True, help=help_text)
