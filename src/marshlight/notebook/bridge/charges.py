"""Charges and feeds as parts, water and blends."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from marshlight.errors import InputError, NotebookError
from marshlight.matter.mixing import Blend, Part, blend

from ..models import Lot
from .feedstocks import library_feedstock, lot_as_kept

WATER_KG_M3 = 1000.0


@dataclass(frozen=True)
class Charge:
    """What went in at one time.

    Masses in kg, ``day`` since the start of the run; ``blend`` is None and ``why_unknown`` says
    why when the parts are not known well enough to mix.
    """

    day: float
    kind: str
    mass_kg: float
    parts: tuple[Part, ...]
    water_kg: float
    filled_to_m3: float | None
    blend: Blend | None
    why_unknown: str = ""

    @property
    def volume_m3(self) -> float:
        """Slurry it brought [m3]; by mass at the density of water if nothing better is known."""
        return self.blend.volume_m3.value if self.blend else self.mass_kg / WATER_KG_M3


def charge_of(
    detail: Mapping[str, Any],
    *,
    kind: str,
    day: float,
    on: date,
    value_kg: float | None,
    lots: Mapping[str, Lot],
) -> Charge:
    """Describe one charge or feed.

    Parameters
    ----------
    detail
        The event's details: ``parts``, ``water`` [m3], ``filled_to`` [m3].
    kind
        ``charge`` or ``feed``.
    day
        Days since the run began [d].
    on
        The date, for the age of the lots.
    value_kg
        Whole mass as written [kg], if it was.
    lots
        Lots of the notebook by id.

    Returns
    -------
    Charge
        Its parts as the lots were on that day, mixed where that can be.
    """
    water_kg = float(detail.get("water") or 0.0) * WATER_KG_M3
    listed = detail.get("parts") or []
    parts: tuple[Part, ...] = ()
    mixed, why = None, ""
    try:
        parts = tuple(_part(part, on, lots) for part in listed)
        mixed = blend(parts, water_kg) if parts else None
        why = "" if parts else "What went in was not written down."
    except (InputError, NotebookError) as error:
        why = str(error)
    told = sum(float(part["mass_kg"]) for part in listed) + water_kg
    mass = told if listed else (value_kg if value_kg is not None else told)
    return Charge(day, kind, mass, parts, water_kg, detail.get("filled_to"), mixed, why)


def _part(part: Mapping[str, Any], on: date, lots: Mapping[str, Lot]) -> Part:
    mass = float(part["mass_kg"])
    if "feedstock" in part:
        return Part(library_feedstock(part["feedstock"]), mass)
    lot = lots.get(part["lot"])
    if lot is None:
        raise NotebookError("A lot that went in is not in this notebook.")
    return Part(lot_as_kept(lot, on).ageing.feedstock, mass)


def blend_of(charges: list[Charge]) -> Blend | None:
    """Mix everything that several charges brought.

    Parameters
    ----------
    charges
        Such as all of a run's first day.

    Returns
    -------
    Blend or None
        None if any of them is not known well enough.
    """
    if not charges or any(charge.blend is None for charge in charges):
        return None
    parts = [part for charge in charges for part in charge.parts]
    return blend(parts, sum(charge.water_kg for charge in charges))
