"""A whole rack on one screen: what each bottle is asked, and a round of readings kept at once."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from marshlight.answers.log import HOLDER_READS
from marshlight.answers.trial_result import bottles_of
from marshlight.answers.words import ago, form_time
from marshlight.decide.safety import Caution, cautions_at
from marshlight.decide.trial import Step, round_doubts
from marshlight.errors import InputError, InputErrors, raise_all
from marshlight.notebook.content import understand
from marshlight.notebook.kinds import reading_kind
from marshlight.notebook.models import Event, Person, Reading, Trial, TrialBottle
from marshlight.notebook.moments import moment, site_zone
from marshlight.notebook.recording import record_event, record_reading
from marshlight.units import QUANTITIES, in_unit, number, shown_unit

_DAY_S = 86_400.0
_NUMBER = re.compile(r"^[\s\d.,+-]+")
_VENTS = ("gas_vented", "gas_used", "holder_emptied")


@dataclass(frozen=True)
class Cell:
    """One bottle on the rack: what it is asked, in which unit, and what it said last."""

    ident: str
    label: str
    place: str
    material: str
    ask: str
    unit: str
    last: str
    value: str = ""
    slip: str = ""


@dataclass(frozen=True)
class Rack:
    """The screen: every bottle in order of place, and what is common to the round."""

    ident: str
    name: str
    cells: tuple[Cell, ...]
    sealed: bool
    at: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class Round:
    """What came of a round: how many readings were kept, and what is odd about it."""

    kept: int
    doubts: tuple[str, ...]


def _rows(trial: Trial, team: str) -> tuple[TrialBottle, ...]:
    return tuple(r for r in bottles_of(trial) if not team or r.team == team)


def _kind_of(row: TrialBottle) -> str:
    return HOLDER_READS.get(row.run.holder.kind, "volume") if row.run.holder else "collected"


def _last(row: TrialBottle, kind: str) -> Reading | None:
    return Reading.objects.current().filter(run=row.run, kind=kind).order_by("-at").first()


def rack(
    trial: Trial,
    *,
    now: datetime,
    typed: Mapping[str, str] | None = None,
    slips: Mapping[str, str] | None = None,
    team: str = "",
) -> Rack:
    """Lay a trial's rack out for reading.

    Parameters
    ----------
    trial : Trial
        The trial.
    now : datetime
        The moment of asking.
    typed : mapping, optional
        What was typed and is not kept yet, under each bottle's id.
    slips : mapping, optional
        What could not be read, under each bottle's id.
    team : str
        Bottles of this group only; all where empty.
    """
    cells, sealed = [], False
    for row in _rows(trial, team):
        kind = reading_kind(_kind_of(row))
        sealed = sealed or kind.key == "pressure"
        last = _last(row, kind.key)
        unit = _unit(last, kind.measure.unit if kind.measure else "")
        cells.append(
            Cell(
                str(row.pk),
                row.name,
                f"{row.block}/{row.position}",
                row.material or "blank",
                kind.words,
                unit,
                _said(last, unit, now) if last else "not read yet",
                (typed or {}).get(str(row.pk), ""),
                (slips or {}).get(str(row.pk), ""),
            )
        )
    at = (typed or {}).get("at", "") or form_time(now, trial.site.time_zone)
    return Rack(str(trial.pk), trial.name, tuple(cells), sealed, at, cautions_at("log:pressure"))


def _said(last: Reading, unit: str, now: datetime) -> str:
    measure = reading_kind(last.kind).measure
    if last.value is None or measure is None:
        return ago(last.at, now)
    value = number(in_unit(last.value, unit, measure.quantity), 4)
    return f"{value} {shown_unit(unit)}, {ago(last.at, now)}"


def keep_round(
    trial: Trial,
    typed: Mapping[str, str],
    *,
    now: datetime,
    by: Person | None,
    sure: bool,
    team: str = "",
) -> Round:
    """Keep a round of readings: all of it, or nothing while a question is open.

    Parameters
    ----------
    trial : Trial
        The trial.
    typed : mapping
        Reading under each bottle's id, empty for a bottle that was missed; ``at``; ``barometer``;
        ``let_off`` where gas was let off after reading.
    now : datetime
        The moment of asking: when no time was typed.
    by : Person or None
        Who read.
    sure : bool
        Whether questions were answered: keep it as it was seen.
    team : str
        The group that reads: what is typed for others' bottles is not looked at.

    Returns
    -------
    Round
        With nothing kept and the questions, unless there are none or ``sure``.

    Raises
    ------
    InputErrors
        If a reading can't be read; each names its bottle's id.
    """
    said = typed.get("at", "").strip()
    zone = site_zone(trial.site.time_zone)
    at = moment(said, zone, field="time of the round") if said else now
    rows = [r for r in _rows(trial, team) if typed.get(str(r.pk), "").strip()]
    problems: list[InputError] = []
    if not rows:
        problems.append(
            InputError("readings", "", "at least one bottle", "Type what at least one shows")
        )
    steps, doubts = [], []
    with transaction.atomic():
        for row in rows:
            try:
                step = _step(row, typed[str(row.pk)], at)
                doubts += [f"{row.name}: {text}" for text in _write(row, typed, at, by)]
            except InputError as error:
                problems.append(_named(row, error))
            else:
                steps += [] if step is None else [step]
        raise_all(problems)
        odd = (*(d.text for d in round_doubts(steps)), *doubts)
        if odd and not sure:
            transaction.set_rollback(True)
            return Round(0, odd)
    return Round(len(rows), odd)


def _named(row: TrialBottle, error: InputError) -> InputError:
    return InputError(str(row.pk), error.value, f"{row.name}: {error.allowed}", error.remedy)


def _unit(last: Reading | None, usual: str) -> str:
    """Give the unit that was last typed beside the number, or else the one it was meant in."""
    if last is None:
        return usual
    measure = reading_kind(last.kind).measure
    typed = _NUMBER.sub("", last.entered).strip()
    known = {u.name for u in QUANTITIES[measure.quantity].units} if measure else set()
    return typed if typed in known else last.unit or usual


def _unit_of(row: TrialBottle, kind: str) -> str | None:
    return _unit(_last(row, kind), "") or None


def _step(row: TrialBottle, text: str, at: datetime) -> Step | None:
    """Give the gas since the last reading, in the reading's own measure, where it can be told."""
    key = _kind_of(row)
    content = understand(reading_kind(key), text, unit=_unit_of(row, key), detail={})
    last = _last(row, key)
    if content.value is None or last is None or last.value is None or last.at >= at:
        return None
    vented = (
        Event.objects.current()
        .filter(run=row.run, kind__in=_VENTS, at__gte=last.at, at__lt=at)
        .exists()
    )
    amount = content.value
    if key == "mass":
        amount = last.value - content.value
    elif key != "collected" and not vented:
        amount = content.value - last.value
    days = (at - last.at).total_seconds() / _DAY_S
    return Step(row.name, row.material or "blank", amount, days)


def _write(
    row: TrialBottle, typed: Mapping[str, str], at: datetime, by: Person | None
) -> list[str]:
    """Write one bottle's reading and what goes with it; give the doubts about it."""
    key = _kind_of(row)
    unit = _unit_of(row, key)
    kept = record_reading(row.run, key, typed[str(row.pk)], at=at, unit=unit, by=by)
    found = [doubt.text for doubt in kept.doubts]
    if typed.get("barometer", "").strip():
        air = record_reading(row.run, "barometer", typed["barometer"], at=at, unit="hPa", by=by)
        found += [doubt.text for doubt in air.doubts]
    if typed.get("let_off") and key == "pressure":
        record_event(row.run, "gas_vented", at=at, by=by, note="let off after reading")
    return found


def slips_of(error: InputError | InputErrors) -> dict[str, str]:
    """Give what is wrong under each field's name."""
    problems = error.problems if isinstance(error, InputErrors) else (error,)
    return {p.field: f"{p.allowed}. {p.remedy}." for p in problems}
