"""Set-up descriptions of what goes in: lots and materials of one's own."""

from marshlight.matter.properties import PROPERTIES

from ..models import Feedstock, Lot
from .describe import NOTES, SITE, Field, SetupKind, name_field

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


LOT = SetupKind(
    "lot",
    "lot",
    "lots",
    Lot,
    (
        name_field("Such as: kitchen peelings, Monday."),
        SITE,
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
        NOTES,
    ),
    caution="pathogens",
)
FEEDSTOCK = SetupKind(
    "feedstock",
    "material of your own",
    "materials of your own",
    Feedstock,
    (
        name_field("As you call it."),
        Field("group", "group"),
        Field(
            "based_on", "based on", "feedstock", help="Library values stand where you give none."
        ),
        *(_property(name, "properties") for name in PROPERTIES),
        NOTES,
    ),
)
