"""An unregulated plant-propagation mat under a small insulated jug: 6 to 11 K above the room.

Common practice, no source. Nothing is fitted to it: mat by its rated power and 150 W/m2, jug of
hard plastic wrapped in 2 cm of soft foam, on a wooden shelf.
"""

from functools import cache

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import Heater, Outside, Stand, Wrap, body_of, layer_of, settle
from published.harness import Check

PRACTICE = "Common practice, no source: some 6 to 11 K above the room"
ROOM_C = 20.0


@cache
def _above_room(litres: float, watts: float) -> float:
    foam = (layer_of("soft_foam", 0.02),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.002),), side=foam, lid=foam)
    mat = Heater("mat", watts)
    body = body_of(
        Vessel.given(volume_m3=litres / 1e3),
        slurry_m3=litres / 1e3 * 2.0 / 3.0,
        wrap=wrap,
        stand=Stand("table", (layer_of("wood", 0.018),)),
        heater_place=mat.place,
    )
    return settle(body, mat, Outside(ROOM_C, ROOM_C)).slurry_c - ROOM_C


CHECKS = [
    Check(
        f"{watts:g} W mat under a jug of {litres:g} L: kelvin above the room",
        PRACTICE,
        8.5,
        lambda v=litres, w=watts: _above_room(v, w),
        2.5,
        status="common practice, no source",
    )
    for litres, watts in ((4.0, 10.0), (4.0, 17.5), (4.0, 20.0), (7.5, 10.0), (7.5, 20.0))
]
