"""Gas let out into a room over time, gas by gas, with little and much fresh air beside it."""

import numpy as np

from marshlight.answers.asked import Asked
from marshlight.answers.room_words import room_of, shares_in
from marshlight.answers.series import Chart, Guide, Line, Points, Table, View
from marshlight.decide.safety import Room, room_release, share_after
from marshlight.decide.safety.exposure import NAMES
from marshlight.decide.safety.room import RoomGas
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR
from marshlight.units import number

# Air changes set beside the room's own: an open window or two; our choice.
_AIRED = 6.0
# After five of its own time constants a room holds what it will hold; shown up to this [h].
_TIMES, _LONGEST_H, _SHUT_H = 5.0, 72.0, 8.0
_STEPS, _ROWS = 48, 8
_ORDER = ("H2S", "CH4", "CO2", "O2")
_UNITS = {"H2S": ("ppm", 1e6), "CH4": ("ppm", 1e6), "CO2": ("ppm", 1e6), "O2": ("%", 100.0)}


def room_chart(asked: Asked, span: tuple[float, float]) -> Chart:
    """Draw what a leak does to a room's air.

    Parameters
    ----------
    asked : Asked
        Room, leak and hydrogen sulphide.
    span : tuple of float
        Methane share of the gas, low and high [-].

    Returns
    -------
    Chart
        One view a gas, with its limit.

    Raises
    ------
    InputError
        If the leak is larger than the room takes.
    """
    room, shares = room_of(asked), shares_in(asked, span)
    leak = asked.number("leak") / 24.0
    lines = {row.gas: row for row in room_release(room, leak, shares).gases}
    pace = (leak + room.ventilation_m3_h) / room.volume_m3
    lasts = min(_TIMES / pace, _LONGEST_H) if pace > 0.0 else _SHUT_H
    hours = np.linspace(0.0, lasts, _STEPS + 1)
    views = [
        _view(lines[gas], room, leak, shares.get(gas, 1.0), hours)
        for gas in _ORDER
        if gas in lines
    ]  # fmt: skip
    return Chart("room", "The room's air while it leaks", tuple(views), x_unit="hours")


def _course(room: Room, leak_m3_h: float, gas: str, share: float, hours: np.ndarray) -> list[float]:
    """Give the share of a gas over time; oxygen is what the gas pushes out."""
    part = [share_after(room, leak_m3_h, share=share, hours=float(h)) for h in hours]
    if gas != "O2":
        return part
    return [OXYGEN_SHARE_OF_AIR * (1.0 - pushed) for pushed in part]


def _view(line: RoomGas, room: Room, leak_m3_h: float, share: float, hours: np.ndarray) -> View:
    unit, times = _UNITS[line.gas]
    of = 1.0 if line.gas == "O2" else share
    own = [times * x for x in _course(room, leak_m3_h, line.gas, of, hours)]
    airy = Room(room.volume_m3, _AIRED)
    aired = [times * x for x in _course(airy, leak_m3_h, line.gas, of, hours)]
    days = [round(float(h), 4) for h in hours]
    limit = times * line.limit
    name = "Oxygen" if line.gas == "O2" else NAMES[line.gas].capitalize()
    picked = range(0, len(days), max(1, len(days) // _ROWS))
    own_words = f"{room.changes_per_h:g} changes an hour"
    return View(
        key=line.gas.lower(),
        name={"H2S": "H₂S", "CH4": "CH₄", "CO2": "CO₂", "O2": "O₂"}[line.gas],
        unit=unit,
        sentence=f"{name} after {days[-1]:.0f} hours: {number(own[-1])} {unit} with {own_words},"
        f" {number(aired[-1])} {unit} with {_AIRED:g}; limit {number(limit)} {unit}"
        f" ({line.limit_words}).",
        table=Table(
            f"{name}, {unit}",
            ("hours", own_words, f"{_AIRED:g} changes an hour"),
            tuple((f"{days[i]:.1f}", number(own[i]), number(aired[i])) for i in picked),
        ),
        points=(Points(f"{_AIRED:g} changes", days[::4], [round(x, 6) for x in aired[::4]]),),
        line=Line(own_words, days, [round(x, 6) for x in own]),
        guides=(Guide(round(limit, 6), f"limit {number(limit)} {unit}"),),
        from_zero=line.gas != "O2",
        digits=2,
    )
