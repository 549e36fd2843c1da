"""What a chart shows, as numbers and words: a picture, a sentence and a table say the same."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

MOST_POINTS = 1200
# A table longer than this is not read; the export holds every reading.
MOST_ROWS = 150


@dataclass(frozen=True)
class Points:
    """Measured values with their 95 % limits.

    ``start`` is set for a mean over a time (daily gas): the value is drawn from start to day.
    ``at_least`` marks a value that is only a lower bound.
    """

    label: str
    day: Sequence[float]
    value: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()
    start: Sequence[float] = ()
    at_least: Sequence[bool] = ()


@dataclass(frozen=True)
class Line:
    """A model line; it never runs where the model does not speak."""

    label: str
    day: Sequence[float]
    value: Sequence[float]


@dataclass(frozen=True)
class Bands:
    """Where later readings are expected: half of them in the inner, 95 % in the outer band."""

    day: Sequence[float]
    low95: Sequence[float]
    low50: Sequence[float]
    high50: Sequence[float]
    high95: Sequence[float]


@dataclass(frozen=True)
class Guide:
    """A level worth knowing, drawn across the plot with its words."""

    value: float
    label: str


@dataclass(frozen=True)
class Mark:
    """An event on the common timeline."""

    day: float
    text: str
    kind: str


@dataclass(frozen=True)
class Table:
    """The same figures for those who read rather than look."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class View:
    """One way to look at a chart, such as cumulative or daily.

    ``reach`` holds values that must be in sight, so that charts side by side share their heights.
    """

    key: str
    name: str
    unit: str
    sentence: str
    table: Table
    points: tuple[Points, ...] = ()
    line: Line | None = None
    bands: Bands | None = None
    guides: tuple[Guide, ...] = ()
    from_zero: bool = True
    digits: int = 1
    reach: Sequence[float] = ()


@dataclass(frozen=True)
class Chart:
    """A chart with one or more views, events on a common timeline, and its own words.

    Charts of one ``group`` switch their views together.
    """

    key: str
    title: str
    views: tuple[View, ...]
    marks: tuple[Mark, ...] = ()
    today: float | None = None
    x_unit: str = "day"
    short: bool = False
    group: str = ""
    kind: str = field(default="time", init=False)

    @property
    def first(self) -> View:
        """Give the view shown first."""
        return self.views[0]

    @property
    def payload(self) -> dict[str, Any]:
        """Give what the page's script draws; the tables stay in the page as tables."""
        whole = asdict(self)
        for view in whole["views"]:
            del view["table"]
        return whole


def thin(count: int, most: int = MOST_POINTS) -> Sequence[int]:
    """Choose which of many points to draw: evenly spread, first and last always among them.

    Only the drawing is thinned; fits and totals use every reading.

    Examples
    --------
    >>> list(thin(5, most=3))
    [0, 2, 4]
    >>> list(thin(2))
    [0, 1]
    """
    if count <= most:
        return range(count)
    return [round(i * (count - 1) / (most - 1)) for i in range(most)]
