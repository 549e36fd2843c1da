"""What two sets of lives of a digester say, as figures, charts and sentences."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.series import Chart, Line, Points, Table, View
from marshlight.answers.told import Figure, Section, figure
from marshlight.process.model import DigesterRun
from marshlight.units import choose_unit, in_unit, number, show, show_range, shown_unit

Floats = NDArray[np.float64]
LEVELS = (0.05, 0.5, 0.95)
# Below this methane formers hardly work: common practice, no source.
SOUR_PH = 6.5
_MODEL = "batstone_2002 rosen_jeppsson_2006"
_SULPHIDE = (
    "treat raw gas as deadly to breathe whatever this says: the model can be wrong tenfold, and a"
    " stirred-up layer gives more"
)


@dataclass(frozen=True)
class Lives:
    """Many lives of one digester, from today on; curves have shape (member, day)."""

    words: str
    members: tuple[int, ...]
    day: Floats
    ph: Floats
    methane: Floats
    gas_m3: Floats
    before_m3: Floats
    acids_kg_m3: Floats
    sulphide_ppm: Floats

    @property
    def sour(self) -> int:
        """Count the lives that end sour."""
        return int(np.sum(self.ph[:, -1] < SOUR_PH))


def lives_of(words: str, run: DigesterRun, members: tuple[int, ...], today: float) -> Lives:
    """Keep what is told of an ensemble, gas counted from today."""
    ahead = run.day >= today - 1e-9
    gas = run.biogas_m3
    before = gas[:, ahead][:, :1]
    return Lives(
        words=words,
        members=members,
        day=run.day[ahead],
        ph=run["pH"][:, ahead],
        methane=run.share("methane")[:, ahead],
        gas_m3=gas[:, ahead] - before,
        before_m3=before[:, 0],
        acids_kg_m3=run.acids_kg_m3[:, ahead],
        sulphide_ppm=run.hydrogen_sulfide_ppm[:, ahead],
    )


def spread(values: Floats) -> tuple[float, float, float]:
    """Give the 5, 50 and 95 % points over the lives."""
    low, middle, high = np.quantile(values, LEVELS, axis=0)
    return float(low), float(middle), float(high)


def ph_words(values: Floats) -> str:
    """Write pH with its span."""
    low, middle, high = spread(values)
    return f"{middle:.1f} ({low:.1f} to {high:.1f})"


def gas_words(values: Floats, system: str) -> str:
    """Write an amount of gas with its span."""
    low, middle, high = spread(values)
    span = show_range(low, high, "volume", system=system)
    return f"{show(middle, 'volume', system=system, digits=2)} ({span})"


def lives_section(lives: Lives, system: str) -> Section:
    """Tell one set of lives: middle, and 5 to 95 % of the lives in brackets."""
    days = lives.day[-1] - lives.day[0]
    over = f"over {days:.0f} days, dry normal, methane and carbon dioxide together"
    figures = (
        figure("final pH", ph_words(lives.ph[:, -1]), by=f"{_MODEL} hafner_bisogni_2009"),
        figure("lowest pH", ph_words(lives.ph.min(axis=1)), by=_MODEL),
        figure("biogas", gas_words(lives.gas_m3[:, -1], system), over, by=_MODEL),
        figure(
            "methane in the gas at the end",
            _share_words(lives.methane[:, -1]),
            "says nothing on whether it is safe to light: the model knows no leaks",
            by=_MODEL,
        ),
        figure("acids at the end", _acid_words(lives.acids_kg_m3[:, -1]), "as acetic acid",
               by=_MODEL),
        _sulphide_figure(lives),
        figure("lives that end sour", f"{lives.sour} of {len(lives.members)}",
               f"pH below {SOUR_PH}", by=_MODEL),
    )  # fmt: skip
    return Section(lives.words[:1].upper() + lives.words[1:], figures)


def _share_words(values: Floats) -> str:
    low, middle, high = (100.0 * v for v in spread(values))
    return f"{middle:.0f} % ({low:.0f} to {high:.0f} %)"


def _acid_words(values: Floats) -> str:
    low, middle, high = spread(values)
    return f"{middle:.2g} g/L ({low:.2g} to {high:.2g} g/L)"


def _sulphide_figure(lives: Lives) -> Figure:
    low, middle, high = spread(lives.sulphide_ppm.max(axis=1))
    words = f"{_round(middle)} ppm ({_round(low)} to {_round(high)} ppm)"
    return figure("highest hydrogen sulphide", words, _SULPHIDE, by="batstone_2002 h2s_limits")


def _round(value: float) -> str:
    return f"{float(f'{value:.2g}'):.0f}"


def change_section(tried: Lives, alone: Lives, system: str) -> Section:
    """Tell what the change does within one and the same life."""
    shared, here, there = np.intersect1d(tried.members, alone.members, return_indices=True)
    more = tried.gas_m3[here, -1] - alone.gas_m3[there, -1]
    up = tried.ph[here, -1] - alone.ph[there, -1]
    low, middle, high = spread(up)
    figures = (
        figure("biogas more", gas_words(more, system), "negative: less", by=_MODEL),
        figure("rise of pH", f"{middle:+.1f} ({low:+.1f} to {high:+.1f})", by=_MODEL),
        figure(
            "lives with more gas",
            f"{int(np.sum(more > 0.0))} of {len(shared)}",
            "a dose of bicarbonate gives gas of its own: carbon dioxide",
            by=_MODEL,
        ),
    )
    return Section("What it changes", figures, before=("Compared life by life.",))


def charts_of(tried: Lives, alone: Lives | None, system: str) -> Chart:
    """Draw every quantity: the change as points with bars, doing nothing as a line."""
    most = float(np.max(np.median(tried.gas_m3, axis=0)))
    unit = choose_unit(max(most, 1e-6), "volume", system=system)
    gas = shown_unit(unit)

    def view(
        key: str, name: str, shown: str, take: Callable[[Lives], Floats], digits: int = 1
    ) -> View:
        return _view(key, name, shown, tried, take=take, alone=alone, digits=digits)

    return Chart(
        "what_if",
        "By the process model",
        (
            view("ph", "pH", "pH", lambda x: x.ph, 2),
            view("gas", "Gas", gas, lambda x: in_unit(1.0, unit, "volume") * x.gas_m3),
            view("methane", "Methane", "%", lambda x: 100.0 * x.methane, 0),
            view("acids", "Acids", "g/L", lambda x: x.acids_kg_m3, 2),
            view("sulphide", "H₂S", "ppm", lambda x: x.sulphide_ppm, 0),
        ),
        today=0.0,
        x_unit="days from now",
    )


def _view(
    key: str,
    name: str,
    unit: str,
    lives: Lives,
    *,
    take: Callable[[Lives], Floats],
    alone: Lives | None,
    digits: int,
) -> View:
    values, beside = take(lives), None if alone is None else take(alone)
    low, middle, high = (_plain(row, 4) for row in np.quantile(values, LEVELS, axis=0))
    days = _plain(lives.day - lives.day[0], 3)
    label = "with it" if beside is not None else "left alone"
    line, head = None, ("days from now", "middle", "5 to 95 %")
    rows = [
        [f"{d:.0f}", number(m), f"{number(a)} to {number(b)}"]
        for d, m, a, b in zip(days, middle, low, high, strict=True)
    ]
    said = f"{name} on the last day: {number(middle[-1])} {'' if unit == name else unit}".rstrip()
    said += f", 5 to 95 % of lives {number(low[-1])} to {number(high[-1])}"
    if beside is not None:
        other = [_plain(row, 4) for row in np.quantile(beside, LEVELS, axis=0)]
        line = Line("doing nothing", days, other[1])
        head = (*head, "doing nothing", "5 to 95 %")
        for row, m, a, b in zip(rows, other[1], other[0], other[2], strict=True):
            row += [number(m), f"{number(a)} to {number(b)}"]
        said += f"; doing nothing {number(other[1][-1])}"
    return View(
        key=key,
        name=name,
        unit=unit,
        sentence=f"{said}.",
        table=Table(
            name if unit == name else f"{name}, {unit}", head, tuple(tuple(row) for row in rows)
        ),
        # Bars on every third day: closer together they hide each other on a phone.
        points=(Points(label, days[::3], middle[::3], low[::3], high[::3]),),
        line=line,
        from_zero=key != "ph",
        digits=digits,
    )


def _plain(values: Floats, decimals: int) -> list[float]:
    return [round(float(v), decimals) for v in values]
