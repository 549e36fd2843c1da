"""One record of the log in words: what was seen or done, by whom, and how it was corrected."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from marshlight.answers.words import ago, capital, clock, days_since
from marshlight.matter.library import library
from marshlight.notebook.kinds import Kind, event_kind, reading_kind
from marshlight.notebook.models import Event, LogRecord, Lot, Run
from marshlight.units import in_unit, number, show, shown_unit

# These read better in the unit they are asked in than in the one `show` would choose.
_AS_ASKED = ("fraction", "concentration", "yield", "dimensionless")


@dataclass(frozen=True)
class RecordLine:
    """A record as a line of the timeline."""

    ident: str
    family: str
    kind: str
    words: str
    said: str
    note: str
    day: float | None
    when: str
    ago: str
    by: str
    version: int
    reason: str
    retracted: bool
    entered: str

    @property
    def title(self) -> str:
        """Give the kind's words as the beginning of a line."""
        return capital(self.words)


def kind_of(record: LogRecord) -> Kind:
    """Give the description of a record's kind."""
    return event_kind(record.kind) if isinstance(record, Event) else reading_kind(record.kind)


def family_of(record: LogRecord) -> str:
    """Give "event" or "reading"."""
    return "event" if isinstance(record, Event) else "reading"


def in_words(value: float, quantity: str, unit: str, *, system: str = "metric") -> str:
    """Show a value as its kind is read, in the reader's units.

    Examples
    --------
    >>> in_words(0.52, "fraction", "%"), in_words(0.231, "length", "mm", system="us")
    ('52.0 %', '9.09 in')
    """
    if quantity in _AS_ASKED or (value == 0.0 and quantity != "temperature"):
        return f"{number(in_unit(value, unit, quantity), 3)} {shown_unit(unit)}".strip()
    return show(value, quantity, system=system)


def said(record: LogRecord, *, system: str = "metric") -> str:
    """Say what a record holds, in the reader's units, without the name of its kind."""
    kind = kind_of(record)
    parts = []
    measure = kind.measure_for(record.detail)
    if record.value is not None and measure is not None:
        parts.append(in_words(record.value, measure.quantity, measure.unit, system=system))
    for asked in kind.details:
        value = record.detail.get(asked.name)
        if value is None:
            continue
        if asked.form == "choice":
            parts.append(asked.choices.get(str(value), str(value)))
        elif asked.form == "parts":
            parts += [_part(part, system) for part in value]
        elif asked.form == "number" and asked.measure is not None:
            measure = asked.measure
            text = in_words(value, measure.quantity, measure.unit, system=system)
            parts.append(f"{asked.words} {text}")
        else:
            parts.append(f"{asked.words}: {value}")
    return ", ".join(parts)


def _part(part: Mapping[str, Any], system: str) -> str:
    mass = show(float(part["mass_kg"]), "mass", system=system)
    if part.get("lot"):
        lot = Lot.objects.filter(pk=part["lot"]).first()
        return f"{mass} of {lot.name if lot else 'a lot'}"
    known = library().get(part["feedstock"])
    return f"{mass} of {known.name if known else part['feedstock']}"


def record_line(record: LogRecord, run: Run, now: datetime, *, system: str) -> RecordLine:
    """Write one record as a line."""
    kind = kind_of(record)
    day = days_since(run.started_at, record.at) if run.started_at else None
    return RecordLine(
        ident=str(record.pk),
        family=family_of(record),
        kind=record.kind,
        words=kind.words,
        said=said(record, system=system),
        note=record.note,
        day=None if day is None else round(day, 3),
        when=clock(record.at, run.site.time_zone),
        ago=ago(record.at, now),
        by=record.entered_by.name if record.entered_by else "",
        version=record.version,
        reason=record.reason,
        retracted=record.retracted,
        entered=record.entered,
    )
