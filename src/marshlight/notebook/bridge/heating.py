"""A vessel and its heater as the heat balance knows them, and what is dangerous about them."""

import math

from marshlight.apparatus.heat import (
    Body,
    Danger,
    Outside,
    body_of,
    dangers_of,
    dangers_of_supply,
    find_material,
    settle,
    usual_stand,
    usual_wrap,
)
from marshlight.apparatus.heat import Heater as EngineHeater
from marshlight.apparatus.storage import USUAL_FILL
from marshlight.errors import FitError, MarshlightError

from ..models import Heater, Run, Site, Vessel
from .apparatus import vessel_of

# Around a vessel where nobody wrote a temperature down, on a warm day indoors: our choice.
_WARM_ROOM_C = 25.0
# A thermostat whose set point nobody wrote down: that it regulates is what matters here.
_SOME_SET_POINT_C = 37.0
_KIND_WORDS = {
    "mat": "mat",
    "bath": "bath",
    "coil": "coil",
    "sun": "sun",
    "solar": "sun",
    "immers": "immersed",
    "rod": "immersed",
}
# Kinds whose power is not that of a plug: nothing of it can be judged from the record alone.
_OF_WATER_OR_SUN = ("bath", "coil", "sun")


def heater_kind(text: str) -> str:
    """Read what a heater is called: the notebook leaves its kind to people.

    Parameters
    ----------
    text
        As it was written down.

    Returns
    -------
    str
        A key of ``apparatus.heat.KINDS``; a cable where nothing else is said.

    Examples
    --------
    >>> heater_kind("Seedling mat"), heater_kind("belt")
    ('mat', 'cable')
    """
    said = text.casefold()
    return next((kind for word, kind in _KIND_WORDS.items() if word in said), "cable")


def insulation_of(vessel: Vessel) -> str | None:
    """Tell the key of a vessel's insulation; "none" where it has none, None where not known."""
    if not vessel.insulation_m:
        return None if vessel.insulation else "none"
    try:
        material = find_material(vessel.insulation) if vessel.insulation else None
    except MarshlightError:
        return None
    return material.key if material is not None and material.use == "insulation" else None


def engine_heater(row: Heater) -> EngineHeater:
    """Build an electric heater as it was written down; without one, none.

    Parameters
    ----------
    row
        Its record.

    Returns
    -------
    Heater
        Regulated where it has a thermostat.

    Raises
    ------
    InputError
        If its figures are impossible.
    """
    kind = heater_kind(row.kind)
    if kind in _OF_WATER_OR_SUN or not row.power_w:
        return EngineHeater()
    return EngineHeater(kind, row.power_w, _set_point_c(row))


def _set_point_c(row: Heater) -> float | None:
    if not row.thermostat:
        return None
    return _SOME_SET_POINT_C if row.set_point_c is None else row.set_point_c


def heated_body(vessel: Vessel, place: str) -> Body:
    """Lay a vessel out, two thirds full, as its record describes it.

    Parameters
    ----------
    vessel
        Its record; what it does not say is the usual: insulated all round, on a table, still air.
    place
        Where the heat goes in, a key of ``apparatus.heat.PLACES``.

    Returns
    -------
    Body
        For the heat balance.

    Raises
    ------
    InputError
        If a dimension is missing or impossible.
    """
    whole = vessel_of(vessel)
    wrap = usual_wrap(
        insulation_of(vessel) or "eps",
        vessel.insulation_m or 0.0,
        wrapped=vessel.wrapped or "all",
        wind=vessel.around == "wind",
    )
    stand = usual_stand(vessel.stand or "table")
    return body_of(
        whole,
        slurry_m3=USUAL_FILL * whole.total_m3,
        wrap=wrap,
        stand=stand,
        heater_place=place,
    )


def dangers_of_heater(row: Heater) -> tuple[Danger, ...]:
    """Tell what is dangerous about a heater whatever it warms.

    Parameters
    ----------
    row
        Its record.

    Returns
    -------
    tuple of Danger
        Refusals first.
    """
    # A record without power is judged all the same: its plug and set point are what counts here.
    kind = heater_kind(row.kind)
    plain = EngineHeater(kind, row.power_w or 1.0, _set_point_c(row))
    return dangers_of_supply(
        plain,
        safeguard=row.protection or "unknown",
        made_for_liquids=row.made_for_liquids != "no",
    )


def always_on_c(run: Run) -> float | None:
    """Tell where a run's slurry ends with its heater always on in a usual warm room.

    Parameters
    ----------
    run
        With vessel, heater and site.

    Returns
    -------
    float or None
        Infinite where no balance is found [degC]; None without an electric heater, or where the
        vessel is not known well enough.
    """
    if run.heater is None or (heater := engine_heater(run.heater)).kind == "none":
        return None
    try:
        body = heated_body(run.vessel, heater.place)
    except MarshlightError:
        return None
    try:
        return settle(body, heater.always_on(), _warm_room(run.site)).slurry_c
    except FitError:
        return math.inf


def _warm_room(site: Site) -> Outside:
    warm = site.room_high_c if site.room_high_c is not None else site.room_temperature_c
    around = _WARM_ROOM_C if warm is None else warm
    return Outside(around, around)


def dangers_of_set_up(vessel: Vessel, row: Heater, site: Site) -> tuple[Danger, ...]:
    """Tell what is dangerous about a heater on a vessel.

    Parameters
    ----------
    vessel, row, site
        Their records.

    Returns
    -------
    tuple of Danger
        Refusals first; of the supply alone where the vessel is not known well enough.
    """
    heater = engine_heater(row)
    if heater.kind == "none":
        return dangers_of_heater(row)
    try:
        body = heated_body(vessel, heater.place)
    except MarshlightError:
        return dangers_of_heater(row)
    return dangers_of(
        body,
        heater,
        _warm_room(site),
        safeguard=row.protection or "unknown",
        made_for_liquids=row.made_for_liquids != "no",
        cut_out=row.cut_out,
    )
