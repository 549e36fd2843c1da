"""A feedstock: what goes in, as named properties that each carry a range and a source."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from marshlight.errors import InputError, require
from marshlight.matter.properties import (
    PROPERTIES,
    SPLIT,
    SPLIT_TOLERANCE,
    Property,
    PropertyKind,
    scaled,
)

__all__ = [
    "PROPERTIES",
    "SPLIT",
    "SPLIT_TOLERANCE",
    "Feedstock",
    "Property",
    "PropertyKind",
    "all_problems",
    "property_problems",
]


@dataclass(frozen=True)
class Feedstock:
    """One material with its properties; ``properties`` is read-only and in a fixed order.

    ``cautions`` are sentences to show beside the material, ``hazards`` the words that name the
    dangers behind them.
    """

    key: str
    name: str
    group: str
    properties: Mapping[str, Property]
    cautions: tuple[str, ...] = ()
    notes: str = ""
    aliases: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Check names, limits and the split, and freeze the properties in their order.

        Raises
        ------
        InputError
            When a property is unknown or out of its limits, or the split is not whole.
        """
        problems = property_problems(self.properties)
        if problems:
            raise _joined(self.name, problems)
        ordered = {name: self.properties[name] for name in PROPERTIES if name in self.properties}
        object.__setattr__(self, "properties", MappingProxyType(ordered))

    def __reduce__(self) -> tuple[Any, ...]:
        """Pickle as plain parts, so that workers can be handed feedstocks."""
        parts = (self.key, self.name, self.group, dict(self.properties))
        rest = (self.cautions, self.notes, self.aliases, self.hazards)
        return (Feedstock, (*parts, *rest))

    def get(self, name: str) -> Property | None:
        """Give a property, or None where it is not known.

        Raises
        ------
        InputError
            When there is no property of that name at all.
        """
        _known(name)
        return self.properties.get(name)

    def value(self, name: str) -> float:
        """Give a property's best value in its base unit.

        Raises
        ------
        InputError
            When the property is not known for this feedstock.
        """
        found = self.get(name)
        if found is None:
            kind = PROPERTIES[name]
            raise InputError(
                f"{self.name}: {name}",
                None,
                f"a number in {kind.unit} ({kind.meaning})",
                f"Enter a measured or usual value; it is needed for {kind.needed_for}",
            )
        return found.value

    @property
    def missing(self) -> Mapping[str, str]:
        """Say, for each property not known, what then cannot be computed."""
        return MappingProxyType(
            {
                name: f"{name} is not known: cannot compute {kind.needed_for}"
                for name, kind in PROPERTIES.items()
                if name not in self.properties
            }
        )

    @property
    def sources(self) -> tuple[str, ...]:
        """List the keys of the sources used, each once, including those replaced."""
        keys: dict[str, None] = {}
        for held in self.properties.values():
            step: Property | None = held
            while step is not None:
                keys[step.source] = None
                step = step.replaces
        return tuple(keys)

    def with_measured(self, measured: Mapping[str, Property]) -> "Feedstock":
        """Put measured properties in place of the library's, keeping the trail.

        Parameters
        ----------
        measured : Mapping[str, Property]
            Properties by name, in base units.

        Returns
        -------
        Feedstock
            The same material; each replaced value stays reachable as ``replaces``. A part of the
            carbohydrate to lignin split that was not measured is scaled so that the split stays
            whole, and C:N follows a measured TKN at the same carbon unless it was measured too.

        Raises
        ------
        InputError
            When a name is unknown, a value is out of its limits, or measured parts of the
            split exceed one.

        Examples
        --------
        >>> from marshlight.matter.library import find
        >>> lab = Property(0.31, 0.30, 0.32, "lab_result")
        >>> goat = find("goat manure").with_measured({"TS": lab})
        >>> goat.value("TS"), goat.properties["TS"].replaces.source != "lab_result"
        (0.31, True)
        """
        merged = dict(self.properties)
        for name, new in measured.items():
            _known(name)
            merged[name] = replace(new, replaces=new.replaces or self.properties.get(name))
        _rescale_split(self.name, merged, measured)
        _follow_nitrogen(merged, measured)
        return replace(self, properties=merged)


def property_problems(properties: Mapping[str, Property]) -> list[InputError]:
    """List everything wrong with a set of properties: names, limits and the split."""
    problems: list[InputError] = []
    for name, held in properties.items():
        kind = PROPERTIES.get(name)
        if kind is None:
            problems.append(_unknown(name))
        elif not kind.minimum <= held.low <= held.high <= kind.maximum:
            problems.append(
                InputError(
                    name,
                    (held.low, held.value, held.high),
                    f"{kind.minimum:g} to {kind.maximum:g} {kind.unit}",
                    f"Check the unit: {kind.meaning}, in {kind.unit}",
                )
            )
    parts = [properties[name].value for name in SPLIT if name in properties]
    whole = len(parts) == len(SPLIT)
    total = sum(parts)
    if total > 1.0 + SPLIT_TOLERANCE or (whole and total < 1.0 - SPLIT_TOLERANCE):
        problems.append(
            InputError(
                " + ".join(SPLIT),
                round(total, 4),
                f"a sum of 1 within {SPLIT_TOLERANCE:g}" if whole else "a sum of 1 at the most",
                "Give the parts as shares of the volatile solids",
            )
        )
    return problems


def all_problems(owner: str, problems: Iterable[InputError]) -> InputError | None:
    """Join several complaints into one error that names every bad field; None if there are none."""
    found = list(problems)
    return _joined(owner, found) if found else None


def _joined(owner: str, problems: list[InputError]) -> InputError:
    if len(problems) == 1:
        only = problems[0]
        return InputError(f"{owner}: {only.field}", only.value, only.allowed, only.remedy)
    return InputError(
        f"{owner}: " + ", ".join(p.field for p in problems),
        {p.field: p.value for p in problems},
        "; ".join(f"{p.field}: {p.allowed}" for p in problems),
        "Correct each of them and save again",
    )


def _known(name: str) -> None:
    if name not in PROPERTIES:
        raise _unknown(name)


def _unknown(name: str) -> InputError:
    return InputError(
        name, name, "one of " + ", ".join(PROPERTIES), "Use one of the property names listed"
    )


def _rescale_split(
    owner: str, merged: dict[str, Property], measured: Mapping[str, Property]
) -> None:
    given = [name for name in SPLIT if name in measured]
    rest = [name for name in SPLIT if name in merged and name not in measured]
    if not given or len(given) + len(rest) < len(SPLIT):
        return
    left = 1.0 - sum(merged[name].value for name in given)
    held = sum(merged[name].value for name in rest)
    if not rest or held <= 0.0:
        return
    require(
        left >= 0.0,
        field=f"{owner}: {' + '.join(given)}",
        value=1.0 - left,
        allowed="a sum of 1 at the most",
        remedy="Give the parts as shares of the volatile solids",
    )
    for name in rest:
        merged[name] = scaled(
            merged[name], left / held, note="scaled so that the split stays whole", maximum=1.0
        )


def _follow_nitrogen(merged: dict[str, Property], measured: Mapping[str, Property]) -> None:
    if "TKN" not in measured or "C_to_N" in measured or "C_to_N" not in merged:
        return
    before = measured["TKN"].replaces or merged["TKN"].replaces
    if before is None or measured["TKN"].value <= 0.0:
        return
    merged["C_to_N"] = scaled(
        merged["C_to_N"],
        before.value / measured["TKN"].value,
        note="follows the measured TKN at the same carbon",
        maximum=PROPERTIES["C_to_N"].maximum,
    )
