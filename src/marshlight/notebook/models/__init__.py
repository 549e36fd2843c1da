"""The nouns of the notebook."""

from .log import Event, ImportBatch, LogRecord, Reading
from .people import Person, Site
from .run import Run
from .setup import Setup, SetupVersion
from .things import Feedstock, Heater, Holder, Lot, Vessel
from .trial import Trial, TrialBottle
from .worked_out import AdviceLook, Finding

__all__ = [
    "AdviceLook",
    "Event",
    "Feedstock",
    "Finding",
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
