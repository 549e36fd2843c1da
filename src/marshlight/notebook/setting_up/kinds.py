"""What can be set up: one description per kind of record."""

from marshlight.errors import InputError

from ..models import Run, Site
from .choices import OUTLETS, told
from .describe import NOTES, SITE, Field, SetupKind, name_field
from .equipment import HEATER, HOLDER, VESSEL
from .material import FEEDSTOCK, LOT
from .trial import TRIAL, TRIAL_BOTTLE

SITE_KIND = SetupKind(
    "site",
    "site",
    "sites",
    Site,
    (
        name_field("Where the digesters stand."),
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
            help="As read there; a forecast's pressure is reduced to sea level.",
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
        Field(
            "room_volume",
            "room the gas would leak into",
            "number",
            "volume",
            "m3",
            lowest=0.1,
            highest=1e6,
            store="room_volume_m3",
        ),
        Field(
            "air_changes",
            "air changes of that room",
            "number",
            "dimensionless",
            "1",
            lowest=0.0,
            highest=100.0,
            store="room_air_changes",
            help="An hour; a closed room has about half a change.",
        ),
        Field(
            "gas_let_out",
            "relief and first gas lead",
            "choice",
            choices=told(OUTLETS),
            help="Gas is never let out in a room.",
        ),
        Field(
            "energy_price",
            "price of a kilowatt-hour",
            "number",
            "money",
            "",
            lowest=0.0,
        ),
        Field("time_zone", "time zone", default="UTC", help="Such as Europe/Paris."),
        Field("units", "units shown", "choice", choices=dict(Site.Units.choices), default="metric"),
        Field("currency", "currency"),
        NOTES,
    ),
)
RUN = SetupKind(
    "run",
    "run",
    "runs",
    Run,
    (
        name_field("One vessel's life from charge to emptying."),
        SITE,
        Field("vessel", "vessel", "record", record="vessel", required=True),
        Field("holder", "gas holder", "record", record="holder"),
        Field("heater", "heater", "record", record="heater"),
        Field("mode", "mode", "choice", choices=dict(Run.Mode.choices), default="batch"),
        Field(
            "feed_temperature",
            "feed at",
            "number",
            "temperature",
            "degC",
            lowest=-5.0,
            highest=95.0,
            store="feed_temperature_c",
        ),
        Field("started_at", "started at", "moment", help="Left out while it is only planned."),
        Field("ended_at", "ended at", "moment"),
        NOTES,
    ),
)
_KINDS = (RUN, LOT, VESSEL, HOLDER, HEATER, SITE_KIND, FEEDSTOCK, TRIAL, TRIAL_BOTTLE)
SETUPS = {kind.key: kind for kind in _KINDS}


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
