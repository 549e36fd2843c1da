"""The potentials as intervals on one axis, laid out as plain numbers that a page can draw."""

from collections.abc import Collection
from dataclasses import dataclass

from marshlight.decide.trial import TrialResult

WIDTH, LEFT, RIGHT, ROW, TOP = 420.0, 14.0, 18.0, 52.0, 8.0
_STEPS = (5, 10, 20, 25, 50, 100, 200)


@dataclass(frozen=True)
class AxisRow:
    """One material: positions of its interval, mean and bottles, and its words."""

    name: str
    y: float
    low_x: float
    high_x: float
    mean_x: float
    dots: tuple[float, ...]
    words: str

    @property
    def text_y(self) -> float:
        """Where its name stands: above its line, so that long names fit."""
        return self.y - 18.0

    @property
    def top_y(self) -> float:
        """Where the mean's stroke begins."""
        return self.y - 12.0

    @property
    def foot_y(self) -> float:
        """Where the mean's stroke ends."""
        return self.y + 12.0


@dataclass(frozen=True)
class Tick:
    """A mark of the axis."""

    x: float
    text: str


@dataclass(frozen=True)
class Axis:
    """The whole drawing: its size, rows, ticks, and what it says to those who can't see it."""

    width: float
    height: float
    left: float
    right_x: float
    rows: tuple[AxisRow, ...]
    ticks: tuple[Tick, ...]
    words: str

    @property
    def foot(self) -> float:
        """Where the rows end."""
        return self.height - 32.0

    @property
    def tick_y(self) -> float:
        """Where the figures of the axis stand."""
        return self.height - 10.0


def axis_of(result: TrialResult, *, only: Collection[str] | None = None) -> Axis:
    """Lay out every material's interval on one axis from zero [NmL/g VS].

    Parameters
    ----------
    result : TrialResult
        The trial's result.
    only : collection of str, optional
        Labels of the bottles to draw singly; all of them if left out.
    """
    found = sorted(result.result.potentials, key=lambda p: -p.mean)
    # A single bottle has no interval of its own: only its dot is drawn.
    ends = [min(p.high, 3.0 * p.mean) * 1e3 for p in found]
    most = max([*ends, *(v * 1e3 for p in found for v in p.values)], default=100.0) * 1.03
    step = next((s for s in _STEPS if most / s <= 7), _STEPS[-1])
    scale = (WIDTH - LEFT - RIGHT) / most

    def at(value_nml: float) -> float:
        return round(LEFT + min(max(value_nml, 0.0), most) * scale, 1)

    rows = []
    for i, p in enumerate(found):
        low, high = at(p.low * 1e3), at(p.high * 1e3)
        words = f"{p.mean * 1e3:.0f} ({p.low * 1e3:.0f} to {p.high * 1e3:.0f})"
        rows.append(
            AxisRow(
                p.group,
                TOP + ROW * (i + 0.68),
                low,
                high,
                at(p.mean * 1e3),
                tuple(at(b.value * 1e3) for b in p.bottles if only is None or b.label in only),
                words,
            )
        )
    ticks = tuple(Tick(at(v), str(v)) for v in range(0, int(most) + 1, step))
    said = "; ".join(f"{row.name} {row.words}" for row in rows)
    return Axis(WIDTH, TOP + ROW * len(rows) + 40.0, LEFT, WIDTH - RIGHT, tuple(rows), ticks, said)
