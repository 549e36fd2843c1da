"""The place of the demonstration: an invented hamlet's shed, vessels, holders and lots."""

from datetime import datetime, timedelta
from typing import Any

from marshlight.demo.stories import BREAD, LIVE, MANURE, PEELINGS, POMACE, WHEY, YEAST
from marshlight.notebook.models import Person
from marshlight.notebook.setting_up import set_up

SITE = "Otterbeck"
_BREATHES = {"relief": "seal", "relief_depth": "150 mm", "stand": "table"}
_INVENTED = "Invented for the demonstration; no real place, person or brand is meant."


def set_up_place() -> Person:
    """Set up site, people, vessels, holders and heaters; give the keeper."""
    air = {"altitude": "640 m", "room": "15", "room_low": "6", "room_high": "24"}
    shed = {"room_volume": "36 m3", "air_changes": "1", "gas_let_out": "outdoors"}
    money = {"currency": "EUR", "energy_price": "0.30"}
    site: Any = set_up("site", {"name": SITE, **air, **shed, **money, "notes": _INVENTED})
    site.invented = True
    site.save(why="marked as invented")
    keeper = Person(name="keeper", role=Person.Role.LEAD, notes=_INVENTED)
    keeper.save(why="demonstration")
    for name in ("teacher", "pupil group A"):
        Person(name=name, notes=_INVENTED).save(by=keeper, why="demonstration")
    for number in range(1, 7):
        _drum(number, keeper)
    barrel = {"shape": "cylinder", "diameter": "56 cm", "height": "90 cm"}
    straw = {"insulation": "straw bales", "insulation_thickness": "350 mm", "wrapped": "all"}
    set_up("vessel", {"name": "Barrel", **barrel, **straw, **_BREATHES}, by=keeper)
    set_up("holder", {"name": "Gas bag", "kind": "bag", "capacity": "300 L"}, by=keeper)
    bottle = {"name": "Bottle gas space", "kind": "sealed", "headspace": "400 mL"}
    set_up("holder", bottle, by=keeper)
    cable = {"name": "Heating cable in the cupboard", "kind": "cable", "power": "60 W"}
    guarded = {"protection": "yes", "cut_out": "yes"}
    set_up("heater", cable | guarded | {"set_point": "37"}, by=keeper)
    bath = {"name": "Water bath", "kind": "bath", "power": "300 W", "protection": "yes"}
    set_up("heater", bath | {"set_point": "37"}, by=keeper)
    return keeper


def _drum(number: int, keeper: Person) -> None:
    sizes = {"shape": "cylinder", "diameter": "27 cm", "height": "43.7 cm"}
    kept_warm = {"insulation": "cupboard", "insulation_thickness": "40 mm"}
    set_up("vessel", {"name": f"Drum {number}", **sizes, **kept_warm, **_BREATHES}, by=keeper)
    cylinder = {"bore": "120 mm", "travel": "355 mm", "mass": "350 g", "wall": "2 mm"}
    set_up("holder", {"name": f"Cylinder {number}", "kind": "floating", **cylinder}, by=keeper)


def set_up_lots(now: datetime, keeper: Person) -> None:
    """Set up what is on hand today, the perishable lots with a date."""
    fresh = {"gathered_on": (now - timedelta(days=1)).date().isoformat()}
    lots: dict[str, dict[str, str]] = {
        MANURE: {"feedstock": "goat manure with straw bedding", "amount": "45 kg"} | fresh,
        LIVE: {"feedstock": "digester_effluent", "amount": "60 kg"},
        BREAD: {"feedstock": "stale bread", "amount": "6 kg", "storage": "dry", "cost": "-0.02"},
        WHEY: {"feedstock": "whey_sweet", "amount": "40 kg", "storage": "cold", "cost": "-0.01"},
        POMACE: {"feedstock": "apple pomace", "amount": "25 kg", "storage": "cold"},
        PEELINGS: {"feedstock": "kitchen peelings", "amount": "8 kg"} | fresh,
        YEAST: {"feedstock": "spent yeast", "amount": "4 kg", "storage": "cold"},
        "Cellulose powder": {"feedstock": "cellulose", "amount": "0.1 kg"},
    }
    for name, more in lots.items():
        set_up("lot", {"name": name, **more}, by=keeper)
