"""From a run's records to the numbers of its drawing."""

import math
from collections.abc import Mapping

from marshlight.answers.picture import HolderPicture, VesselPicture
from marshlight.apparatus import Bag, DisplacementColumn, FloatingCylinder
from marshlight.apparatus import Holder as EngineHolder
from marshlight.apparatus import Vessel as EngineVessel
from marshlight.decide.watch.facts import TESTED_AS
from marshlight.errors import InputError
from marshlight.estimate import Range
from marshlight.notebook.bridge import RunRecords
from marshlight.notebook.models import Holder, LogRecord, Run, Vessel
from marshlight.units import show

FLAMES = {test: outcome for outcome, test in TESTED_AS.items()}
# A vessel given by its volume alone is drawn as an upright cylinder a fifth taller than wide,
# and its words say that its shape is not known.
_ASSUMED_SLENDERNESS = 1.2
# A full bag lies about half as high as it is wide and fills about 0.6 of the box around it.
_BAG_FLATNESS, _BAG_FULLNESS = 0.5, 0.6
_KINDS = {
    Holder.Kind.COUNTER: "counter",
    Holder.Kind.SEALED: "sealed",
    Holder.Kind.SCALE: "sealed",
}
# Shapes with a form of their own, and the sizes without which they cannot be drawn to scale.
_FORMS = {
    "lying_cylinder": ("length_m", "diameter_m"),
    "sphere": ("diameter_m",),
    "dome": ("diameter_m", "height_m"),
}
_COUNTER_M = 0.2
_LAYER_WORDS = ("floating layer", "crust", "scum", "foam")
_LAYER_FORGOTTEN_D = 7.0
Latest = Mapping[str, LogRecord]


def draw_run(
    run: Run,
    latest: Latest,
    *,
    vessel: EngineVessel | None,
    holder: EngineHolder | None,
    slurry_m3: float | None,
    methane: Range | None,
    in_trouble: bool = False,
    floating_layer: bool = False,
) -> VesselPicture:
    """Gather what the drawing of a run shows.

    Parameters
    ----------
    run : Run
        With its vessel, holder and heater.
    latest : mapping
        The newest reading of each kind.
    vessel, holder : Vessel, Holder or None
        As the engine knows them; None where the set-up does not allow it.
    slurry_m3 : float or None
        Slurry in the vessel now [m3].
    methane : Range or None
        Methane share of the dry gas [-].
    in_trouble, floating_layer : bool
        What the assessment says.
    """
    system = run.site.units
    width, height = section(run.vessel)
    temperature = _value(latest, "slurry_temperature")
    flame = latest.get("flame")
    return VesselPicture(
        name=run.name,
        kind=_vessel_kind(run.vessel),
        form=form_of(run.vessel),
        width_m=width,
        height_m=height,
        slurry_m=_slurry_m(vessel, height, _value(latest, "slurry_level"), slurry_m3),
        holder=_holder(run.holder, holder, latest, system),
        temperature_c=temperature,
        methane=None if methane is None else (methane.low, methane.high),
        flame=FLAMES.get(str(flame.detail.get("answer")), "unknown") if flame else "unknown",
        insulation_m=run.vessel.insulation_m or 0.0,
        heater=_heater(run, temperature),
        floating_layer=floating_layer,
        in_trouble=in_trouble,
        size_text=_size_text(run.vessel, system),
        slurry_text="" if slurry_m3 is None else show(slurry_m3, "volume", system=system),
        temperature_text=""
        if temperature is None
        else show(temperature, "temperature", system=system),
        gas_text=""
        if methane is None
        else f"{100 * methane.low:.0f} to {100 * methane.high:.0f} % CH₄",
    )


def form_of(vessel: Vessel) -> str:
    """Give the form of a vessel's section, as the picture names it."""
    known = vessel.shape in _FORMS and all(vessel.dimensions.get(s) for s in _FORMS[vessel.shape])
    return {"lying_cylinder": "lying"}.get(vessel.shape, vessel.shape) if known else "upright"


def section(vessel: Vessel) -> tuple[float, float]:
    """Give the inside width and height of a vessel in section [m]."""
    size = vessel.dimensions
    if vessel.shape == "lying_cylinder" and size.get("length_m") and size.get("diameter_m"):
        return float(size["length_m"]), float(size["diameter_m"])
    if vessel.shape == "box" and size.get("width_m") and size.get("height_m"):
        return float(max(size["width_m"], size.get("length_m", 0.0))), float(size["height_m"])
    if vessel.shape == "sphere" and size.get("diameter_m"):
        return float(size["diameter_m"]), float(size["diameter_m"])
    if size.get("diameter_m") and size.get("height_m"):
        return float(size["diameter_m"]), float(size["height_m"])
    volume = max(vessel.volume_m3, 1e-6)
    if size.get("table"):
        # Of a fill table the mean section is drawn: it says how wide, not how round.
        height = float(size["table"][-1][0])
        return math.sqrt(4.0 * volume / math.pi / height), height
    if size.get("height_m"):
        return math.sqrt(4.0 * volume / math.pi / size["height_m"]), float(size["height_m"])
    width = (4.0 * volume / math.pi / _ASSUMED_SLENDERNESS) ** (1.0 / 3.0)
    return width, width * _ASSUMED_SLENDERNESS


def _vessel_kind(vessel: Vessel) -> str:
    if vessel.shape in ("box", "lying_cylinder", "sphere", "dome") or vessel.volume_m3 > 0.4:
        return "tank"
    if vessel.volume_m3 < 5e-3:
        return "bottle"
    return "drum" if vessel.volume_m3 < 0.1 else "barrel"


def _size_text(vessel: Vessel, system: str) -> str:
    text = f"of {show(vessel.volume_m3, 'volume', system=system)}"
    known = {"diameter_m", "height_m", "width_m", "length_m", "table"} & set(vessel.dimensions)
    return text if known else f"{text}, shape not known"


def _slurry_m(
    vessel: EngineVessel | None, height: float, read_m: float | None, volume_m3: float | None
) -> float | None:
    """Give the slurry's height: read, else from its volume and the vessel's shape [m]."""
    if read_m is not None:
        return read_m
    if volume_m3 is None or vessel is None:
        return None
    volume = min(volume_m3, vessel.total_m3)
    try:
        return float(vessel.level_at(volume))
    except InputError:
        # Only its volume is known: then it is drawn as an upright cylinder.
        return volume / vessel.total_m3 * height


def _holder(
    row: Holder | None, holder: EngineHolder | None, latest: Latest, system: str
) -> HolderPicture | None:
    if row is None or holder is None:
        return None
    level, volume = _value(latest, "level"), _value(latest, "volume")
    if isinstance(holder, FloatingCylinder):
        if level is None and volume is not None:
            level = float(holder.level_of(volume))
        held = None if level is None else float(holder.gas_volume_m3(level))
        return HolderPicture(
            "cylinder",
            holder.bore_m,
            holder.travel_m,
            level_m=level,
            volume_text=_held(held, system),
        )
    if isinstance(holder, DisplacementColumn):
        if volume is None and level is not None:
            volume = float(holder.gas_volume_m3(level))
        fill = None if volume is None else volume / holder.capacity_m3
        return HolderPicture(
            "displacement",
            holder.bore_m,
            holder.height_m,
            fill=fill,
            volume_text=_held(volume, system),
        )
    if isinstance(holder, Bag):
        width = (holder.capacity_m3 / _BAG_FLATNESS / _BAG_FULLNESS) ** (1.0 / 3.0)
        fill = None if volume is None else volume / holder.capacity_m3
        return HolderPicture(
            "bag", width, width * _BAG_FLATNESS, fill=fill, volume_text=_held(volume, system)
        )
    return HolderPicture(_KINDS[Holder.Kind(row.kind)], _COUNTER_M, _COUNTER_M)


def _held(volume: float | None, system: str) -> str:
    """Write a holder's gas as it stands, warm and wet: the drawing shows what the eye sees."""
    return "" if volume is None else f"{show(volume, 'volume', system=system, digits=2)}"


def _heater(run: Run, temperature: float | None) -> str:
    heater = run.heater
    if heater is None:
        return "none"
    if heater.set_point_c is None or temperature is None or not heater.thermostat:
        return "off" if heater.thermostat else "on"
    return "on" if temperature < heater.set_point_c else "off"


def _value(latest: Latest, kind: str) -> float | None:
    record = latest.get(kind)
    return None if record is None else record.value


def layer_noted(records: RunRecords) -> bool:
    """Say whether a keeper wrote of a floating layer lately and did not mix since.

    Parameters
    ----------
    records : RunRecords
        The run's log; its newest week counts.
    """
    newest = max((event.day for event in records.events), default=0.0)
    seen = [
        event.day
        for event in records.events
        if event.day >= newest - _LAYER_FORGOTTEN_D
        and any(word in event.note.casefold() for word in _LAYER_WORDS)
    ]
    mixed = [event.day for event in records.events if event.kind == "mix"]
    return bool(seen) and max(seen) > max(mixed, default=-1.0)
