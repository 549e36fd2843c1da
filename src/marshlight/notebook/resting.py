"""What the results of a run rest on: its log and its set-up; they are old once either has changed.

The state of both is read here, and here a change marks what was kept, so that neither can know
more than the other.
"""

import uuid
from collections.abc import Mapping
from datetime import datetime
from functools import lru_cache, reduce
from operator import or_
from typing import Any

from django.db.models import Count, Max, Q, TextField
from django.db.models.functions import Cast

from .kinds import ADVICE_EVENTS
from .models import Event, Finding, Lot, Reading, Run, Setup, SetupVersion, Site

# What a site says of its air and its room; its units concern only how figures are shown.
SITE_FIELDS = (
    "altitude_m",
    "barometer_kpa",
    "room_temperature_c",
    "room_low_c",
    "room_high_c",
    "time_zone",
)
_CHARGES = ("charge", "feed")
_PARTS_OF_A_RUN = ("vessel", "holder", "heater")
# A lot that lies elsewhere ages in the warmth of that place.
_STORE_FIELD = "room_temperature_c"
# Databases take only so long a question; our choice.
_LOTS_AT_ONCE = 100


def state_of(run: Run, *, until: datetime | None = None) -> list[object]:
    """Read the state of all that a run's results rest on.

    Parameters
    ----------
    run
        The run, with its site.
    until
        Leave out what happened or was seen later.

    Returns
    -------
    list
        Changes with every record, correction, withdrawal and change of set-up: records are only
        ever added, so what counts the same says the same.
    """
    parts: list[object] = []
    for model in (Reading, Event):
        rows = model.objects.filter(run=run).exclude(kind__in=ADVICE_EVENTS)
        rows = rows if until is None else rows.filter(at__lte=until)
        parts.append(sorted(rows.aggregate(Count("id"), Max("entered_at")).items()))
    lots = _lots_of(run.pk, until, repr(parts[-1]))
    setup = SetupVersion.objects.filter(_set_up_of(run, lots))
    parts.append(sorted(setup.aggregate(Count("id"), Max("at")).items()))
    parts.append([run.vessel_id, run.holder_id, run.heater_id, lots])
    parts.append([getattr(run.site, field) for field in SITE_FIELDS])
    if lots:
        stores = (
            Site.objects.filter(lots__in=lots).exclude(pk=run.site_id).order_by("pk").distinct()
        )
        parts.append(list(stores.values_list(_STORE_FIELD, flat=True)))
    return parts


@lru_cache(maxsize=4096)
def _lots_of(run_id: uuid.UUID, until: datetime | None, _events: str) -> tuple[str, ...]:
    """Name the lots that went into a run, read once for every state of its events."""
    charges = Event.objects.filter(run=run_id, kind__in=_CHARGES)
    charges = charges if until is None else charges.filter(at__lte=until)
    parts = (
        part
        for detail in charges.values_list("detail", flat=True)
        for part in detail.get("parts") or ()
    )
    return tuple(sorted({part["lot"] for part in parts if part.get("lot")}))


def _set_up_of(run: Run, lots: tuple[str, ...]) -> Q:
    """Choose the versions of the run, its vessel, holder and heater, and of what went into it."""
    chosen = Q(record="run", record_id=run.pk)
    for name in _PARTS_OF_A_RUN:
        chosen |= Q(record=name, record_id=getattr(run, f"{name}_id"))
    if lots:
        rows = Lot.objects.filter(pk__in=lots)
        chosen |= Q(record="lot", record_id__in=lots)
        chosen |= Q(record="feedstock", record_id__in=rows.values("feedstock"))
    return chosen


def outdate(run: Run) -> None:
    """Mark what was worked out of a run as older than its log."""
    # Rows that are old already are written as well: an update under way waits until this is kept.
    Finding.objects.filter(run=run).update(rests_on="")


def outdate_by(record: Setup, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Mark what was worked out of every run that rests on a record of the set-up as old.

    Parameters
    ----------
    record
        As it was just kept.
    before, after
        Its former and its new state.
    """
    name = str(record._meta.model_name)
    changed = {field for field in after if before.get(field) != after[field]}
    if name == "run":
        Finding.objects.filter(run=record.pk).update(rests_on="")
    elif name in _PARTS_OF_A_RUN or (name == "site" and changed & set(SITE_FIELDS)):
        Finding.objects.filter(**{f"run__{name}": record.pk}).update(rests_on="")
    if name == "lot":
        _outdate_by_lots([str(record.pk)])
    elif name == "feedstock" or (name == "site" and _STORE_FIELD in changed):
        lots = Lot.objects.filter(**{name: record.pk})
        _outdate_by_lots([str(pk) for pk in lots.values_list("pk", flat=True)])


def _outdate_by_lots(lots: list[str]) -> None:
    """Mark the runs that any of these lots went into."""
    charges = Event.objects.filter(kind__in=_CHARGES, run__finding__isnull=False)
    charges = charges.annotate(told=Cast("detail", TextField()))
    for first in range(0, len(lots), _LOTS_AT_ONCE):
        some = lots[first : first + _LOTS_AT_ONCE]
        named = reduce(or_, (Q(told__contains=lot) for lot in some))
        Finding.objects.filter(run__in=charges.filter(named).values("run")).update(rests_on="")
