"""What the demonstration's keeper reads and does: true gas turned into levels, with their doubt."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from marshlight.apparatus import FloatingCylinder
from marshlight.demo.course import Course, Floats
from marshlight.matter import dry_normal_factor

_STEPS = 60


@dataclass(frozen=True)
class Entry:
    """One thing written down: family "reading" or "event", day of the run, text as typed."""

    day: float
    family: str
    kind: str
    value: str = ""
    detail: dict[str, Any] = field(default_factory=dict)
    note: str = ""


def visits(days: float, rng: np.random.Generator, *, busy: tuple[float, float]) -> Floats:
    """Choose when the keeper comes: three times a day while busy, else twice, some missed."""
    times: list[float] = []
    for whole in range(int(days) + 1):
        hours = (7.3, 13.0, 19.0) if busy[0] <= whole <= busy[1] else (7.5, 18.0)
        times += [
            whole + (hour - 8.0) / 24.0 + rng.normal(0.0, 0.01)
            for hour in hours
            if rng.random() > 0.06
        ]
    kept = np.array([t for t in times if 0.05 < t < days])
    return np.round(np.unique(kept) * 1440.0) / 1440.0


@dataclass(frozen=True)
class Bench:
    """A drum with its floating cylinder: gas space [m3] and the cylinder."""

    cylinder: FloatingCylinder
    gas_space_m3: float


def _content(bench: Bench, room_c: float, air_kpa: float) -> tuple[Floats, Floats]:
    """Tabulate dry normal gas in the cylinder against its level."""
    level = np.linspace(0.0, bench.cylinder.travel_m, _STEPS)
    held = bench.cylinder.held(level, way="level", temperature_c=room_c)
    gas = held.volume_m3 * dry_normal_factor(room_c, air_kpa + held.gauge_kpa)
    return level, gas - gas[0]


def cylinder_log(
    course: Course, bench: Bench, times: Floats, rng: np.random.Generator
) -> Iterator[Entry]:
    """Write down what stands at the cylinder at each visit, and empty it when it fills.

    Notes
    -----
    Gas that the vessel's own gas space takes up or gives off as it warms and cools moves the
    cylinder too, as it does in a shed. A cylinder at its stop lets the rest bubble out.
    """
    in_cylinder, before = 0.0, 0.0
    space = _space(course, bench, 0.0)
    for time in times:
        room, air = float(course.at("room_c", time)), float(course.at("air_kpa", time))
        level, gas = _content(bench, room, air)
        now_space = _space(course, bench, time)
        made = float(course.at("caught_m3", time) - course.at("caught_m3", before))
        in_cylinder = min(max(in_cylinder + made - (now_space - space), 0.0), float(gas[-1]))
        stands = float(np.interp(in_cylinder, gas, level))
        before, space = float(time), now_space
        read = max(round((stands + rng.normal(0.0, 0.0008)) * 1000.0), 0)
        yield Entry(time, "reading", "level", f"{read} mm")
        yield Entry(time, "reading", "gas_temperature", f"{round(2 * room) / 2:g} degC")
        if stands > 0.45 * bench.cylinder.travel_m or (in_cylinder > 0.0 and rng.random() < 0.04):
            left = max(rng.normal(0.006, 0.002), 0.002)
            in_cylinder = float(np.interp(left, level, gas))
            yield Entry(time + 1e-3, "event", "holder_emptied", f"{left * 1000:.0f} mm")


def _space(course: Course, bench: Bench, day: float) -> float:
    """Give the dry normal gas in the vessel's own gas space [m3]."""
    slurry, air = float(course.at("slurry_c", day)), float(course.at("air_kpa", day))
    return bench.gas_space_m3 * float(dry_normal_factor(slurry, air))


def chemistry_log(
    course: Course, rng: np.random.Generator, *, every_d: float = 3.0, strips: float = 0.25
) -> Iterator[Entry]:
    """Write down temperatures, pH strips and flame tests as a careful keeper would."""
    last = float(course.day[-1])
    for whole in range(int(last) + 1):
        day = whole + 0.02
        if day > last:
            break
        slurry = float(course.at("slurry_c", day)) + rng.normal(0.0, 0.3)
        yield Entry(day, "reading", "slurry_temperature", f"{slurry:.1f} degC")
        air = float(course.at("air_kpa", day))
        yield Entry(day, "reading", "barometer", f"{air * 10:.0f} hPa")
        if whole % every_d < 1.0:
            true = float(course.at("ph", day)) + rng.normal(0.0, 0.08)
            yield Entry(day + 0.01, "reading", "ph", f"{round(true / strips) * strips:g}")
        if whole % 4 == 2:
            yield Entry(
                day + 0.012, "reading", "flame", detail={"answer": _flame(course, day, rng)}
            )


def _flame(course: Course, day: float, rng: np.random.Generator) -> str:
    share = float(course.at("methane", day)) + rng.normal(0.0, 0.02)
    if share < 0.38:
        return "will_not_light"
    return "lights_and_dies" if share < 0.48 else "holds"
