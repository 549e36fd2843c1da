"""The outlook of a run as charts: what was read, what its lives did, and what they will do."""

from collections.abc import Sequence
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.series import Bands, Chart, Line, Mark, Points, Table, View
from marshlight.decide.watch.calibration import Counted, Lives, Read, RunLog, dry_gas, past
from marshlight.decide.watch.outlook import SOUR_PH, Outlook
from marshlight.process.bands import Band, band
from marshlight.units import choose_unit, in_unit, number, show_range, shown_unit

Floats = NDArray[np.float64]
_K95 = 1.96
# So many days of the past are drawn at most one step apart.
_MOST_STEPS = 120


def outlook_charts(
    lives: Lives, log: RunLog, seen: Outlook, *, marks: Sequence[Mark], system: str
) -> tuple[Chart, ...]:
    """Draw gas, methane, pH and acids from the charge to the last day ahead.

    Parameters
    ----------
    lives, log : Lives, RunLog
        As calibrated.
    seen : Outlook
        What lies ahead.
    marks : sequence of Mark
        Events on the common timeline.
    system : str
        "metric" or "us".

    Returns
    -------
    tuple of Chart
        Gas first.
    """
    before = _before(lives, log)
    today = round(float(seen.day[0]), 3)
    gas = _gas_chart(log.gas, before, seen, system)
    ph = _chart(
        "outlook-ph", "pH", "pH", _joined(before, seen, "ph"), read=log.ph, digits=1,
        said=f"In the shaded range with 50 and 95 %; below {SOUR_PH} methane formers hardly work.",
    )  # fmt: skip
    methane = _chart(
        "outlook-methane", "Methane in the gas", "%", _joined(before, seen, "methane"),
        read=log.methane, digits=0, factor=100.0,
        said="Of the dry gas above the liquid. It says nothing on whether it is safe to light.",
    )  # fmt: skip
    acids = _chart(
        "outlook-acids", "Acids", "g/L", _joined(before, seen, "acids_kg_m3"), read=log.acids,
        digits=2, said="Volatile acids as acetic acid (VFA).",
    )  # fmt: skip
    # A titration's alkalinity counts part of the acids too: it is not drawn on the bicarbonate.
    buffer = _chart(
        "outlook-buffer", "Buffer", "g/L", _joined(before, seen, "alkalinity_kg_m3"), read=None,
        digits=1, said="Bicarbonate alkalinity as CaCO₃: what holds the pH when acids come.",
    )  # fmt: skip
    chemistry = ("outlook-acids", "Acids and buffer", (*acids[2], *buffer[2]))
    return tuple(
        Chart(key, title, views, tuple(marks), today, short=key != "outlook-gas")
        for key, title, views in (gas, ph, methane, chemistry)
    )


Joined = tuple[Floats, Band]
Parts = tuple[str, str, tuple[View, ...]]


def _before(lives: Lives, log: RunLog) -> dict[str, Joined]:
    """Run the lives over the days gone by; nothing before the first day."""
    if log.today < 0.5:
        return {}
    steps = int(min(max(np.ceil(log.today), 2.0), _MOST_STEPS))
    day = np.linspace(0.0, log.today, steps + 1)
    run = past(lives, log, days=day)
    seen = (lives.of("gas_scale") * (1.0 - lives.of("leak")))[:, None]
    daily = np.diff(dry_gas(run) * seen, axis=1) / np.diff(day)
    return {
        "daily_m3": (day[1:], band(daily)),
        "methane": (day, band(run.share("methane"))),
        "ph": (day, band(run["pH"])),
        "acids_kg_m3": (day, band(run.acids_kg_m3)),
        "alkalinity_kg_m3": (day, band(run.bicarbonate_alkalinity_kg_m3)),
    }


def _joined(before: dict[str, Joined], seen: Outlook, name: str) -> Joined:
    """Put the days gone by before those to come."""
    first = 1 if name == "daily_m3" or name in before else 0
    ahead_day, ahead_band = seen.day[first:], _cut(getattr(seen, name), first)
    if name not in before:
        return ahead_day, ahead_band
    day, gone = before[name]
    whole = (
        np.concatenate([getattr(gone, f.name), getattr(ahead_band, f.name)]) for f in fields(Band)
    )
    return np.concatenate([day, ahead_day]), Band(*whole)


def _cut(found: Band, first: int) -> Band:
    return Band(*(getattr(found, f.name)[first:] for f in fields(Band)))


def _gas_chart(gas: Counted | None, before: dict[str, Joined], seen: Outlook, system: str) -> Parts:
    day, daily = _joined(before, seen, "daily_m3")
    most = float(np.max([np.max(daily.median), *([] if gas is None else _rates(gas)[2])]))
    unit = choose_unit(max(most, 1e-9), "flow", system=system)
    points: tuple[Points, ...] = ()
    if gas is not None:
        start, end, rate, u, least = _rates(gas)
        points = (
            Points(
                "measured",
                _plain(end),
                _in(rate, unit),
                _in(np.maximum(rate - _K95 * u, 0.0), unit),
                _in(rate + _K95 * u, unit),
                start=_plain(start),
                at_least=[bool(x) for x in least],
            ),
        )
    low, high = float(seen.gas_m3.low95[-1]), float(seen.gas_m3.high95[-1])
    over = show_range(low, high, "volume", system=system)
    view = View(
        key="daily",
        name="Per day",
        unit=shown_unit(unit),
        sentence=f"{over} in the next {seen.ahead_d:.0f} days (19 in 20), as the holder shows it.",
        table=_table(seen.day[1:], _cut(seen.daily_m3, 1), in_unit(1.0, unit, "flow"),
                     f"Gas per day, {shown_unit(unit)}, dry normal"),
        points=points,
        line=Line("most likely", _plain(day), _in(daily.median, unit)),
        bands=Bands(_plain(day), *(_in(getattr(daily, e), unit) for e in _EDGES)),
        digits=2 if in_unit(most, unit, "flow") < 10.0 else 1,
    )  # fmt: skip
    return "outlook-gas", "Gas per day", (view,)


_EDGES = ("low95", "low50", "high50", "high95")
# Shorter intervals say more of the ruler than of the gas.
_SHORTEST_D = 0.4


def _rates(gas: Counted) -> tuple[Floats, Floats, Floats, Floats, NDArray[np.bool_]]:
    """Join short intervals to half a day at least, and give the mean rate of each."""
    rows: list[list[float]] = []
    for start, end, amount, u, least in zip(
        gas.start_d, gas.end_d, gas.gas_m3, gas.u_m3, gas.at_least, strict=True
    ):
        grows = bool(rows) and rows[-1][1] - rows[-1][0] < _SHORTEST_D
        if grows and start <= rows[-1][1] + 1e-6:
            last = rows[-1]
            rows[-1] = [last[0], end, last[2] + amount, float(np.hypot(last[3], u)),
                        max(last[4], float(least))]  # fmt: skip
        else:
            rows.append([start, end, amount, u, float(least)])
    first, last_d, total, doubt, below = np.array(rows).T
    span = last_d - first
    return first, last_d, total / span, doubt / span, below > 0.0


def _chart(
    key: str,
    title: str,
    unit: str,
    joined: Joined,
    *,
    read: Read | None,
    digits: int,
    said: str,
    factor: float = 1.0,
) -> Parts:
    day, found = joined
    points: tuple[Points, ...] = ()
    if read is not None and len(read):
        half = np.maximum(_K95 * read.u, 0.5 * read.step)
        points = (
            Points("measured", _plain(read.day), _rounded(factor * read.value),
                   _rounded(factor * np.maximum(read.value - half, 0.0)),
                   _rounded(factor * (read.value + half))),
        )  # fmt: skip
    view = View(
        key=key,
        name=title,
        unit=unit,
        sentence=said,
        table=_table(day, found, factor, title if unit == title else f"{title}, {unit}"),
        points=points,
        line=Line("most likely", _plain(day), _rounded(factor * found.median)),
        bands=Bands(_plain(day), *(_rounded(factor * getattr(found, e)) for e in _EDGES)),
        from_zero=unit != "pH",
        digits=digits,
    )
    return key, title, (view,)


def _table(day: Floats, found: Band, factor: float, caption: str) -> Table:
    rows = tuple(
        (f"{d:.0f}", number(factor * m), f"{number(factor * a)} to {number(factor * b)}")
        for d, m, a, b in zip(day, found.median, found.low95, found.high95, strict=True)
    )
    return Table(caption, ("day", "most likely", "95 %"), rows)


def _plain(values: Floats) -> list[float]:
    return [round(float(v), 3) for v in values]


def _rounded(values: Floats) -> list[float]:
    return [round(float(v), 4) for v in values]


def _in(values: Floats, unit: str) -> list[float]:
    return [round(in_unit(float(v), unit, "flow"), 4) for v in values]
