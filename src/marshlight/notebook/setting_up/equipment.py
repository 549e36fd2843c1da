"""Set-up descriptions of what people build: vessels, gas holders and heaters."""

from ..models import Heater, Holder, Vessel
from .describe import NOTES, SITE, Field, SetupKind, name_field

SHAPES = {
    "cylinder": "upright cylinder",
    "box": "box",
    "lying_cylinder": "lying cylinder",
    "sphere": "sphere",
    "dome": "dome over a flat floor",
    "given": "any shape, volume known",
}


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


VESSEL = SetupKind(
    "vessel",
    "vessel",
    "vessels",
    Vessel,
    (
        name_field("As it is called at the bench."),
        SITE,
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
            "diameter",
            "inner diameter",
            "cm",
            _shape("cylinder", "lying_cylinder", "sphere", "dome"),
            required=True,
        ),
        _length("length", "inner length", "cm", _shape("box", "lying_cylinder"), required=True),
        _length("width", "inner width", "cm", _shape("box"), required=True),
        _length("height", "inner height", "cm", _shape("cylinder", "box", "dome"), required=True),
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
        NOTES,
    ),
)
HOLDER = SetupKind(
    "holder",
    "gas holder",
    "gas holders",
    Holder,
    (
        name_field("What the gas is caught or counted in."),
        SITE,
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
        NOTES,
    ),
    caution="gas",
)
HEATER = SetupKind(
    "heater",
    "heater",
    "heaters",
    Heater,
    (
        name_field("What keeps the slurry warm."),
        SITE,
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
        NOTES,
    ),
    caution="mains",
)
