"""Two courses of one digester side by side: the same quantities, the same heights."""

from collections.abc import Callable, Mapping

import numpy as np

from marshlight.answers.series import Bands, Chart, Line, Points, Table, View
from marshlight.answers.simulate_words import Floats
from marshlight.decide.watch.steps import Followed
from marshlight.units import choose_unit, in_unit, number, shown_unit

_QUANTILES = (0.025, 0.25, 0.5, 0.75, 0.975)
_HEAD = ("days from now", "middle", "95 % within")
Take = Callable[[Followed], Floats]


def charts_of(tried: Followed | None, alone: Followed, system: str) -> tuple[Chart, ...]:
    """Draw what is tried and doing nothing, each with its bands and the other's middle.

    Parameters
    ----------
    tried : Followed or None
        What is tried, if anything.
    alone : Followed
        Doing nothing.
    system : str
        "metric" or "us".

    Returns
    -------
    tuple of Chart
        One, or two that share heights.
    """
    courses = (alone,) if tried is None else (tried, alone)
    most = max(float(np.max(np.median(course.shown_m3, axis=0))) for course in courses)
    unit = choose_unit(max(most, 1e-6), "volume", system=system)
    per = in_unit(1.0, unit, "volume")
    quantities: tuple[tuple[str, str, str, int, Take], ...] = (
        ("ph", "pH", "pH", 2, lambda x: x.ph),
        ("gas", "Gas", shown_unit(unit), 1, lambda x: per * x.shown_m3),
        ("methane", "Methane", "%", 0, lambda x: 100.0 * x.run.share("methane")),
        ("acids", "Acids", "g/L", 2, lambda x: x.run.acids_kg_m3),
        ("sulphide", "H₂S", "ppm", 0, lambda x: x.run.hydrogen_sulfide_ppm),
    )
    named = {"With it": tried, "Doing nothing": alone} if tried is not None else {
        "Left alone": alone
    }  # fmt: skip
    made = []
    for title, course in named.items():
        others = [(other, c) for other, c in named.items() if c is not course and c is not None]
        if course is None:
            continue
        views = tuple(
            _view(course, others, key=key, name=name, unit=shown, digits=digits, take=take)
            for key, name, shown, digits, take in quantities
        )
        made.append(
            Chart(
                f"what_if_{len(made)}",
                title,
                views,
                today=0.0,
                x_unit="days from now",
                group="what_if",
            )
        )
    return tuple(made)


# To the digits that a keeper could read, however finely the model counts.
_WRITTEN: Mapping[str, Callable[[float], str]] = {
    "ph": lambda value: f"{value:.1f}",
    "gas": lambda value: number(value, 2),
    "methane": lambda value: f"{value:.0f}",
    "acids": lambda value: f"{value:.1f}",
    "sulphide": lambda value: number(value, 1),
}


def _view(
    course: Followed,
    others: list[tuple[str, Followed]],
    *,
    key: str,
    name: str,
    unit: str,
    digits: int,
    take: Take,
) -> View:
    days = _plain(course.day, 3)
    rows = [_plain(row, 4) for row in np.quantile(take(course), _QUANTILES, axis=0)]
    low95, low50, middle, high50, high95 = rows
    reach = [min(low95), max(high95)]
    points: tuple[Points, ...] = ()
    for title, other in others:
        beside = np.quantile(take(other), _QUANTILES, axis=0)
        reach += [float(beside[0].min()), float(beside[-1].max())]
        # Every third day: closer together they hide the line they are set against.
        points = (Points(title.lower(), days[::3], _plain(beside[2], 4)[::3]),)
    write = _WRITTEN[key]
    said = f"{name} on the last day: {write(middle[-1])} {'' if unit == name else unit}".rstrip()
    said += f", 95 % of lives between {write(low95[-1])} and {write(high95[-1])}."
    return View(
        key=key,
        name=name,
        unit=unit,
        sentence=said,
        table=Table(
            name if unit == name else f"{name}, {unit}",
            _HEAD,
            tuple(
                (f"{d:.0f}", write(m), f"{write(a)} to {write(b)}")
                for d, m, a, b in zip(days, middle, low95, high95, strict=True)
            ),
        ),
        points=points,
        line=Line("middle", days, middle),
        bands=Bands(days, low95, low50, high50, high95),
        from_zero=key != "ph",
        digits=digits,
        reach=[round(v, 4) for v in reach],
    )


def _plain(values: Floats, decimals: int) -> list[float]:
    return [round(float(v), decimals) for v in values]
