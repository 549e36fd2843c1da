"""The feedstock library as pages and terminal show it: every value with range and source."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.matter.feedstock import PROPERTIES, Feedstock
from marshlight.matter.library import find, library
from marshlight.sources import Source, source
from marshlight.units import in_unit, number, shown_unit

# Shown in the units the trade speaks; the page names the basis beside them.
_TRADE_UNITS = {"fraction": "%", "yield": "NmL/g VS", "rate": "1/d"}
_ABOUT = ("TS", "VS", "methane_potential", "C_to_N")


@dataclass(frozen=True)
class PropertyLine:
    """One property: its value and range as text, and where it comes from."""

    name: str
    meaning: str
    value: str
    low: str
    high: str
    unit: str
    note: str
    source: Source


@dataclass(frozen=True)
class FeedstockLine:
    """One material in the list."""

    key: str
    name: str
    about: str
    cautioned: bool
    own: str = ""


@dataclass(frozen=True)
class FeedstockGroup:
    """Materials of one kind."""

    name: str
    lines: tuple[FeedstockLine, ...]


@dataclass(frozen=True)
class FeedstockPage:
    """One material with all that is known, and what cannot be computed without the rest."""

    key: str
    name: str
    group: str
    notes: str
    aliases: tuple[str, ...]
    cautions: tuple[str, ...]
    properties: tuple[PropertyLine, ...]
    missing: tuple[str, ...]


def feedstock_groups(
    wanted: str = "", own: Mapping[str, str] | None = None
) -> tuple[FeedstockGroup, ...]:
    """List the library by kind of material.

    Parameters
    ----------
    wanted : str
        Only materials with this in a name or alias; empty lists all.
    own : mapping, optional
        Methane potential from own trials under a material's key, in words.
    """
    groups: dict[str, list[FeedstockLine]] = {}
    needle = wanted.casefold().strip()
    for stock in library().values():
        names = " ".join((stock.name, *stock.aliases)).casefold()
        if needle in names:
            found = (own or {}).get(stock.key, "")
            line = FeedstockLine(stock.key, stock.name, _about(stock), bool(stock.cautions), found)
            groups.setdefault(stock.group, []).append(line)
    return tuple(FeedstockGroup(name, tuple(lines)) for name, lines in groups.items())


def feedstock_page(key: str) -> FeedstockPage:
    """Give one material with every value, range and source.

    Parameters
    ----------
    key : str
        A library key or a name.

    Raises
    ------
    InputError
        If there is no such material; the error lists near names.
    """
    stock = library().get(key) or find(key)
    return FeedstockPage(
        key=stock.key,
        name=stock.name,
        group=stock.group,
        notes=stock.notes,
        aliases=stock.aliases,
        cautions=stock.cautions,
        properties=tuple(_line(stock, name) for name in stock.properties),
        missing=tuple(stock.missing.values()),
    )


def _line(stock: Feedstock, name: str) -> PropertyLine:
    held, kind = stock.properties[name], PROPERTIES[name]
    value, unit = _shown(held.value, kind.quantity, kind.unit)
    return PropertyLine(
        name=name.replace("_", " "),
        meaning=kind.meaning,
        value=value,
        low=_shown(held.low, kind.quantity, kind.unit)[0],
        high=_shown(held.high, kind.quantity, kind.unit)[0],
        unit=unit,
        note=held.note,
        source=source(held.source),
    )


def _shown(value: float, quantity: str, unit: str) -> tuple[str, str]:
    """Write a value in trade units, keeping the basis ("of TS") of its base unit."""
    trade = _TRADE_UNITS.get(quantity)
    if quantity == "fraction" and (value == 0.0 or value >= 0.01):
        basis = unit.partition("/")[2].removeprefix("kg ")
        return number(in_unit(value, "%", quantity)), f"% of {basis}" if basis else "%"
    if trade is None or quantity == "fraction":
        return number(value), unit
    return number(in_unit(value, trade, quantity)), shown_unit(trade)


def _about(stock: Feedstock) -> str:
    parts = []
    for name in _ABOUT:
        held = stock.get(name)
        if held is None:
            continue
        kind = PROPERTIES[name]
        value, unit = _shown(held.value, kind.quantity, kind.unit)
        short = {"methane_potential": "methane", "C_to_N": "C:N"}.get(name, name)
        parts.append(f"{short} {value} {unit}" if name != "C_to_N" else f"{short} {value}")
    return ", ".join(parts)
