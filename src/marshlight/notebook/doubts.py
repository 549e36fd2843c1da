"""What is odd about a record: said at once, never a reason to refuse what the eye saw."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from marshlight.units import QUANTITIES, number, show, shown_unit

from .kinds import Kind, Measure
from .models import Event, Reading, Run

_CLOCKS_DIFFER = timedelta(minutes=5)
# What makes a holder lower without a leak.
_LOWERS = ("gas_used", "gas_vented", "holder_emptied", "holder_reset", "seal_opened", "overflow")


@dataclass(frozen=True)
class Doubt:
    """Something odd: which check it is, and a sentence for the person who wrote it."""

    about: str
    text: str


def doubts_about(row: Any, kind: Kind) -> tuple[Doubt, ...]:
    """Collect what is odd about a record before it is kept.

    Parameters
    ----------
    row
        An unsaved `Event` or `Reading`.
    kind
        Its description.

    Returns
    -------
    tuple of Doubt
        Empty when nothing is odd.
    """
    found = list(_about_time(row.at, row.run))
    measure = kind.measure_for(row.detail)
    if row.value is not None and measure is not None:
        found += usual_doubt(row.value, measure, kind.words)
        if isinstance(row, Reading):
            found += _about_holder(row)
            found += _about_change(row, kind, measure)
    for asked in kind.details:
        if asked.measure is not None and asked.name in row.detail:
            found += usual_doubt(row.detail[asked.name], asked.measure, asked.words)
    return tuple(found)


def usual_doubt(value: float, measure: Measure, words: str) -> list[Doubt]:
    """Doubt a value outside its usual range.

    Parameters
    ----------
    value
        In base units.
    measure
        How it is given and judged.
    words
        What it is called.

    Returns
    -------
    list of Doubt
        At most one.
    """
    if measure.usual is None or measure.usual[0] <= value <= measure.usual[1]:
        return []
    low, high = (show(end, measure.quantity) for end in measure.usual)
    said = show(value, measure.quantity)
    return [Doubt("unusual", f"{words.capitalize()} {said}: usually between {low} and {high}.")]


def _about_time(at: datetime, run: Run) -> Iterator[Doubt]:
    if at > timezone.now() + _CLOCKS_DIFFER:
        yield Doubt("future", "This time is in the future; check the date and the clock.")
    if run.started_at is not None and at < run.started_at:
        yield Doubt("before_start", "This is before the run started.")
    if run.ended_at is not None and at > run.ended_at:
        yield Doubt("after_end", "This is after the run ended.")


def _about_holder(row: Reading) -> Iterator[Doubt]:
    holder = row.run.holder
    if holder is None or row.value is None:
        return
    top, most_m3 = holder.top_level_m, holder.most_m3
    if row.kind == "level" and top is not None and row.value > top:
        most = show(top, "length")
        yield Doubt("too_high", f"The holder {holder.name} shows {most} at most.")
    if row.kind == "volume" and most_m3 is not None and row.value > most_m3:
        most = show(most_m3, "volume")
        yield Doubt("too_much", f"The holder {holder.name} holds {most} at most.")


def _about_change(row: Reading, kind: Kind, measure: Measure) -> Iterator[Doubt]:
    """Compare with the last reading of the kind."""
    falls = kind.key in {"level", "volume"}
    if kind.jump is None and not kind.only_rises and not falls:
        return
    others = Reading.objects.current().filter(run=row.run, kind=row.kind, at__lt=row.at)
    others = others.exclude(first_id=row.first_id) if row.first_id else others
    last = others.order_by("-at").only("at", "value").first()
    if last is None or last.value is None or row.value is None:
        return
    change = row.value - last.value
    was = show(last.value, measure.quantity)
    if kind.jump is not None and abs(change) > kind.jump:
        yield Doubt(
            "jump", f"The last {kind.words} was {was}; that is a jump of {_by(change, measure)}."
        )
    if kind.only_rises and change < 0:
        yield Doubt("backwards", f"The {kind.words} showed {was} before; it should only rise.")
    if falls and change < 0 and not _was_lowered(row.run, last.at, row.at):
        yield Doubt(
            "fell", f"It was {was} before, and no gas was noted as used, vented or emptied since."
        )


def _by(change: float, measure: Measure) -> str:
    """Write a difference (an offset must not shift it, as show would for a temperature)."""
    factor = next(u.factor for u in QUANTITIES[measure.quantity].units if u.name == _first(measure))
    return f"{number(abs(change) / factor, 2)} {shown_unit(_first(measure))}".strip()


def _first(measure: Measure) -> str:
    return QUANTITIES[measure.quantity].metric[0]


def _was_lowered(run: Run, since: datetime, until: datetime) -> bool:
    lowered = Event.objects.current().filter(run=run, kind__in=_LOWERS)
    return lowered.filter(at__gte=since, at__lte=until).exists()
