"""Laying a form's questions out in groups, rare ones folded away."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from marshlight.answers.asked import Field


@dataclass(frozen=True)
class FieldGroup:
    """Questions under one heading; those in ``rare`` are folded away until something is typed."""

    title: str
    names: tuple[str, ...]
    rare: tuple[str, ...] = ()


@dataclass(frozen=True)
class LaidField:
    """A field with the choice it depends on."""

    field: Field
    depends_on: str
    depends_values: str


@dataclass(frozen=True)
class LaidGroup:
    """A group ready for its template; ``open`` says that a folded field holds something."""

    title: str
    fields: tuple[LaidField, ...]
    folded: tuple[LaidField, ...]
    open: bool


def grouped(
    fields: Sequence[Field],
    groups: Sequence[FieldGroup],
    depends: Mapping[str, tuple[str, str]],
) -> tuple[LaidGroup, ...]:
    """Lay fields out.

    Parameters
    ----------
    fields : sequence of Field
        All fields of the form.
    groups : sequence of FieldGroup
        Which stand together.
    depends : mapping
        Field name to the choice it depends on and the values that show it, separated by blanks.
    """
    by_name = {field.question.name: field for field in fields}

    def laid(name: str) -> LaidField:
        return LaidField(by_name[name], *depends.get(name, ("", "")))

    return tuple(
        LaidGroup(
            group.title,
            tuple(laid(name) for name in group.names if name not in group.rare),
            tuple(laid(name) for name in group.rare),
            any(
                by_name[name].value and by_name[name].value != by_name[name].question.usual
                for name in group.rare
            ),
        )
        for group in groups
    )
