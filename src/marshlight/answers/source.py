"""Where every constant and library value comes from, and what each source is used for."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.matter.library import library
from marshlight.packaged import read_toml, toml_names
from marshlight.sources import Source, all_sources, source


@dataclass(frozen=True)
class SourceGroup:
    """The sources of one subject."""

    name: str
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class Use:
    """One library value that a source stands behind."""

    feedstock_key: str
    feedstock: str
    property: str
    replaced: bool


@dataclass(frozen=True)
class SourcePage:
    """A source record with the library values taken from it."""

    source: Source
    uses: tuple[Use, ...]


def source_groups() -> tuple[SourceGroup, ...]:
    """Collect every source record by subject, in the order of the files.

    Returns
    -------
    tuple of SourceGroup
        Each source once.
    """
    known = all_sources()
    groups = []
    for name in toml_names("sources"):
        keys = read_toml(name).keys()
        subject = name.rpartition("/")[2].removesuffix(".toml").replace("_", " ")
        groups.append(SourceGroup(subject, tuple(known[key] for key in keys)))
    return tuple(groups)


def how_often() -> Mapping[str, int]:
    """Count how the sources were seen, in words: read, quoted, from memory ..."""
    counts: dict[str, int] = {}
    for record in all_sources().values():
        counts[record.how_in_words] = counts.get(record.how_in_words, 0) + 1
    return dict(sorted(counts.items(), key=lambda item: -item[1]))


def source_page(key: str) -> SourcePage:
    """Give one source and the library values it stands behind.

    Parameters
    ----------
    key : str
        A source's key.

    Raises
    ------
    InputError
        If no source has that key.
    """
    uses = []
    for stock in library().values():
        for name, held in stock.properties.items():
            step, replaced = held, False
            while step is not None:
                if step.source == key:
                    uses.append(Use(stock.key, stock.name, name.replace("_", " "), replaced))
                step, replaced = step.replaces, True
    return SourcePage(source(key), tuple(uses))
