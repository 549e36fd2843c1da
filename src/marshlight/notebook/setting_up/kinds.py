"""What can be set up: one description per kind of record."""

from marshlight.errors import InputError
from marshlight.matter.properties import PROPERTIES

from ..models import Feedstock, Heater, Holder, Lot, Run, Site, Vessel
from .describe import Field, SetupKind

_SITE = Field("site", "site", "record", record="site", help="Left out: the only site.")
_NOTES = Field("notes", "notes")

SHAPES = {
    "cylinder": "upright cylinder",
    "box": "box",
    "lying_cylinder": "lying cylinder",
    "given": "any shape, volume known",
}


def _name(help_text: str) -> Field:
    return Field("name", "name", required=True, help=help_text)


def _length(
    name: str,
    words: str,
    unit: str,
    only_for: tuple[str, tuple[str, ...]] | None = None,
    *,
    store: str = "",
    required: bool = False,
    help_text: str = "",
) -> Field:
    return Field(
        name,
        words,
        "number",
        "length",
        unit,
        store=store or f"dimensions.{name}_m",
        only_for=only_for,
        required=required,
        help=help_text,
    )


def _shape(*shapes: str) -> tuple[str, tuple[str, ...]]:
    return ("shape", shapes)


def _holder(*kinds: str) -> tuple[str, tuple[str, ...]]:
    return ("kind", kinds)


_SITE_KIND = SetupKind(
    "site",
    "site",
    "sites",
    Site,
    (
        _name("Where the digesters stand."),
        Field(
            "altitude",
            "height above sea level",
            "number",
            "length",
            "m",
            lowest=-430.0,
            highest=6000.0,
            store="altitude_m",
            help="Gives the air pressure when there is no barometer.",
        ),
        Field(
            "barometer",
            "usual air pressure on the spot",
            "number",
            "pressure",
            "hPa",
            lowest=40.0,
            highest=110.0,
            store="barometer_kpa",
            help="As read there. A weather forecast's pressure is reduced to sea level: give the height instead.",
        ),
        Field(
            "room",
            "usual temperature around the vessels",
            "number",
            "temperature",
            "degC",
            lowest=-40.0,
            highest=55.0,
            store="room_temperature_c",
        ),
        Field(
            "room_low",
            "coldest usual",
            "number",
            "temperature",
            "degC",
            lowest=-50.0,
            highest=55.0,
            store="room_low_c",
        ),
        Field(
            "room_high",
            "warmest usual",
            "number",
            "temperature",
            "degC",
            lowest=-40.0,
            highest=60.0,
            store="room_high_c",
        ),
        Field("time_zone", "time zone", default="UTC", help="Such as Europe/Paris."),
        Field("units", "units shown", "choice", choices=dict(Site.Units.choices), default="metric"),
        Field("currency", "currency"),
        _NOTES,
    ),
)
_VESSEL_KIND = SetupKind(
    "vessel",
    "vessel",
    "vessels",
    Vessel,
    (
        _name("As it is called at the bench."),
        _SITE,
        Field("shape", "shape", "choice", choices=SHAPES, default="given"),
        Field(
            "volume",
            "whole inner volume, brim-full",
            "number",
            "volume",
            "L",
            lowest=1e-5,
            store="volume_m3",
            only_for=_shape("given"),
            required=True,
        ),
        _length(
            "diameter", "inner diameter", "cm", _shape("cylinder", "lying_cylinder"), required=True
        ),
        _length("length", "inner length", "cm", _shape("box", "lying_cylinder"), required=True),
        _length("width", "inner width", "cm", _shape("box"), required=True),
        _length("height", "inner height", "cm", _shape("cylinder", "box"), required=True),
        _length(
            "tall",
            "inner height, if known",
            "cm",
            _shape("given"),
            store="dimensions.height_m",
            help_text="Lets a level be read as a volume and the drawing be true.",
        ),
        Field("insulation", "insulation"),
        _length("insulation_thickness", "insulation thickness", "mm", store="insulation_m"),
        _NOTES,
    ),
)
_HOLDER_KIND = SetupKind(
    "holder",
    "gas holder",
    "gas holders",
    Holder,
    (
        _name("What the gas is caught or counted in."),
        _SITE,
        Field("kind", "kind", "choice", choices=dict(Holder.Kind.choices), required=True),
        _length("bore", "inner diameter", "mm", _holder("floating", "displacement"), required=True),
        _length("travel", "rise from rest to its stop", "mm", _holder("floating"), required=True),
        Field(
            "mass",
            "mass of the cylinder and its weights",
            "number",
            "mass",
            "kg",
            store="dimensions.mass_kg",
            only_for=_holder("floating"),
            required=True,
        ),
        Field(
            "counterweight",
            "counterweight that lifts it",
            "number",
            "mass",
            "kg",
            store="dimensions.counterweight_kg",
            only_for=_holder("floating"),
        ),
        _length("wall", "wall thickness", "mm", _holder("floating")),
        _length("height", "column that gas can fill", "mm", _holder("displacement"), required=True),
        Field(
            "top_above_bath",
            "closed top above the outer liquid",
            "number",
            "length",
            "mm",
            lowest=-10.0,
            store="dimensions.top_above_bath_m",
            only_for=_holder("displacement"),
            required=True,
        ),
        Field(
            "liquid",
            "liquid",
            "choice",
            choices={
                "fresh_water": "fresh water",
                "brine": "salt brine",
                "acid_brine": "acidified salt brine",
            },
            default="fresh_water",
            store="dimensions.liquid",
            only_for=_holder("floating", "displacement"),
        ),
        Field(
            "capacity",
            "volume when taut",
            "number",
            "volume",
            "L",
            lowest=1e-6,
            store="dimensions.capacity_m3",
            only_for=_holder("bag"),
            required=True,
        ),
        Field(
            "per_count",
            "gas in one count",
            "number",
            "volume",
            "mL",
            lowest=1e-8,
            store="dimensions.per_count_m3",
            only_for=_holder("counter"),
            required=True,
            help="1 m3 for a register that shows cubic metres.",
        ),
        Field(
            "headspace",
            "gas space above the liquid",
            "number",
            "volume",
            "mL",
            lowest=1e-7,
            store="dimensions.headspace_m3",
            only_for=_holder("sealed"),
            required=True,
        ),
        Field(
            "scale_doubt",
            "doubt of one weighing",
            "number",
            "mass",
            "g",
            lowest=1e-7,
            store="dimensions.u_mass_kg",
            only_for=_holder("scale"),
            required=True,
        ),
        Field(
            "exit_temperature",
            "temperature of the gas leaving",
            "number",
            "temperature",
            "degC",
            store="dimensions.exit_temperature_c",
            only_for=_holder("scale"),
            required=True,
        ),
        _NOTES,
    ),
    caution="gas",
)
_HEATER_KIND = SetupKind(
    "heater",
    "heater",
    "heaters",
    Heater,
    (
        _name("What keeps the slurry warm."),
        _SITE,
        Field("kind", "kind", help="Cable, mat, water bath ..."),
        Field("power", "power", "number", "power", "W", store="power_w"),
        Field(
            "set_point",
            "set to",
            "number",
            "temperature",
            "degC",
            lowest=-10.0,
            highest=75.0,
            store="set_point_c",
        ),
        Field("thermostat", "has a thermostat", "flag", default="yes"),
        _NOTES,
    ),
    caution="mains",
)
_LAB = ("TS", "VS", "methane_potential", "C_to_N", "TKN", "TAN", "bulk_density", "alkalinity")
_UNITS = {"fraction": "%", "yield": "NmL/g VS", "rate": "1/d", "density": "kg/L"}


def _property(name: str, store: str) -> Field:
    kind = PROPERTIES[name]
    unit = _UNITS.get(kind.quantity, "")
    return Field(
        name,
        kind.meaning,
        "number",
        kind.quantity,
        unit,
        lowest=kind.minimum,
        highest=kind.maximum,
        store=f"{store}.{name}",
    )


_LOT_KIND = SetupKind(
    "lot",
    "lot",
    "lots",
    Lot,
    (
        _name("Such as: kitchen peelings, Monday."),
        _SITE,
        Field(
            "feedstock",
            "material",
            "feedstock",
            required=True,
            help="One of the library or of your own.",
        ),
        Field("gathered_on", "gathered on", "date"),
        Field("storage", "kept", "choice", choices=dict(Lot.Storage.choices), default="covered"),
        Field(
            "storage_temperature",
            "kept at",
            "number",
            "temperature",
            "degC",
            lowest=-40.0,
            highest=60.0,
            store="storage_temperature_c",
        ),
        Field("amount", "on hand", "number", "mass", "kg", store="amount_kg"),
        Field(
            "cost",
            "price of one kilogram",
            "number",
            "money",
            "",
            store="cost_per_kg",
            help="Negative when you are paid to take it.",
        ),
        *(_property(name, "measured") for name in _LAB),
        _NOTES,
    ),
    caution="pathogens",
)
_FEEDSTOCK_KIND = SetupKind(
    "feedstock",
    "material of your own",
    "materials of your own",
    Feedstock,
    (
        _name("As you call it."),
        Field("group", "group"),
        Field(
            "based_on", "based on", "feedstock", help="Library values stand where you give none."
        ),
        *(_property(name, "properties") for name in PROPERTIES),
        _NOTES,
    ),
)
_RUN_KIND = SetupKind(
    "run",
    "run",
    "runs",
    Run,
    (
        _name("One vessel's life from charge to emptying."),
        _SITE,
        Field("vessel", "vessel", "record", record="vessel", required=True),
        Field("holder", "gas holder", "record", record="holder"),
        Field("heater", "heater", "record", record="heater"),
        Field("mode", "mode", "choice", choices=dict(Run.Mode.choices), default="batch"),
        Field("started_at", "started at", "moment", help="Left out while it is only planned."),
        Field("ended_at", "ended at", "moment"),
        _NOTES,
    ),
)
SETUPS = {
    kind.key: kind
    for kind in (
        _RUN_KIND,
        _LOT_KIND,
        _VESSEL_KIND,
        _HOLDER_KIND,
        _HEATER_KIND,
        _SITE_KIND,
        _FEEDSTOCK_KIND,
    )
}


def setup_kind(key: str) -> SetupKind:
    """Describe a kind of set-up record.

    Raises
    ------
    InputError
        If there is no such kind.
    """
    if key not in SETUPS:
        raise InputError("kind of record", key, ", ".join(SETUPS), "Choose one of these")
    return SETUPS[key]
