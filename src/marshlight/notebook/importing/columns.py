"""How the columns of a file are to be understood; kept with the import for the record."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from marshlight.errors import InputError, require

from ..kinds import EVENTS, READINGS, Kind

USES = {
    "skip": "leave out",
    "time": "date and time",
    "date": "date",
    "clock": "time of day",
    "day": "time since the start",
    "reading": "a reading",
    "event": "an event",
    "note": "a note on the row",
    "kind": "which kind of record the row holds",
    "value": "the row's value",
    "unit": "the row's unit",
}
DATE_ORDERS = {
    "ymd": "year-month-day",
    "dmy": "day-month-year",
    "mdy": "month-day-year",
    "epoch": "seconds since 1970",
}


@dataclass(frozen=True)
class Column:
    """What one column holds."""

    index: int
    heading: str
    use: str = "skip"
    kind: str = ""
    unit: str = ""
    detail: Mapping[str, Any] = field(default_factory=dict)
    """The same for every row: the analyte of a lab column, the lot of a feed column."""

    def described(self) -> Kind:
        """Describe the kind of record in this column."""
        kinds = EVENTS if self.use == "event" else READINGS
        if self.kind not in kinds:
            raise InputError(self.heading, self.kind, ", ".join(kinds), "Choose what it holds")
        return kinds[self.kind]


@dataclass(frozen=True)
class Question:
    """Something about the file that the person should look at.

    A question that ``blocks`` must be answered before anything is kept.
    """

    about: str
    text: str
    choices: tuple[str, ...] = ()
    blocks: bool = False


@dataclass(frozen=True)
class Layout:
    """How a whole file is understood."""

    columns: tuple[Column, ...]
    zone: str = "UTC"
    date_order: str = "ymd"
    """A key of `DATE_ORDERS`, or empty while it is doubtful."""
    decimal: str = "."
    """The decimal sign, or empty while it is doubtful."""
    questions: tuple[Question, ...] = ()

    def using(self, use: str) -> Column | None:
        """Find the first column with a use."""
        return next((c for c in self.columns if c.use == use), None)

    def as_data(self) -> dict[str, Any]:
        """Give the layout as JSON-able data."""
        return {
            "columns": [asdict(column) for column in self.columns],
            "zone": self.zone,
            "date_order": self.date_order,
            "decimal": self.decimal,
        }

    @staticmethod
    def from_data(data: Mapping[str, Any]) -> "Layout":
        """Make a layout from JSON-able data."""
        try:
            columns = tuple(Column(**column) for column in data["columns"])
            layout = Layout(columns, data["zone"], data["date_order"], data["decimal"])
        except (KeyError, TypeError) as error:
            raise InputError(
                "columns", data, "what the preview suggested, changed at will", "Start again"
            ) from error
        layout.check()
        return layout

    def check(self) -> None:
        """Refuse a layout that cannot be followed.

        Raises
        ------
        InputError
            Naming what is missing or doubtful.
        """
        for column in self.columns:
            require(
                column.use in USES,
                field=column.heading,
                value=column.use,
                allowed=", ".join(USES),
                remedy="Choose what the column holds",
            )
        uses = {column.use for column in self.columns}
        require(
            bool(uses & {"time", "date", "day"}),
            field="columns",
            value="no time",
            allowed="a column with the date and time, or the time since the start",
            remedy="Say which column holds the time",
        )
        require(
            bool(uses & {"reading", "event"}) or {"kind", "value"} <= uses,
            field="columns",
            value="no readings",
            allowed="at least one column with a reading or an event",
            remedy="Say what the columns hold",
        )
        require(
            self.date_order in DATE_ORDERS or not uses & {"time", "date"},
            field="dates",
            value=self.date_order,
            allowed=", ".join(DATE_ORDERS.values()),
            remedy="Say in which order day and month are written",
        )
        require(
            self.decimal in {".", ","},
            field="decimal sign",
            value=self.decimal,
            allowed="a point or a comma",
            remedy="Say which sign is the decimal sign",
        )
