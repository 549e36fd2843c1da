"""Small invented notebooks that several kinds of test look at."""

from datetime import timedelta

from django.utils import timezone

from marshlight.notebook.models import Heater, Holder, Person, Run, Site, Vessel
from marshlight.notebook.recording import record_event, record_reading

LEVELS_MM = (0, 12, 60, 130, 205, 40, 120, 190)


def make_drum(site: Site, keeper: Person, name: str = "Drum 1") -> Run:
    """Make a 25 L drum on day 8: read daily, its holder emptied once, a flame that held."""
    vessel = Vessel(
        name="drum 1",
        site=site,
        shape="cylinder",
        volume_m3=0.025,
        dimensions={"diameter_m": 0.28, "height_m": 0.406},
        insulation_m=0.04,
    )
    holder = Holder(
        name="cylinder 1",
        site=site,
        kind=Holder.Kind.FLOATING,
        dimensions={"bore_m": 0.15, "mass_kg": 0.4, "travel_m": 0.25},
    )
    heater = Heater(name="cable 1", site=site, kind="cable", power_w=40.0, set_point_c=37.0)
    for part in (vessel, holder, heater):
        part.save(by=keeper)
    start = timezone.now() - timedelta(days=8, hours=1)
    made = Run(name=name, site=site, vessel=vessel, holder=holder, heater=heater)
    made.save(by=keeper)
    parts = [
        {"feedstock": "digester_effluent", "mass": "9 kg"},
        {"feedstock": "bread_stale", "mass": "0.3 kg"},
    ]
    record_event(made, "charge", at=start, detail={"parts": parts, "water": "6 L"}, by=keeper)
    for day, level in enumerate(LEVELS_MM):
        if day == 5:
            at = start + timedelta(days=4, hours=1)
            record_event(made, "holder_emptied", "0 mm", at=at, by=keeper)
        record_reading(made, "level", f"{level} mm", at=start + timedelta(days=day), by=keeper)
    record_reading(made, "slurry_temperature", "36.8", at=start + timedelta(days=7), by=keeper)
    record_reading(
        made, "flame", detail={"answer": "holds"}, at=start + timedelta(days=7), by=keeper
    )
    made.refresh_from_db()
    return made
