"""The nouns of the notebook."""

from .log import Event, ImportBatch, LogRecord, Reading
from .people import Person, Site
from .run import Run
from .setup import Setup, SetupVersion
from .things import Feedstock, Heater, Holder, Lot, Vessel
from .trial import Trial, TrialBottle

__all__ = [
    "Event",
    "Feedstock",
    "Heater",
    "Holder",
    "ImportBatch",
    "LogRecord",
    "Lot",
    "Person",
    "Reading",
    "Run",
    "Setup",
    "SetupVersion",
    "Site",
    "Trial",
    "TrialBottle",
    "Vessel",
]
