"""The temperature to come as a band, and the heater's duty."""

from collections.abc import Mapping

import numpy as np

from marshlight.answers.heat_parts import end_words
from marshlight.answers.heat_reading import HeatSetUp
from marshlight.answers.series import Bands, Chart, Guide, Line, Points, Table, View
from marshlight.notebook.bridge import Series
from marshlight.process.heated import HeatForecast
from marshlight.units import in_unit, number, show, shown_unit

_FULL_DUTY = 0.999


def heat_chart(
    set_up: HeatSetUp,
    seen: HeatForecast,
    *,
    system: str,
    today: float,
    read: Mapping[str, Series] | None = None,
) -> Chart:
    """Draw the temperature to come as a band, and the heater's duty."""
    unit = "degF" if system == "us" else "degC"

    def shown(values: np.ndarray) -> list[float]:
        return [round(in_unit(float(v), unit, "temperature"), 2) for v in values]

    days = [round(float(d), 4) for d in seen.day]
    band, aim = seen.slurry_c, set_up.heater.set_point_c
    guides = ()
    if aim is not None:
        words = f"thermostat at {show(aim, 'temperature', system=system)}"
        guides = (Guide(round(in_unit(aim, unit, "temperature"), 2), words),)
    span = end_words(seen, system=system)
    warm = View(
        key="temperature",
        name="Temperature",
        unit=shown_unit(unit),
        sentence=f"Slurry in {set_up.days:.0f} days: {span} (19 in 20).",
        table=_course_table(seen, unit),
        points=_readings(read, unit),
        line=Line("most likely", days, shown(band.median)),
        bands=Bands(days, *(shown(b) for b in (band.low95, band.low50, band.high50, band.high95))),
        guides=guides,
        from_zero=False,
    )
    views = [warm]
    if set_up.heater.kind not in ("none", "sun"):
        views.append(_duty_view(seen, days))
    return Chart("heat", "Temperature and heater", tuple(views), today=today)


def _readings(read: Mapping[str, Series] | None, unit: str) -> tuple[Points, ...]:
    rows = None if read is None else read.get("slurry_temperature")
    if rows is None or not rows.day.size:
        return ()
    recent = rows.day > rows.day[-1] - 14.0
    return (
        Points(
            "read",
            [round(float(d), 4) for d in rows.day[recent]],
            [round(in_unit(float(v), unit, "temperature"), 2) for v in rows.value[recent]],
        ),
    )


def _duty_view(seen: HeatForecast, days: list[float]) -> View:
    def percent(values: np.ndarray) -> list[float]:
        return [round(100.0 * float(v), 2) for v in values]

    duty, ends = seen.duty, days[1:]
    mean = float(np.mean(duty.median))
    busy = float(np.mean(duty.median > _FULL_DUTY))
    words = f"The heater is on {100 * mean:.0f} % of the time."
    if busy > 0.02:
        words += (
            f" For {100 * busy:.0f} % of the time it is on without a pause and can give no more."
        )
    rows = tuple(
        (f"{day:.2f}", f"{100 * float(m):.0f}", f"{100 * float(a):.0f} to {100 * float(b):.0f}")
        for day, m, a, b in zip(
            ends[::4], duty.median[::4], duty.low95[::4], duty.high95[::4], strict=True
        )
    )
    return View(
        key="duty",
        name="Heater",
        unit="% of the time",
        sentence=words,
        table=Table("Heater on, % of the time", ("day", "most likely", "19 in 20"), rows),
        line=Line("most likely", ends, percent(duty.median)),
        bands=Bands(
            ends, *(percent(b) for b in (duty.low95, duty.low50, duty.high50, duty.high95))
        ),
    )


def _course_table(seen: HeatForecast, unit: str) -> Table:
    band = seen.slurry_c
    rows = []
    for i in range(0, seen.day.size, max(1, seen.day.size // 60)):
        low, middle, high = (
            number(in_unit(float(v[i]), unit, "temperature"))
            for v in (band.low95, band.median, band.high95)
        )
        rows.append((f"{seen.day[i]:.2f}", middle, f"{low} to {high}"))
    caption = f"Slurry temperature, {shown_unit(unit)}"
    return Table(caption, ("day", "most likely", "19 in 20"), tuple(rows))
