"""Vessels, holders and the air around them as the engine knows them."""

from dataclasses import MISSING, fields
from typing import Any

from marshlight import apparatus
from marshlight.errors import InputError
from marshlight.matter.atmosphere import AirPressure, pressure_from_altitude
from marshlight.matter.water import ACIDIFIED_BRINE, BRINE, FRESH_WATER

from ..models import Holder, Site, Vessel

_ENGINE_KINDS: dict[str, type[Any]] = {
    Holder.Kind.FLOATING: apparatus.FloatingCylinder,
    Holder.Kind.BAG: apparatus.Bag,
    Holder.Kind.DISPLACEMENT: apparatus.DisplacementColumn,
    Holder.Kind.COUNTER: apparatus.Counter,
    Holder.Kind.SEALED: apparatus.SealedBottle,
    Holder.Kind.SCALE: apparatus.MassLoss,
}
LIQUIDS = {"fresh_water": FRESH_WATER, "brine": BRINE, "acid_brine": ACIDIFIED_BRINE}
# A site value stands in for any day: the ledger adds the weather, this is the reading's own doubt.
_SITE_BAROMETER_U_KPA = 0.2
# Nobody said: anywhere from the sea to the hills, and the doubt says so.
_UNSAID_ALTITUDE_M = 500.0


def vessel_of(row: Vessel) -> apparatus.Vessel:
    """Build the engine's vessel.

    Parameters
    ----------
    row
        Its record.

    Returns
    -------
    Vessel
        With the shape and dimensions as recorded.

    Raises
    ------
    InputError
        If a dimension that its shape needs is missing or impossible.
    """
    sizes = {k: v for k, v in row.dimensions.items() if v is not None}
    if row.shape == "given":
        sizes["volume_m3"] = row.volume_m3
    if "table" in sizes:
        sizes["table"] = tuple((float(level), float(volume)) for level, volume in sizes["table"])
    return apparatus.Vessel(row.shape, **_known(apparatus.Vessel, sizes, row.name))


def holder_of(row: Holder) -> apparatus.Holder:
    """Build the engine's holder, counter, bottle or scale.

    Parameters
    ----------
    row
        Its record.

    Returns
    -------
    Holder
        Of the engine's kind that answers to the record's.

    Raises
    ------
    InputError
        If a dimension that its kind needs is missing or impossible.
    """
    kind = _ENGINE_KINDS[row.kind]
    sizes = {k: v for k, v in row.dimensions.items() if v is not None}
    if "liquid" in sizes:
        name = sizes["liquid"]
        if name not in LIQUIDS:
            raise InputError(f"{row.name}: liquid", name, ", ".join(LIQUIDS), "Choose one of these")
        sizes["liquid"] = LIQUIDS[name]
    known = _known(kind, sizes, row.name)
    try:
        return kind(**known)  # type: ignore[no-any-return]
    except TypeError as error:
        missing = [f.name for f in fields(kind) if _is_needed(f) and f.name not in known]
        raise InputError(
            row.name, ", ".join(missing), "its dimensions", "Complete the holder's set-up"
        ) from error


def _known(kind: type[Any], sizes: dict[str, Any], name: str) -> dict[str, Any]:
    allowed = [f.name for f in fields(kind)]
    strange = sorted(set(sizes) - set(allowed))
    if strange:
        raise InputError(
            name, ", ".join(strange), ", ".join(allowed), "Correct the set-up's dimensions"
        )
    return sizes


def _is_needed(field: Any) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def air_pressure_of(site: Site) -> tuple[AirPressure, str]:
    """Tell the usual air pressure at a site.

    Parameters
    ----------
    site
        Its record.

    Returns
    -------
    AirPressure
        From its barometer, else from its altitude.
    str
        What to tell the reader when neither is known, else empty.
    """
    if site.barometer_kpa is not None:
        pressure = AirPressure(
            site.barometer_kpa, _SITE_BAROMETER_U_KPA, 0.0, "usual barometer value of the site"
        )
        return pressure, ""
    if site.altitude_m is not None:
        return pressure_from_altitude(site.altitude_m), ""
    guess = pressure_from_altitude(_UNSAID_ALTITUDE_M, u_altitude_m=_UNSAID_ALTITUDE_M)
    return guess, (
        "Neither barometer nor altitude of the site is known: the air pressure is taken as "
        "anywhere from sea level to 1500 m. Give the altitude, and the gas volumes get sharper."
    )
