"""What an archive holds, in the order in which it can be restored."""

from ..models import (
    Event,
    Feedstock,
    Heater,
    Holder,
    ImportBatch,
    Lot,
    Person,
    Reading,
    Run,
    SetupVersion,
    Site,
    Trial,
    TrialBottle,
    Vessel,
)

ARCHIVE_FORMAT = "marshlight notebook archive"
SCHEMA = 3
"""Raised whenever a field is added, dropped or changes its meaning."""
MANIFEST = "manifest.json"
# Each table only points to tables before it, or to itself.
TABLES = {
    "site": Site,
    "person": Person,
    "feedstock": Feedstock,
    "lot": Lot,
    "vessel": Vessel,
    "holder": Holder,
    "heater": Heater,
    "run": Run,
    "trial": Trial,
    "trial_bottle": TrialBottle,
    "import_batch": ImportBatch,
    "event": Event,
    "reading": Reading,
    "setup_version": SetupVersion,
}
LEFT_OUT = [
    "Log-in accounts, passwords and sessions: invite people again after restoring; "
    "their names and roles in the notebook are kept."
]
BASE_UNITS = (
    "Values are in kg, m3, m, degC, kPa, kWh, d and fractions of 1; gauge pressure in kPa above "
    "the air's, concentrations in kg/m3. Beside each value stands the text as it was entered and "
    "the unit it was meant in. Times are UTC."
)
