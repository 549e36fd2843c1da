"""Gas let out into a room, as a section: what it reaches, what binds first, how much air."""

from marshlight.answers.asked import Asked, Question
from marshlight.answers.told import Figure, Section, figure
from marshlight.decide.safety import Room, RoomGas, room_release, share_after, steady_share
from marshlight.decide.safety.exposure import NAMES, USUAL_H2S
from marshlight.matter.gas import OXYGEN_SHARE_OF_AIR
from marshlight.notebook.models import Site
from marshlight.units import show

_AIRED = (0.2, 1.0, 6.0)
ROOM_QUESTIONS = (
    Question("room", "room the gas would leak into", "volume", "m3", "30 m3", low=0.1, high=1e6),
    Question(
        "changes",
        "air changes of that room",
        "dimensionless",
        "1",
        "0.5",
        hint="An hour; a closed room has about half a change.",
        low=0.0,
        high=100.0,
    ),
    Question("leak", "gas that would leak", "flow", "L/h", "10 L/h", low=1e-9, high=24.0 * 1e4),
    Question(
        "h2s",
        "hydrogen sulphide in the gas",
        "fraction",
        "ppm",
        hint="From a tube. Empty: the most that raw gas usually holds, 4000 ppm.",
        low=0.0,
        high=0.05,
    ),
)


def known_room(site: Site, system: str = "metric") -> dict[str, str]:
    """Say what a site's record knows of its room, as it would be typed."""
    known = {}
    if site.room_volume_m3 is not None:
        known["room"] = show(site.room_volume_m3, "volume", system=system)
    if site.room_air_changes is not None:
        known["changes"] = f"{site.room_air_changes:g}"
    return known


def room_of(asked: Asked) -> Room:
    """Give the room that was typed."""
    return Room(asked.number("room"), asked.number("changes"))


def shares_in(asked: Asked, span: tuple[float, float]) -> dict[str, float]:
    """Give what the gas holds at its worst: most methane, most carbon dioxide, and sulphide [-]."""
    typed = asked.values.get("h2s")
    h2s = USUAL_H2S[1] if typed is None else float(typed)
    shares = {"CH4": span[1], "CO2": 1.0 - span[0], "H2S": h2s}
    if shares["CH4"] + shares["CO2"] > 1.0:
        shares["CO2"] = 1.0 - span[1]
    return shares


def room_section(
    asked: Asked, span: tuple[float, float], system: str, *, brief: bool = False
) -> Section:
    """Say what a leak does to a room.

    Parameters
    ----------
    asked : Asked
        Room, leak and hydrogen sulphide.
    span : tuple of float
        Methane share of the gas [-].
    system : str
        "metric" or "us".
    brief : bool
        Without the course over time and other air changes.

    Raises
    ------
    InputError
        If the leak is larger than the room takes.
    """
    room, shares = room_of(asked), shares_in(asked, span)
    typed, h2s = asked.values.get("h2s"), shares["H2S"]
    made = room_release(room, asked.number("leak") / 24.0, shares)
    figures = [_line(row) for row in made.gases]
    if not brief:
        figures += [_at(room, made.gas_m3_h, shares, hours) for hours in (1.0 / 6.0, 1.0, 8.0)]
        figures.append(_aired(room, made.gas_m3_h, h2s))
    figures.append(
        figure(
            "fresh air to keep all within their limits",
            show(24.0 * made.air_needed_m3_h, "flow", system=system, unit="m3/h"),
            "for this leak alone; it doesn't make a leak allowed",
            equation="Q = q (y/C - 1)",
            by="room_dilution",
        )
    )
    first = made.first
    if first.hours is None:
        head = (
            f"In the long run this leak stays below the limits; nearest comes {first.name},"
            f" {100 * first.times_over:.0f} % of its limit. In cupboards, pits and under ceilings"
            " gas gathers and is far stronger: mend every leak."
        )
    else:
        head = f"{first.name.capitalize()} binds first, after {_time(first.hours)}."
    measured = "as given" if typed is not None else "the most that raw gas usually holds"
    return Section(
        "If it leaks into a room",
        tuple(figures),
        before=(head,),
        after=(
            f"Mixed evenly, hydrogen sulphide {1e6 * h2s:.0f} ppm in the gas ({measured}). Your"
            " nose is no alarm.",
        ),
    )


def _line(row: RoomGas) -> Figure:
    if row.gas == "O2":
        value = f"falls to {100 * row.steady:.2f} %, limit {100 * row.limit:.1f} %"
    else:
        value = f"rises to {_ppm(row.steady)}, limit {_ppm(row.limit)}"
    when = "never reached" if row.hours is None else f"reached after {_time(row.hours)}"
    return figure(
        row.name,
        value,
        f"{when}; {row.limit_words}",
        equation="C = q y / (q + Q)",
        by=f"room_dilution {row.source}",
    )


def _at(room: Room, gas_m3_h: float, shares: dict[str, float], hours: float) -> Figure:
    """Say what the room's air holds some time after the leak began."""
    found = {
        gas: share_after(room, gas_m3_h, share=share, hours=hours) for gas, share in shares.items()
    }
    oxygen = OXYGEN_SHARE_OF_AIR * (1.0 - share_after(room, gas_m3_h, share=1.0, hours=hours))
    text = ", ".join(f"{NAMES[gas]} {_ppm(share)}" for gas, share in found.items())
    return figure(
        f"after {_time(hours)}",
        f"{text}, oxygen {100 * oxygen:.2f} %",
        equation="C (1 - e^-(q+Q)t/V)",
        by="room_dilution",
    )


def _aired(room: Room, gas_m3_h: float, h2s: float) -> Figure:
    """Say where hydrogen sulphide ends with less and more fresh air."""
    ends = [
        f"{_ppm(steady_share(Room(room.volume_m3, changes), gas_m3_h, h2s))} with {changes:g}"
        for changes in _AIRED
    ]
    return figure(
        "hydrogen sulphide in the long run, by air changes",
        ", ".join(ends),
        "an hour; an open window gives a few, a fan in the wall six or more",
        equation="C = q y / (q + n V)",
        by="room_dilution practice_air_changes",
    )


def _ppm(share: float) -> str:
    if share >= 0.01:
        return f"{100 * share:.1f} %"
    return f"{1e6 * share:.0f} ppm" if share >= 1e-5 else f"{1e6 * share:.2g} ppm"


def _time(hours: float) -> str:
    if hours < 1.0 / 60.0:
        return "less than a minute"
    if hours < 2.0:
        return f"{60 * hours:.0f} min"
    return f"{hours:.0f} h" if hours < 72.0 else f"{hours / 24:.0f} days"
