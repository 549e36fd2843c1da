"""Lots and the user's own feedstocks as the engine knows them."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from marshlight.errors import NotebookError
from marshlight.matter.feedstock import PROPERTIES, Feedstock
from marshlight.matter.library import from_mapping, library
from marshlight.matter.lot import Lot
from marshlight.matter.storage import COLD_LIMIT_C

from ..models import Feedstock as FeedstockRow
from ..models import Lot as LotRow

MEASURED = "measured_by_user"
# A heap somewhere, nobody said where: a temperate year's mean, common practice, no source.
_USUAL_STORE_C = 15.0
_LONGEST_D = 3650.0


def own_feedstock(row: FeedstockRow) -> Feedstock:
    """Build a feedstock of the user's own.

    Parameters
    ----------
    row
        Its record; where it is based on a library material, its own values replace those.

    Returns
    -------
    Feedstock
        With a source on each value.

    Raises
    ------
    InputError
        If a property is out of its limits.
    NotebookError
        If the library no longer has the material it is based on.
    """
    stated = {"name": row.name, "key": row.key, "group": row.group or "own"}
    if not row.based_on:
        return from_mapping(
            {**stated, "cautions": row.cautions, "notes": row.notes, **row.properties}
        )
    base = library_feedstock(row.based_on)
    own = from_mapping({**stated, **row.properties})
    merged = base.with_measured(dict(own.properties))
    cautions = tuple(dict.fromkeys([*base.cautions, *row.cautions]))
    return replace(
        merged,
        key=row.key,
        name=row.name,
        group=row.group or base.group,
        notes=row.notes or base.notes,
        cautions=cautions,
        aliases=(),
    )


def library_feedstock(key: str) -> Feedstock:
    """Find a library material by its key.

    Parameters
    ----------
    key
        As kept in the notebook.

    Returns
    -------
    Feedstock
        From the library.

    Raises
    ------
    NotebookError
        If the library has no such material.
    """
    found = library().get(key)
    if found is None:
        raise NotebookError(
            f"The feedstock library has no {key!r}; choose another material for this record."
        )
    return found


def feedstock_of(lot: LotRow) -> Feedstock:
    """Describe a lot's material when it was gathered, with the lab's values for this lot.

    Parameters
    ----------
    lot
        Its record.

    Returns
    -------
    Feedstock
        Library or own values, replaced where this lot was measured.

    Raises
    ------
    InputError
        If a measured value is out of its limits.
    NotebookError
        If the library no longer has the material.
    """
    base = (
        own_feedstock(lot.feedstock)
        if lot.feedstock is not None
        else library_feedstock(lot.library_key)
    )
    measured = _measured(lot.name, lot.measured)
    return base.with_measured(measured.properties) if measured is not None else base


def _measured(name: str, values: Mapping[str, Any]) -> Feedstock | None:
    known = {key: value for key, value in values.items() if key in PROPERTIES}
    return from_mapping({"name": name, **known}, source=MEASURED) if known else None


def lot_as_kept(lot: LotRow, on: date) -> Lot:
    """Describe a lot on a day, with how it was stored since it was gathered.

    Parameters
    ----------
    lot
        Its record.
    on
        The day it is used.

    Returns
    -------
    Lot
        ``.ageing`` tells what storage did; a lot without a date counts as fresh.

    Raises
    ------
    InputError
        If a measured value or the storage is impossible.
    NotebookError
        If the library no longer has the material.
    """
    days = 0.0 if lot.gathered_on is None else float((on - lot.gathered_on).days)
    return Lot(
        feedstock_of(lot),
        age_d=min(max(days, 0.0), _LONGEST_D),
        storage=lot.storage,
        temperature_c=_store_temperature(lot),
        water_lost=lot.water_lost,
    )


def _store_temperature(lot: LotRow) -> float:
    known = (lot.storage_temperature_c, lot.site.room_temperature_c)
    found = next((t for t in known if t is not None), _USUAL_STORE_C)
    return min(found, COLD_LIMIT_C) if lot.storage == LotRow.Storage.COLD else found
