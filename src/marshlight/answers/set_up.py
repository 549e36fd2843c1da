"""Set-up pages: what is set up, the form of one record, and its history, ready to lay out."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.answers.words import clock
from marshlight.decide.safety import Caution, cautions_for
from marshlight.matter.library import library
from marshlight.notebook.models import Feedstock, Setup, SetupVersion, Site
from marshlight.notebook.plain import plain_values
from marshlight.notebook.setting_up import SETUPS, Field, SetupKind, shown
from marshlight.notebook.setting_up.showing import typed as typed_texts
from marshlight.units import shown_unit

# Hazard words of `cautions.toml` for the word a set-up description names.
_HAZARDS = {
    "gas": ("explosive_gas", "pressure"),
    "mains": ("mains_heater",),
    "pathogens": ("pathogens",),
}
_MOST_FACTS = 4


@dataclass(frozen=True)
class SetUpLine:
    """One record in a list."""

    ident: str
    name: str
    about: str
    retired: bool


@dataclass(frozen=True)
class SetUpGroup:
    """All records of one kind."""

    kind: str
    one: str
    many: str
    lines: tuple[SetUpLine, ...]


@dataclass(frozen=True)
class SetUpField:
    """One field of a form: how it is asked, and what stands in it."""

    name: str
    words: str
    form: str
    value: str
    unit: str
    required: bool
    help: str
    choices: tuple[tuple[str, str], ...] = ()
    suggestions: tuple[str, ...] = ()
    depends_on: str = ""
    depends_values: str = ""
    depends_words: str = ""


@dataclass(frozen=True)
class SetUpChange:
    """One version of a record: when, by whom, why, and what changed."""

    version: int
    when: str
    by: str
    why: str
    changes: tuple[str, ...]


@dataclass(frozen=True)
class SetUpPage:
    """The form of one record, new or kept, with its history."""

    kind: str
    one: str
    many: str
    name: str
    ident: str
    retired: bool
    fields: tuple[SetUpField, ...]
    lab: tuple[SetUpField, ...]
    facts: tuple[tuple[str, str], ...]
    history: tuple[SetUpChange, ...]
    cautions: tuple[Caution, ...]


def set_up_groups(*, system: str = "metric") -> tuple[SetUpGroup, ...]:
    """List everything that is set up, by kind and name.

    Parameters
    ----------
    system : str
        "metric" or "us".
    """
    return tuple(set_up_group(kind, system=system, facts=False) for kind in SETUPS.values())


def set_up_group(kind: SetupKind, *, system: str = "metric", facts: bool = True) -> SetUpGroup:
    """List the records of one kind, those no longer used last.

    Parameters
    ----------
    kind : SetupKind
        The kind.
    system : str
        "metric" or "us".
    facts : bool
        Whether each line says more than its name.
    """
    rows = kind.model._default_manager.order_by("retired", "name")
    # The site goes without saying while there is but one.
    unsaid = {"name", "notes"} | ({"site"} if len(Site.objects.in_use()[:2]) < 2 else set())
    lines = (
        SetUpLine(
            str(row.pk),
            row.name,
            _about(row, unsaid, system=system) if facts else "",
            row.retired,
        )
        for row in rows
    )
    return SetUpGroup(kind.key, kind.words, kind.many, tuple(lines))


def _about(row: Setup, unsaid: set[str], *, system: str) -> str:
    known = [(w, text) for w, text in shown(row, system=system).items() if w not in unsaid]
    return ", ".join(f"{words} {text}" for words, text in known[:_MOST_FACTS])


def set_up_page(
    kind: SetupKind,
    record: Setup | None = None,
    *,
    given: Mapping[str, str] | None = None,
    system: str = "metric",
) -> SetUpPage:
    """Build the form of a new record or of one that is kept.

    Parameters
    ----------
    kind : SetupKind
        What is set up.
    record : Setup, optional
        The record to change; None for a new one.
    given : Mapping[str, str], optional
        What was typed and could not be kept, to be shown again.
    system : str
        "metric" or "us", for the facts; fields keep the unit they state.
    """
    kept = {} if record is None else typed_texts(record)
    values = {f.name: f.default for f in kind.fields} if record is None else {}
    values |= kept | dict(given or {})
    # The unit stands beside the field; what was just typed is shown as it was typed.
    for field in kind.fields:
        if field.unit and field.name not in (given or {}):
            values[field.name] = values.get(field.name, "").removesuffix(f" {field.unit}")
    fields = [_field(kind, f, values.get(f.name, "")) for f in kind.fields]
    lab = {f.name for f in kind.fields if f.place.startswith(("measured.", "properties."))}
    return SetUpPage(
        kind=kind.key,
        one=kind.words,
        many=kind.many,
        name=record.name if record else "",
        ident=str(record.pk) if record else "",
        retired=bool(record and record.retired),
        fields=tuple(f for f in fields if f.name not in lab),
        lab=tuple(f for f in fields if f.name in lab),
        facts=tuple(shown(record, system=system).items()) if record else (),
        history=set_up_history(kind, record) if record else (),
        cautions=cautions_for(_HAZARDS[kind.caution]) if kind.caution else (),
    )


def _field(kind: SetupKind, field: Field, value: str) -> SetUpField:
    depends_on, depends_values, depends_words = "", (), ""
    if field.only_for is not None:
        depends_on, depends_values = field.only_for
        other = kind.field(depends_on)
        named = other.choices if other else {}
        depends_words = ", ".join(named.get(v, v) for v in depends_values)
    number = field.form == "number"
    if field.form == "moment":
        value = value.replace(" ", "T", 1)
    return SetUpField(
        name=field.name,
        words=field.words,
        form=field.form,
        value=value,
        unit=shown_unit(field.unit) if number and field.unit else "",
        required=field.required,
        help=field.help,
        choices=_choices(field),
        suggestions=_shelf() if field.form == "feedstock" else (),
        depends_on=depends_on,
        depends_values=" ".join(depends_values),
        depends_words=depends_words,
    )


def _choices(field: Field) -> tuple[tuple[str, str], ...]:
    if field.form == "choice":
        empty = () if field.default else (("", "choose"),)
        return (*empty, *field.choices.items())
    if field.form == "record":
        rows = SETUPS[field.record].model._default_manager.filter(retired=False).order_by("name")
        names = tuple((row.name, row.name) for row in rows)
        if field.record == "site" and len(names) == 1:
            return names
        return (("", "choose" if field.required else "none"), *names)
    return (("yes", "yes"), ("no", "no")) if field.form == "flag" else ()


def _shelf() -> tuple[str, ...]:
    own = Feedstock.objects.in_use().values_list("name", flat=True)
    return tuple(dict.fromkeys([*own, *(stock.name for stock in library().values())]))


def set_up_history(kind: SetupKind, record: Setup) -> tuple[SetUpChange, ...]:
    """Tell every state a record was in, newest first, by what changed.

    Parameters
    ----------
    kind : SetupKind
        Its kind.
    record : Setup
        The record.
    """
    zone = getattr(getattr(record, "site", record), "time_zone", "UTC")
    lines = []
    before: dict[str, str] = {}
    for version in record.history().select_related("by"):
        now = _texts(kind, version)
        lines.append(
            SetUpChange(
                version=version.version,
                when=clock(version.at, zone),
                by=version.by.name if version.by else "",
                why=version.why,
                changes=() if version.version == 1 else _changes(before, now),
            )
        )
        before = now
    return tuple(reversed(lines))


def _texts(kind: SetupKind, version: SetupVersion) -> dict[str, str]:
    """Give the state of a version as its fields would be typed, under their words."""
    names = {f.name for f in kind.model._meta.concrete_fields}
    state = {name: value for name, value in version.state.items() if name in names}
    values = plain_values(kind.model, state)
    links = {f.name: f.attname for f in kind.model._meta.concrete_fields}
    row = kind.model(**{links[name]: value for name, value in values.items()})
    words = {f.name: f.words for f in kind.fields}
    texts = {words[name]: text for name, text in typed_texts(row).items()}
    return texts | {"in use": "no" if getattr(row, "retired", False) else "yes"}


def _changes(before: Mapping[str, str], now: Mapping[str, str]) -> tuple[str, ...]:
    names = list(dict.fromkeys([*before, *now]))
    return tuple(
        f"{name}: {before.get(name) or 'nothing'} became {now.get(name) or 'nothing'}"
        for name in names
        if before.get(name) != now.get(name)
    )


def person_history(person: Setup) -> tuple[SetUpChange, ...]:
    """Tell how a person's name and role changed, newest first.

    Parameters
    ----------
    person : Person
        The person.
    """
    lines = []
    before: dict[str, str] = {}
    for version in person.history().select_related("by"):
        state = version.state
        now = {
            "name": str(state.get("name", "")),
            "role": str(state.get("role", "")),
            "here": "no" if state.get("retired") else "yes",
        }
        by = version.by.name if version.by else ""
        changes = () if version.version == 1 else _changes(before, now)
        lines.append(
            SetUpChange(version.version, clock(version.at, "UTC"), by, version.why, changes)
        )
        before = now
    return tuple(reversed(lines))
