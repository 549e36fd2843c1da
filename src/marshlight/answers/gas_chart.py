"""The gas curve of a run: what was counted, what is expected, total and per day."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.series import (
    MOST_ROWS,
    Bands,
    Chart,
    Line,
    Mark,
    Points,
    Table,
    View,
    thin,
)
from marshlight.measure import GasLedger
from marshlight.process import Forecast
from marshlight.units import (
    choose_unit,
    in_unit,
    number,
    show,
    show_estimate,
    show_range,
    shown_unit,
)

Floats = NDArray[np.float64]
# A mean over less than this says more about the ruler than about the gas.
_SHORTEST_MEAN_D = 0.4
_WHOLE_DAY_D = 0.9
_K95 = 1.96
_PER_DAY = "Gas per day, {}, dry normal"
_PER_DAY_HEAD = ("days", "mean", "95 %")


def gas_chart(
    ledger: GasLedger | None,
    forecast: Forecast | None,
    *,
    marks: Sequence[Mark],
    today: float | None,
    fed: bool = False,
    system: str = "metric",
) -> Chart | None:
    """Draw the gas of a run, total first, then per day.

    Parameters
    ----------
    ledger : GasLedger or None
        What was counted; None before the first reading.
    forecast : Forecast or None
        What the model says, before and after today; None where nothing can be said.
    marks : sequence of Mark
        Events on the timeline.
    today : float or None
        Day of the run now [d]; None for a run that has ended.
    fed : bool
        Whether it is fed again and again: the forecast then holds for no further feed.
    system : str
        "metric" or "us".

    Returns
    -------
    Chart or None
        None where there is neither gas nor a forecast.
    """
    if ledger is None and forecast is None:
        return None
    ledger = _nothing_counted() if ledger is None else ledger
    return Chart(
        key="gas",
        title="Gas",
        views=(
            _total_view(ledger, forecast, fed=fed, system=system),
            _daily_view(ledger, forecast, system=system),
        ),
        marks=tuple(marks),
        today=today,
    )


def _nothing_counted() -> GasLedger:
    """Give a ledger without a single point, so that an expectation can be drawn alone."""
    none = np.zeros(0)
    never = np.zeros(0, dtype=np.bool_)
    return GasLedger(none, none, none, none, none, never, none, none, none, (), 0.0, none, never)


def _total_view(ledger: GasLedger, forecast: Forecast | None, *, fed: bool, system: str) -> View:
    most = ledger.total.value if forecast is None else float(np.max(forecast.cumulative.median))
    unit = choose_unit(max(most, 1e-9), "volume", system=system)
    picked = list(thin(ledger.day.size))
    value, u = ledger.cumulative_m3[picked], ledger.u_m3[picked]
    points = Points(
        label="measured",
        day=_plain(ledger.day[picked]),
        value=_in(value, unit, "volume"),
        low=_in(np.maximum(value - _K95 * u, 0.0), unit, "volume"),
        high=_in(value + _K95 * u, unit, "volume"),
        # Marked where gas went unseen; every later total is "at least" as well, as the table says.
        at_least=[bool(b) for b in ledger.interval_lower_bound[picked]],
    )
    band = None if forecast is None else forecast.cumulative
    digits = _digits(in_unit(most, unit, "volume"))
    return View(
        key="total",
        name="Total",
        unit=shown_unit(unit),
        sentence=_total_sentence(ledger, forecast, system, fed=fed),
        table=_total_table(ledger, unit),
        points=(points,),
        line=_line(forecast, None if band is None else band.median, unit, "volume"),
        bands=_bands(forecast, band, unit, "volume"),
        digits=digits,
    )


def _daily_view(ledger: GasLedger, forecast: Forecast | None, *, system: str) -> View:
    start, end, rate, u, at_least = _daily_means(ledger)
    known = [*rate, *([] if forecast is None else forecast.daily.median)]
    most = max(known, default=0.0)
    unit = choose_unit(max(most, 1e-9), "flow", system=system)
    picked = list(thin(start.size))
    value, spread = rate[picked], u[picked]
    points = Points(
        label="measured",
        day=_plain(end[picked]),
        value=_in(value, unit, "flow"),
        low=_in(np.maximum(value - _K95 * spread, 0.0), unit, "flow"),
        high=_in(value + _K95 * spread, unit, "flow"),
        start=_plain(start[picked]),
        at_least=[bool(b) for b in at_least[picked]],
    )
    band = None if forecast is None else forecast.daily
    rows = tuple(
        (
            f"{a:.1f} to {b:.1f}",
            f"{'at least ' if least else ''}{number(in_unit(v, unit, 'flow'))}",
            f"± {number(in_unit(_K95 * s, unit, 'flow'), 2)}",
        )
        for a, b, v, s, least in zip(start, end, rate, u, at_least, strict=True)
    )
    return View(
        key="daily",
        name="Per day",
        unit=shown_unit(unit),
        sentence=_daily_sentence(rate, u, forecast, system),
        table=Table(_PER_DAY.format(shown_unit(unit)), _PER_DAY_HEAD, rows[-MOST_ROWS:]),
        points=(points,),
        line=_line(forecast, None if band is None else band.median, unit, "flow"),
        bands=_bands(forecast, band, unit, "flow"),
        digits=_digits(in_unit(most, unit, "flow")),
    )


def _daily_means(ledger: GasLedger) -> tuple[Floats, Floats, Floats, Floats, NDArray[np.bool_]]:
    """Average over stretches of about a day or more between readings."""
    kept = [0] if ledger.day.size else []
    for i in range(1, ledger.day.size):
        if ledger.day[i] - ledger.day[kept[-1]] >= _WHOLE_DAY_D or (
            i == ledger.day.size - 1 and ledger.day[i] - ledger.day[kept[-1]] >= _SHORTEST_MEAN_D
        ):
            kept.append(i)
    at = np.array(kept, dtype=np.int64)
    days, total = ledger.day[at], ledger.cumulative_m3[at]
    spans = np.diff(days)
    rate = np.diff(total) / spans
    # Neighbouring intervals err in opposite ways, so that their sum in quadrature is on the safe
    # side; the cumulative doubt would grow with the age of the run.
    squares = np.cumsum(np.square(ledger.interval_u_m3))
    spread = np.sqrt(np.diff(squares[at])) / spans
    seen = ledger.interval_lower_bound
    least = np.array([bool(np.any(seen[a + 1 : b + 1])) for a, b in pairwise(kept)], dtype=np.bool_)
    return days[:-1], days[1:], rate, spread, least


def _line(
    forecast: Forecast | None, values: Floats | None, unit: str, quantity: str
) -> Line | None:
    if forecast is None or values is None:
        return None
    return Line("most likely", _plain(forecast.day), _in(values, unit, quantity))


def _bands(forecast: Forecast | None, band: object, unit: str, quantity: str) -> Bands | None:
    if forecast is None or band is None:
        return None
    edges = (getattr(band, name) for name in ("low95", "low50", "high50", "high95"))
    return Bands(_plain(forecast.day), *(_in(edge, unit, quantity) for edge in edges))


def _total_sentence(ledger: GasLedger, forecast: Forecast | None, system: str, *, fed: bool) -> str:
    if ledger.day.size < 2:
        seen = "No gas has been read yet."
    else:
        least = "At least " if bool(ledger.lower_bound[-1]) else ""
        seen = f"{least}{show_estimate(ledger.total, 'volume', system=system)} of gas so far."
    if forecast is None:
        return seen
    last = float(forecast.day[-1])
    low, high = float(forecast.cumulative.low95[-1]), float(forecast.cumulative.high95[-1])
    later = show_range(max(low, 0.0), high, "volume", system=system, digits=3)
    unless = " if it is not fed again" if fed else ""
    return f"{seen} By day {last:.0f}, {later} is expected{unless} (19 in 20)."


def _daily_sentence(rate: Floats, u: Floats, forecast: Forecast | None, system: str) -> str:
    parts = []
    if rate.size:
        parts.append(f"{show(max(float(rate[-1]), 0.0), 'flow', system=system)} at the last look.")
    if forecast is not None:
        parts.append(_peak_words(forecast))
    return " ".join(parts) or "Not enough readings for a daily figure yet."


def _peak_words(forecast: Forecast) -> str:
    """Say when the most gas of a day came, or is still to come."""
    peak = forecast.peak_day
    low, high = round(peak.low), round(peak.high)
    when = "came" if peak.high <= forecast.from_day else "is expected"
    if high <= 1:
        return f"The most in a day {when} on the first day."
    if low == high:
        return f"The most in a day {when} on day {high}."
    return f"The most in a day {when} about day {peak.value:.0f} ({low} to {high})."


def _total_table(ledger: GasLedger, unit: str) -> Table:
    rows = tuple(
        (
            f"{ledger.day[i]:.2f}",
            f"{'at least ' if ledger.lower_bound[i] else ''}"
            f"{number(in_unit(float(ledger.cumulative_m3[i]), unit, 'volume'))}",
            f"± {number(in_unit(_K95 * float(ledger.u_m3[i]), unit, 'volume'), 2)}",
        )
        for i in thin(ledger.day.size, MOST_ROWS)
    )
    return Table(f"Gas so far, {shown_unit(unit)}, dry normal", ("day", "total", "95 %"), rows)


def _digits(most: float) -> int:
    return 0 if most >= 100 else 1 if most >= 5 else 2


def _plain(values: Floats) -> list[float]:
    return [round(float(v), 4) for v in values]


def _in(values: Floats, unit: str, quantity: str) -> list[float]:
    """Convert for drawing; five significant digits are more than a screen can show."""
    return [float(f"{in_unit(float(v), unit, quantity):.5g}") for v in values]
