"""The quick log: what one may write down for a run, and the form that asks for it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from marshlight.answers.record import RecordLine, family_of, kind_of, record_line
from marshlight.answers.words import form_time
from marshlight.decide.safety import Caution, cautions_at
from marshlight.matter.library import library
from marshlight.notebook.kinds import (
    ADVICE_EVENTS,
    EVENTS,
    READINGS,
    Detail,
    Kind,
    Measure,
)
from marshlight.notebook.models import Event, Holder, LogRecord, Lot, Person, Reading, Run
from marshlight.units import QUANTITIES, in_unit, number, shown_unit

# What most people write on most days; the rest stands under "more".
_EVERYDAY_READINGS = ("slurry_temperature", "flame", "ph", "gas_temperature")
_EVERYDAY_EVENTS = ("feed", "draw_off", "mix", "holder_emptied", "dose", "note")
HOLDER_READS = {
    Holder.Kind.FLOATING: "level",
    Holder.Kind.BAG: "volume",
    Holder.Kind.DISPLACEMENT: "level",
    Holder.Kind.COUNTER: "counter",
    Holder.Kind.SEALED: "pressure",
    Holder.Kind.SCALE: "mass",
}
_METRIC_CHOICES = {
    "length": ("mm", "cm", "in"),
    "volume": ("L", "mL", "gal", "qt", "cup"),
    "mass": ("kg", "g", "lb", "oz"),
    "temperature": ("degC", "degF"),
    "gauge_pressure": ("mmH2O", "kPa", "mbar", "inH2O"),
    "pressure": ("kPa", "hPa", "mmHg", "inHg"),
    "time": ("min", "h", "d"),
    "fraction": ("%", "ppm"),
    "concentration": ("mg/L", "g/L"),
}
_US_FIRST = {
    "length": "in",
    "volume": "gal",
    "mass": "lb",
    "temperature": "degF",
    "gauge_pressure": "inH2O",
    "pressure": "inHg",
}
# Cautions name what was done in the past tense; kinds that share a hazard share its place.
_CAUTIONED_AS = {
    "charge": "fed",
    "feed": "fed",
    "draw_off": "drew_off",
    "mix": "mixed",
    "dose": "dosed",
    "holder_emptied": "gas_vented",
    "end": "emptied",
    "overflow": "leak",
    "co2_absorption": "titration",
    "energy_meter": "set_point",
}
# These belong to some materials only; gas and germs concern whoever opens a vessel at all.
_MATERIAL_HAZARDS = frozenset(
    {"souring", "foaming", "fat", "inhibition", "blockage", "dust", "ammonia", "flammable_liquid"}
)
PART_ROWS = 4

_NO_WRITERS = (Person.Role.READER, Person.Role.GROUP)


@dataclass(frozen=True)
class LogChoice:
    """One thing that can be written down."""

    family: str
    kind: str
    words: str
    last: str
    recent: bool


@dataclass(frozen=True)
class LogChoices:
    """What to offer first, and the rest."""

    run_id: str
    run_name: str
    first: tuple[LogChoice, ...]
    more: tuple[LogChoice, ...]


@dataclass(frozen=True)
class FormField:
    """One field of a form: its name, words, and how it is asked."""

    name: str
    words: str
    form: str
    value: str = ""
    unit: str = ""
    units: tuple[tuple[str, str], ...] = ()
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = False
    below_zero: bool = False


@dataclass(frozen=True)
class LogForm:
    """The form for one kind of record."""

    run_id: str
    run_name: str
    family: str
    kind: str
    words: str
    ask: str
    value: FormField | None
    details: tuple[FormField, ...]
    part_choices: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    parts: tuple[tuple[str, str], ...]
    people: tuple[tuple[str, str], ...]
    at: str
    note: str
    last: RecordLine | None
    cautions: tuple[Caution, ...]
    material_cautions: tuple[Caution, ...]

    @property
    def one_tap(self) -> FormField | None:
        """Give the single choice that is the whole record, if there is one."""
        only = self.details[0] if len(self.details) == 1 else None
        return only if only and self.value is None and only.form == "choice" else None


def log_choices(run: Run, *, now: datetime, system: str = "metric") -> LogChoices:
    """Offer what can be written for a run: last used first, the rest behind.

    Parameters
    ----------
    run : Run
        The run.
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us".

    Returns
    -------
    LogChoices
        Everyday kinds and those used before, newest use first; then everything else.
    """
    latest = _latest_by_kind(run)
    read = HOLDER_READS.get(run.holder.kind, "volume") if run.holder else "collected"
    everyday = [
        *[(Reading, key) for key in (read, *_EVERYDAY_READINGS)],
        *[(Event, key) for key in _EVERYDAY_EVENTS],
    ]
    if run.started_at is None:
        everyday.insert(0, (Event, "charge"))
    used = sorted(latest, key=lambda pair: latest[pair].entered_at, reverse=True)
    first = [*used, *[pair for pair in everyday if pair not in latest]]
    rest = [
        *[(Reading, key) for key in READINGS if (Reading, key) not in first],
        # Advice is answered where it is given.
        *[(Event, k) for k in EVENTS if (Event, k) not in first and k not in ADVICE_EVENTS],
    ]

    def offer(pair: tuple[type[LogRecord], str]) -> LogChoice:
        record = latest.get(pair)
        line = record_line(record, run, now, system=system) if record else None
        kind = EVENTS[pair[1]] if pair[0] is Event else READINGS[pair[1]]
        return LogChoice(
            family="event" if pair[0] is Event else "reading",
            kind=kind.key,
            words=kind.words,
            # The first thing it says is enough to recognise it by.
            last=f"{line.said.partition(',')[0]} · {line.ago}".strip(" ·") if line else "",
            recent=record is not None,
        )

    return LogChoices(
        str(run.pk),
        run.name,
        tuple(map(offer, first[:12])),
        tuple(map(offer, [*first[12:], *rest])),
    )


def _latest_by_kind(run: Run) -> dict[tuple[type[LogRecord], str], LogRecord]:
    latest: dict[tuple[type[LogRecord], str], LogRecord] = {}
    for model in (Reading, Event):
        own = model.objects.current().filter(run=run).exclude(kind__in=ADVICE_EVENTS)
        kinds = own.order_by().values_list("kind", flat=True)
        for kind in kinds.distinct():
            newest = model.objects.current().filter(run=run, kind=kind).order_by("-at").first()
            if newest is not None:
                latest[model, kind] = newest
    return latest


def log_form(
    run: Run, kind: Kind, family: str, *, now: datetime, system: str = "metric"
) -> LogForm:
    """Build the empty form for one kind.

    Parameters
    ----------
    run : Run
        The run to write for.
    kind : Kind
        What is written down.
    family : str
        "reading" or "event".
    now : datetime
        The moment of asking.
    system : str
        "metric" or "us": which unit is offered first while none was used before.
    """
    model = Event if family == "event" else Reading
    last = model.objects.current().filter(run=run, kind=kind.key).order_by("-at").first()
    unit = last.unit if last is not None else ""
    return _form(run, kind, family, system=system, unit=unit, last=last, now=now, record=None)


def correction_form(record: LogRecord, *, now: datetime, system: str = "metric") -> LogForm:
    """Build the form that corrects a record, holding what it says now."""
    kind = kind_of(record)
    return _form(
        record.run,
        kind,
        family_of(record),
        system=system,
        unit=record.unit,
        last=None,
        now=now,
        record=record,
    )


def _form(
    run: Run,
    kind: Kind,
    family: str,
    *,
    system: str,
    unit: str,
    last: LogRecord | None,
    now: datetime,
    record: LogRecord | None,
) -> LogForm:
    detail = record.detail if record is not None else {}
    measure = _measure(kind, detail)
    takes_parts = kind.detail("parts") is not None
    cautions = cautions_at(f"log:{_CAUTIONED_AS.get(kind.key, kind.key)}")
    of_materials = _MATERIAL_HAZARDS if takes_parts else frozenset[str]()
    return LogForm(
        run_id=str(run.pk),
        run_name=run.name,
        family=family,
        kind=kind.key,
        words=kind.words,
        ask=kind.ask,
        value=_value_field(kind, measure, unit, system, record, whole=takes_parts),
        details=tuple(_detail_field(d, detail) for d in kind.details if d.form != "parts"),
        part_choices=_part_choices(run) if takes_parts else (),
        parts=_part_rows(detail) if takes_parts else (),
        people=tuple(
            (str(p.pk), p.name) for p in Person.objects.in_use().exclude(role__in=_NO_WRITERS)
        ),
        at=form_time(record.at, run.site.time_zone) if record is not None else "",
        note=record.note if record is not None else "",
        last=record_line(last, run, now, system=system) if last is not None else None,
        cautions=tuple(c for c in cautions if c.hazard not in of_materials),
        material_cautions=tuple(c for c in cautions if c.hazard in of_materials),
    )


def _measure(kind: Kind, detail: Mapping[str, Any]) -> Measure | None:
    if kind.measure_by and kind.measure_by not in detail:
        return None
    return kind.measure_for(detail)


def _value_field(
    kind: Kind,
    measure: Measure | None,
    unit: str,
    system: str,
    record: LogRecord | None,
    *,
    whole: bool,
) -> FormField | None:
    if measure is None:
        # The unit follows from a detail (which lab value, which tube): it is typed beside it.
        return FormField("value", kind.words, "typed", required=True) if kind.measure_by else None
    units = _units(measure)
    first = unit or (_US_FIRST.get(measure.quantity, "") if system == "us" else "") or measure.unit
    if first not in units:
        units = (first, *units)
    text = ""
    if record is not None and record.value is not None:
        text = record.entered or number(in_unit(record.value, first, measure.quantity), 6)
    return FormField(
        name="value",
        words="all of it together" if whole else kind.words,
        form="number",
        value=text,
        unit=first,
        units=tuple((name, shown_unit(name)) for name in units),
        required=kind.required,
        below_zero=measure.usual is not None and measure.usual[0] < 0.0,
    )


def _units(measure: Measure) -> tuple[str, ...]:
    wanted = _METRIC_CHOICES.get(measure.quantity, (measure.unit,))
    known = {unit.name for unit in QUANTITIES[measure.quantity].units}
    return (measure.unit, *[n for n in wanted if n in known and n != measure.unit])


def _detail_field(asked: Detail, detail: Mapping[str, Any]) -> FormField:
    kept = detail.get(asked.name)
    text = "" if kept is None else str(kept)
    if asked.measure is not None and kept is not None:
        inside = in_unit(float(kept), asked.measure.unit, asked.measure.quantity)
        typed = detail.get("entered", {}).get(asked.name)
        text = typed or f"{number(inside, 6)} {asked.measure.unit}"
    return FormField(
        name=asked.name,
        words=asked.words,
        form=asked.form,
        value=text,
        unit=shown_unit(asked.measure.unit) if asked.measure else "",
        choices=tuple(asked.choices.items()),
        required=asked.required,
    )


def _part_choices(run: Run) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    lots = Lot.objects.in_use().filter(site=run.site).order_by("name")
    known = sorted(library().values(), key=lambda f: f.name)
    return (
        ("On hand", tuple((f"lot:{lot.pk}", lot.name) for lot in lots)),
        ("Library", tuple((f"feedstock:{f.key}", f.name) for f in known)),
    )


def _part_rows(detail: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    rows = []
    for part in detail.get("parts", ()):
        what = f"lot:{part['lot']}" if part.get("lot") else f"feedstock:{part['feedstock']}"
        rows.append((what, str(part.get("mass") or f"{number(float(part['mass_kg']), 6)} kg")))
    return (*rows, *[("", "")] * max(PART_ROWS - len(rows), 1))
