"""The demonstration's trial bottles, read by pressure, and its barrel, read at a bag."""

from collections.abc import Iterator

import numpy as np

from marshlight.demo.course import Course, Floats
from marshlight.demo.keeper import Entry
from marshlight.matter import dry_normal_factor

BATH_C = 37.0
HEADSPACE_M3 = 0.4e-3
_ANALYSED = (1, 2, 3, 4, 5, 7, 9, 11, 15, 20, 27)


def pressure_log(
    course: Course, times: Floats, rng: np.random.Generator, *, bath_c: float = BATH_C
) -> Iterator[Entry]:
    """Read a sealed bottle's pressure in its bath and let it off each time."""
    air = float(course.at("air_kpa", 0.0))
    held, before = _held(bath_c, air), 0.0
    for time in times:
        air = float(course.at("air_kpa", time))
        held += float(course.at("caught_m3", time) - course.at("caught_m3", before))
        # Dry normal gas in a fixed space is a straight line in its pressure.
        empty, slope = _held(bath_c, 100.0), _held(bath_c, 101.0) - _held(bath_c, 100.0)
        gauge = 100.0 + (held - empty) / slope - air
        yield Entry(time, "reading", "pressure", f"{gauge + rng.normal(0.0, 0.15):.1f} kPa")
        yield Entry(time, "reading", "barometer", f"{air * 10:.0f} hPa")
        yield Entry(
            time, "reading", "slurry_temperature", f"{bath_c + rng.normal(0, 0.1):.1f} degC"
        )
        yield Entry(time + 1e-3, "event", "gas_vented")
        held, before = _held(bath_c, air), float(time)


def gas_log(
    course: Course,
    times: Floats,
    methane: float,
    rng: np.random.Generator,
    *,
    bath_c: float = BATH_C,
) -> Iterator[Entry]:
    """Read a hand-held analyser before gas is let off: what was made, and the air still leaving."""
    air_share, before = 1.0, 0.0
    for time in times:
        space = _held(bath_c, float(course.at("air_kpa", time)))
        made = float(course.at("caught_m3", time) - course.at("caught_m3", before))
        air_share *= space / (space + made)
        before = float(time)
        if round(before) not in _ANALYSED:
            continue
        gas = 1.0 - air_share
        shown = [max(x * gas + rng.normal(0.0, 0.003), 0.0) for x in (methane, 1.0 - methane)]
        yield Entry(
            before + 5e-4, "reading", "analyser", f"{shown[0] * 100:.1f} %",
            {"carbon_dioxide": f"{shown[1] * 100:.1f} %"},
        )  # fmt: skip


def _held(bath_c: float, pressure_kpa: float) -> float:
    return HEADSPACE_M3 * float(dry_normal_factor(bath_c, pressure_kpa))


def bag_log(course: Course, rng: np.random.Generator, *, capacity_m3: float) -> Iterator[Entry]:
    """Judge the bag by eye each evening there is something to cook, then burn most of it."""
    in_bag, before = 0.0, 0.0
    for whole in range(1, int(course.day[-1]) + 1):
        time = whole + 0.42 + rng.normal(0.0, 0.01)
        if time > course.day[-1]:
            return
        room, air = float(course.at("room_c", time)), float(course.at("air_kpa", time))
        moist = float(dry_normal_factor(room, air))
        in_bag += float(course.at("caught_m3", time) - course.at("caught_m3", before)) / moist
        before = time
        in_bag = min(in_bag, capacity_m3)
        if in_bag < 0.35 * capacity_m3 and rng.random() < 0.6:
            continue
        seen = max(in_bag * (1.0 + rng.normal(0.0, 0.05)) * 1e3, 1.0)
        yield Entry(time, "reading", "volume", f"{min(round(seen / 5) * 5, 300)} L")
        yield Entry(time, "reading", "gas_temperature", f"{room:.0f} degC")
        if in_bag > 0.3 * capacity_m3:
            in_bag = 0.02 * capacity_m3
            left = {"volume_left": f"{in_bag * 1e3:.0f} L"}
            yield Entry(time + 0.01, "event", "holder_emptied", detail=left, note="cooked supper")


def fed_chemistry(course: Course, rng: np.random.Generator) -> Iterator[Entry]:
    """Read the barrel's temperature twice a week and its pH once a week."""
    for day in np.arange(0.5, float(course.day[-1]), 3.5):
        slurry = float(course.at("slurry_c", day)) + rng.normal(0.0, 0.3)
        yield Entry(float(day), "reading", "slurry_temperature", f"{slurry:.1f} degC")
    for day in np.arange(2.5, float(course.day[-1]), 7.0):
        strip = round((float(course.at("ph", day)) + rng.normal(0.0, 0.08)) * 4) / 4
        yield Entry(float(day), "reading", "ph", f"{strip:g}")
        share = float(course.at("methane", day))
        answer = "holds" if share > 0.48 else "lights_and_dies"
        yield Entry(float(day) + 0.01, "reading", "flame", detail={"answer": answer})
