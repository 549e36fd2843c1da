"""The safety sheet of one run, from its own numbers."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.apparatus.gas_train import seal_pressure_kpa
from marshlight.decide.safety.cautions import Caution, cautions_for
from marshlight.decide.safety.exposure import USUAL_H2S, exposure_limits
from marshlight.decide.safety.flammable import WIDEST
from marshlight.decide.safety.flammable_path import purge
from marshlight.decide.safety.room import Room, RoomRelease, room_release

# Hazards of every vessel that makes gas.
ALWAYS = ("explosive_gas", "hydrogen_sulfide", "asphyxiation", "pressure", "pathogens")
_POOR, _RICH = 0.50, 0.70
_USUAL_CO2_REST = 1.0
_BOILS_C = 100.0


@dataclass(frozen=True)
class SheetFacts:
    """What is known of a run; None where it is not.

    Volumes in m3, gas a day dry normal [m3/d], shares [m3/m3], temperatures [degC], power [W],
    people who may be near by role; ``hazards`` are those its materials name. ``protection``,
    ``relief`` and ``outlet`` (where relief and first gas lead) are empty where nobody looked;
    ``stuck_c`` is where the slurry ends with the heater always on, ``relief_m`` how deep the
    relief dips [m].
    """

    name: str
    materials: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    slurry_m3: float | None = None
    gas_space_m3: float | None = None
    holder_m3: float | None = None
    gas_m3_d: float | None = None
    methane: float | None = None
    h2s: float | None = None
    slurry_c: float | None = None
    heater_w: float | None = None
    protection: str = ""
    stuck_c: float | None = None
    relief: str = ""
    relief_m: float | None = None
    outlet: str = ""
    room: Room | None = None
    people: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetNumber:
    """One figure for the sheet: a value in base units with its quantity, and what it rests on."""

    name: str
    value: float | tuple[float, float]
    quantity: str
    note: str
    source: str
    equation: str


@dataclass(frozen=True)
class StopCondition:
    """When to stop and leave, and what to do then."""

    when: str
    then: str


@dataclass(frozen=True)
class SafetySheet:
    """The sheet: figures, cautions gravest first, stop conditions, who to ask, what is missing."""

    facts: SheetFacts
    numbers: tuple[SheetNumber, ...]
    cautions: tuple[Caution, ...]
    stops: tuple[StopCondition, ...]
    ask: tuple[tuple[str, str], ...]
    unknown: tuple[str, ...]
    release: RoomRelease | None
    sources: tuple[str, ...]


def safety_sheet(facts: SheetFacts) -> SafetySheet:
    """Write the safety sheet of a run.

    Parameters
    ----------
    facts : SheetFacts
        What is known of it.

    Returns
    -------
    SafetySheet
        Hazards in the run's own numbers; unknown figures are named, not guessed.

    Notes
    -----
    Where hydrogen sulphide was not measured, the upper end of raw biogas is taken.

    References
    ----------
    h2s_limits; osha_1910_146; dti_2014; well_mixed_purge; room_dilution.

    Examples
    --------
    >>> sheet = safety_sheet(SheetFacts("Drum 1", slurry_m3=0.0165, gas_space_m3=0.0085))
    >>> sheet.stops[0].when[:14], "hydrogen sulphide in the gas" in sheet.unknown
    ('You smell gas,', True)
    """
    release = _release(facts)
    hazards = [*ALWAYS, *facts.hazards]
    if facts.heater_w:
        hazards += ["mains_heater", "hot_liquid"]
    if facts.slurry_m3 is not None and facts.slurry_m3 > 0.01:
        hazards.append("lifting")
    cautions = cautions_for(hazards)
    numbers = _numbers(facts)
    return SafetySheet(
        facts=facts,
        numbers=numbers,
        cautions=cautions,
        stops=_stops(facts),
        ask=_ask(cautions),
        unknown=_unknown(facts),
        release=release,
        sources=tuple(
            dict.fromkeys(
                [
                    *(n.source for n in numbers),
                    *(RoomRelease.SOURCES if release else ()),
                    *(c.source for c in cautions),
                    "practice_stop",
                ]
            )
        ),
    )


def worst_h2s(facts: SheetFacts) -> float:
    """Give the hydrogen sulphide to reckon with: measured, else the upper end of raw gas."""
    return USUAL_H2S[1] if facts.h2s is None else facts.h2s


def _numbers(facts: SheetFacts) -> tuple[SheetNumber, ...]:
    found = []
    if facts.gas_space_m3 is not None:
        enter = purge(_RICH).enters
        leave = purge(_POOR).leaves
        assert enter is not None
        assert leave is not None
        bounds = (enter * facts.gas_space_m3, leave * facts.gas_space_m3)
        found.append(
            SheetNumber(
                "gas after which its gas space is explosive or may be",
                bounds,
                "volume",
                "from a start in air, gas of 50 to 70 % methane, widest limits; other gas moves"
                " them, and air let in brings it back",
                "well_mixed_purge",
                "V (-ln(1 - g))",
            )
        )
    if facts.slurry_m3 is not None:
        mass = facts.slurry_m3 * 1000.0
        found.append(
            SheetNumber(
                "weight of the slurry",
                mass,
                "mass",
                "1 kg a litre",
                "practice_handling",
                "volume × density",
            )
        )
    held = _gas_held(facts)
    if held is not None:
        found.append(
            SheetNumber(
                "air that it could make explosive",
                held / WIDEST.lean,
                "volume",
                "all methane of gas space and holder, when full, at the lower limit",
                "european_limits",
                "methane held / 0.044",
            )
        )
    found += _of_fittings(facts)
    found.append(_thinning(facts))
    return tuple(found)


def _thinning(facts: SheetFacts) -> SheetNumber:
    """Give the air that thins a litre of its gas."""
    limit = exposure_limits("H2S")[0]
    return SheetNumber(
        "fresh air to thin a litre of its gas to the hydrogen sulphide limit",
        worst_h2s(facts) / limit.share * 1e-3,
        "volume",
        f"{limit.authority} {limit.ppm:g} ppm; "
        + ("measured in the gas" if facts.h2s is not None else "raw gas at its strongest"),
        limit.source,
        "y / limit",
    )


def _of_fittings(facts: SheetFacts) -> list[SheetNumber]:
    """Give what relief and heater can do."""
    found = []
    if facts.relief == "seal" and facts.relief_m is not None:
        found.append(
            SheetNumber(
                "relief opens at",
                seal_pressure_kpa(facts.relief_m),
                "gauge_pressure",
                "while it holds water to its mark and is not frozen",
                "hydrostatics",
                "p = ρ g h",
            )
        )
    if facts.stuck_c is not None:
        found.append(
            SheetNumber(
                "slurry with the heater always on",
                min(facts.stuck_c, _BOILS_C),
                "temperature",
                "it boils" if facts.stuck_c >= _BOILS_C else "in a usual warm room, given time",
                "thermostat_sticks",
                "always on: Tend = Ta + share P / UA",
            )
        )
    return found


def _gas_held(facts: SheetFacts) -> float | None:
    """Methane in gas space and full holder [m3]."""
    spaces = [v for v in (facts.gas_space_m3, facts.holder_m3) if v is not None]
    if not spaces:
        return None
    return sum(spaces) * (_RICH if facts.methane is None else facts.methane)


def _release(facts: SheetFacts) -> RoomRelease | None:
    """Let a day's gas leak evenly into the room: what an unnoticed leak would do."""
    if facts.room is None or not facts.gas_m3_d:
        return None
    methane = _RICH if facts.methane is None else facts.methane
    shares = {"CH4": methane, "CO2": _USUAL_CO2_REST - methane, "H2S": worst_h2s(facts)}
    return room_release(facts.room, facts.gas_m3_d / 24.0, shares)


def _stops(facts: SheetFacts) -> tuple[StopCondition, ...]:
    stops = [
        StopCondition(
            "You smell gas, a smell of rotten eggs comes and goes, or an alarm sounds",
            "leave upwind, touch no switch, keep others out, open doors only from outside",
        ),
        StopCondition(
            "Someone collapses near the vessel",
            "do not follow them in; call the rescue service and say hydrogen sulphide",
        ),
        StopCondition(
            "The gauge or holder stands above its mark, or gas no longer comes where it should",
            "stop feeding and heating, open the outlet to the open air, look for a blocked line",
        ),
        StopCondition(
            "The holder falls with the taps shut, or bubbles stand on a soaped joint",
            "no flame or switch near; let the gas out outdoors; repair before it is used again",
        ),
        StopCondition(
            "A flame lifts, yellows with soot, or runs back into the burner",
            "shut the tap; wait until it is cold; do not light it again before you know why",
        ),
        StopCondition(
            "Before the lid is opened or anything cut, drilled or moved",
            "heater off at the plug, gas let out outdoors, air let through for as long as it takes,"
            " no spark: the inside passes through explosive mixtures",
        ),
    ]
    if facts.heater_w:
        stops.append(
            StopCondition(
                "The slurry passes 45 degC, cable or plug is wet, or the residual-current device"
                " trips",
                "pull the plug with dry hands; have it looked at before it goes back on",
            )
        )
    return tuple(stops)


def _ask(cautions: tuple[Caution, ...]) -> tuple[tuple[str, str], ...]:
    """Pair who to ask with what about: each hazard once, with all who know of it."""
    about: dict[str, list[str]] = {}
    for caution in cautions:
        if caution.ask:
            hazard = caution.hazard.replace("_", " ").replace("sulfide", "sulphide")
            about.setdefault(hazard, []).append(caution.ask)
    return tuple(("; ".join(dict.fromkeys(who)), what) for what, who in about.items())


_WANTED: Mapping[str, str] = {
    "materials": "what went in",
    "gas_space_m3": "gas space above the slurry",
    "holder_m3": "size of the gas holder",
    "h2s": "hydrogen sulphide in the gas",
    "methane": "methane share of the gas",
    "room": "room or place, and how its air changes",
    "people": "who is near it",
    "relief": "what relief is on the vessel",
    "outlet": "where relief and first gas lead",
}


def _unknown(facts: SheetFacts) -> tuple[str, ...]:
    missing = [words for name, words in _WANTED.items() if getattr(facts, name) in (None, (), "")]
    if facts.heater_w and not facts.protection:
        missing.append("how the heater's mains supply is protected")
    return tuple(missing)
