"""Temperature, pH and gas make-up over a run, as charts of what was read."""

from collections.abc import Mapping, Sequence

from marshlight.answers.series import MOST_ROWS, Chart, Guide, Mark, Points, Table, View, thin
from marshlight.estimate import Range
from marshlight.notebook.bridge import Series
from marshlight.units import in_unit, number, show, show_range, shown_unit

# Common practice, no source: acid-formers outrun methane-formers below this.
LOW_PH = 6.8
_TEMPERATURES = (
    ("slurry_temperature", "slurry"),
    ("gas_temperature", "gas"),
    ("room_temperature", "room"),
)
Rows = Mapping[str, Series]


def temperature_chart(
    rows: Rows,
    *,
    set_point_c: float | None,
    marks: Sequence[Mark],
    today: float | None,
    system: str,
) -> Chart | None:
    """Draw what thermometers showed; None if none was read."""
    unit = "degF" if system == "us" else "degC"
    points = tuple(
        _points(rows[kind], words, unit, "temperature")
        for kind, words in _TEMPERATURES
        if kind in rows
    )
    if not points:
        return None
    guides = ()
    if set_point_c is not None:
        shown = show(set_point_c, "temperature", system=system)
        guides = (Guide(in_unit(set_point_c, unit, "temperature"), f"thermostat at {shown}"),)
    view = View(
        key="temperature",
        name="Temperature",
        unit=shown_unit(unit),
        sentence=_temperature_sentence(rows, system),
        table=_table(rows, _TEMPERATURES, unit, "temperature"),
        points=points,
        guides=guides,
        from_zero=False,
    )
    return Chart("temperature", "Temperature", (view,), tuple(marks), today, short=True)


def ph_chart(rows: Rows, *, marks: Sequence[Mark], today: float | None) -> Chart | None:
    """Draw the pH readings; None if there are none."""
    if "ph" not in rows:
        return None
    values = rows["ph"].value
    view = View(
        key="ph",
        name="pH",
        unit="pH",
        sentence=f"pH {values[-1]:.1f} at the last look; {values.min():.1f} to {values.max():.1f} "
        "over the run.",
        table=_table(rows, (("ph", "pH"),), "pH", "ph"),
        points=(_points(rows["ph"], "pH", "pH", "ph"),),
        guides=(Guide(LOW_PH, f"{LOW_PH}: souring likely below"),),
        from_zero=False,
    )
    return Chart("ph", "pH", (view,), tuple(marks), today, short=True)


def methane_words(methane: Range | None) -> str:
    """Say how much methane the gas holds, as an interval."""
    if methane is None:
        return "not known yet: a flame test would say more"
    return f"{100 * methane.low:.0f} to {100 * methane.high:.0f} %"


def _points(rows: Series, words: str, unit: str, quantity: str) -> Points:
    picked = list(thin(rows.day.size))
    return Points(
        label=words,
        day=[round(float(day), 4) for day in rows.day[picked]],
        value=[round(in_unit(float(v), unit, quantity), 2) for v in rows.value[picked]],
    )


def _temperature_sentence(rows: Rows, system: str) -> str:
    kind = next(kind for kind, _ in _TEMPERATURES if kind in rows)
    words = dict(_TEMPERATURES)[kind]
    values = rows[kind].value
    last = show(float(values[-1]), "temperature", system=system)
    low, high = float(values.min()), float(values.max())
    over = show_range(low, high, "temperature", system=system)
    return f"{words.capitalize()} {last} at the last look; {over} over the run."


def _table(rows: Rows, kinds: Sequence[tuple[str, str]], unit: str, quantity: str) -> Table:
    lines = [
        (float(day), words, number(in_unit(float(value), unit, quantity)))
        for kind, words in kinds
        if kind in rows
        for day, value in zip(*_last(rows[kind]), strict=True)
    ]
    lines.sort()
    return Table(
        f"Readings, {shown_unit(unit) or unit}",
        ("day", "of", "read"),
        tuple((f"{day:.2f}", words, text) for day, words, text in lines),
    )


def _last(rows: Series) -> tuple[list[float], list[float]]:
    return rows.day[-MOST_ROWS:].tolist(), rows.value[-MOST_ROWS:].tolist()
