"""A first guess at how a file is to be understood, with a question wherever it is a guess."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from marshlight.errors import InputError
from marshlight.matter.library import find
from marshlight.units import from_unit

from ..kinds import EVENTS, READINGS, Kind
from .columns import DATE_ORDERS, Column, Layout, Question
from .dates import guess_dates, has_clock
from .table import Table

_FED = re.compile(r"^(?:fed|feed)\b\s*|\s*\b(?:fed|feed)$")
_UNIT = re.compile(r"^(.*?)\s*[(\[]\s*([^)\]]+?)\s*[)\]]\s*$")
_TRAILING_UNIT = re.compile(r"^(.*?)[\s,_]+(\S{1,8})$")
_PLAIN_WORDS = {
    "time": ("time", "datetime", "timestamp", "date time", "date and time", "when", "at"),
    "date": ("date",),
    "clock": ("clock", "time of day", "hour"),
    "day": ("day", "days", "elapsed", "elapsed time", "time since start", "day number"),
    "note": ("note", "notes", "comment", "comments", "remark", "remarks"),
}
_READING_WORDS = {
    "level": ("level", "height", "holder level", "cylinder level", "dome level"),
    "volume": ("volume", "gas volume", "gas in holder", "holder volume"),
    "counter": (
        "counter",
        "meter",
        "gas meter",
        "total gas",
        "cumulative",
        "cumulative gas",
        "cumulative volume",
        "cumulative biogas",
        "gas total",
        "total",
    ),
    "collected": (
        "collected",
        "daily gas",
        "daily biogas",
        "gas produced",
        "biogas",
        "gas",
        "daily volume",
        "gas yield",
        "biogas volume",
        "daily gas volume",
        "gas production",
        "biogas production",
    ),
    "gas_temperature": ("gas temperature", "gas temp", "t gas"),
    "slurry_temperature": (
        "slurry temperature",
        "slurry temp",
        "temperature",
        "temp",
        "digester temperature",
        "t slurry",
        "liquid temperature",
    ),
    "room_temperature": (
        "room temperature",
        "room temp",
        "ambient temperature",
        "ambient",
        "air temperature",
        "shed temperature",
        "t room",
        "ambient temp",
    ),
    "pressure": ("pressure", "gas pressure", "gauge pressure", "head"),
    "barometer": ("barometer", "air pressure", "atmospheric pressure", "barometric pressure"),
    "ph": ("ph", "slurry ph", "p h"),
    "flame": ("flame", "flame test", "burns"),
    "analyser": ("methane", "ch4", "methane content", "methane share", "ch4 content"),
    "mass": ("mass", "weight", "vessel mass", "bottle mass", "scale"),
    "slurry_level": ("slurry level",),
    "energy_meter": ("energy", "energy meter", "electricity"),
}
_EVENT_WORDS = {
    "feed": ("feed", "fed", "feed mass"),
    "draw_off": ("draw off", "drawn off", "drew off", "effluent", "removed"),
    "gas_used": ("gas used", "used gas", "gas burnt"),
    "gas_vented": ("gas vented", "vented"),
    "holder_emptied": ("emptied", "holder emptied", "level after emptying"),
    "set_point": ("set point", "setpoint", "thermostat"),
}


def suggest_layout(table: Table, *, zone: str = "UTC") -> Layout:
    """Guess what the columns hold from their headings and cells.

    Parameters
    ----------
    table
        The file.
    zone
        Time zone of the site, for times that name none.

    Returns
    -------
    Layout
        To look at, change and hand to `take_in`; its questions say what is a guess.
    """
    questions: list[Question] = []
    columns = [_column(i, heading, questions) for i, heading in enumerate(table.headings)]
    _settle_times(columns, table)
    columns = _first_of_each(columns)
    date_order = _date_order(columns, table, questions)
    decimal = _decimal(columns, table, questions)
    return Layout(tuple(columns), zone, date_order, decimal, tuple(questions))


def _plain(heading: str) -> str:
    text = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", heading)
    text = re.sub(r"[_\-.:/]+", " ", text).casefold()
    return " ".join(text.split())


def _split_unit(heading: str) -> tuple[str, str]:
    """Separate "level (mm)", "level [mm]" into the name and the unit."""
    match = _UNIT.match(heading.strip())
    return (match.group(1), match.group(2)) if match else (heading.strip(), "")


def _column(index: int, heading: str, questions: list[Question]) -> Column:
    if heading.strip() in {"kind", "value", "unit"}:  # as our own export writes them
        return Column(index, heading, heading.strip())
    name, unit = _split_unit(heading)
    use, kind = _use(_plain(name))
    if use == "skip" and not unit and (match := _TRAILING_UNIT.match(heading.strip())):
        name, unit = match.groups()
        use, kind = _use(_plain(name))
        if use in {"reading", "event"} and not _fits(_kind(use, kind), unit):
            use, kind, unit = "skip", "", ""
    if use == "time" and unit and _is_time_unit(unit):
        use = "day"  # "time (h)" counts from the start
    if use == "day":
        return Column(index, heading, use, unit=_time_unit(unit))
    if use not in {"reading", "event"}:
        return Column(index, heading, use)
    return _measured(Column(index, heading, use, kind), unit, questions)


def _kind(use: str, key: str) -> Kind:
    return EVENTS[key] if use == "event" else READINGS[key]


def _use(name: str) -> tuple[str, str]:
    for use, known in _PLAIN_WORDS.items():
        if name in known:
            return use, ""
    for use, words in (("reading", _READING_WORDS), ("event", _EVENT_WORDS)):
        for key, spellings in words.items():
            if name in spellings or name == key.replace("_", " ") or name == _kind(use, key).words:
                return use, key
    return ("event", "feed") if _FED.search(name) else ("skip", "")


def _measured(column: Column, unit: str, questions: list[Question]) -> Column:
    """Settle the unit of a column of numbers."""
    kind = _kind(column.use, column.kind)
    if column.kind == "feed":
        column = replace(column, detail=_material(column, questions))
    if kind.measure is None:
        return column
    if unit and _fits(kind, unit):
        return replace(column, unit=unit)
    stated = kind.measure.unit
    if unit:
        text = (
            f"{column.heading!r}: the unit {unit!r} does not fit {kind.words}; taken as {stated}."
        )
    else:
        text = f"{column.heading!r} names no unit; bare numbers are taken as {stated}."
    if kind.measure.quantity != "ph":
        questions.append(Question("unit", text, blocks=bool(unit)))
    # A unit that does not fit is left empty, which blocks until one is chosen.
    return replace(column, unit="?" if unit else stated)


def _material(column: Column, questions: list[Question]) -> dict[str, str]:
    """Find what "bread fed (kg)" was, in the library at least."""
    name = _FED.sub("", _plain(_split_unit(column.heading)[0]))
    try:
        found = find(name) if name else None
    except InputError:
        found = None
    if found is None:
        text = f"{column.heading!r}: say of which lot, or only the mass is kept."
        questions.append(Question("lot", text))
        return {}
    text = f"{column.heading!r} is taken as {found.name} of the library; a lot tells more."
    questions.append(Question("lot", text))
    return {"feedstock": found.key}


def _fits(kind: Kind, unit: str) -> bool:
    if kind.measure is None:
        return False
    try:
        from_unit(1.0, unit, kind.measure.quantity)
    except InputError:
        return False
    return True


def _time_unit(unit: str) -> str:
    return unit if unit and _is_time_unit(unit) else "d"


def _is_time_unit(unit: str) -> bool:
    try:
        from_unit(1.0, unit, "time")
    except InputError:
        return False
    return True


def _settle_times(columns: list[Column], table: Table) -> None:
    """Tell apart a lone time column, a date with a clock beside it, and a date alone."""
    dates = [n for n, c in enumerate(columns) if c.use == "date"]
    times = [n for n, c in enumerate(columns) if c.use == "time"]
    if not dates:
        if not times and not any(c.use == "day" for c in columns):
            _find_dates(columns, table)
        return
    date, beside = columns[dates[0]], times[0] if times else None
    if any(has_clock(cell) for cell in table.column(date.index)[:50]):
        columns[dates[0]] = Column(date.index, date.heading, "time")
        if beside is not None:
            columns[beside] = Column(columns[beside].index, columns[beside].heading)
    elif beside is not None:
        columns[beside] = Column(columns[beside].index, columns[beside].heading, "clock")


def _find_dates(columns: list[Column], table: Table) -> None:
    """Take the first column whose cells read as dates, whatever its heading."""
    for place, column in enumerate(columns):
        cells = table.column(column.index)[:50]
        if column.use == "skip" and any(cell != "" for cell in cells):
            guess = guess_dates(cells)
            if guess.fits and guess.fits != ("epoch",):
                use = "time" if any(has_clock(cell) for cell in cells) else "date"
                columns[place] = Column(column.index, column.heading, use)
                return


def _first_of_each(columns: Iterable[Column]) -> list[Column]:
    """Leave out a second column that would hold the same thing; the person can choose it."""
    seen: set[tuple[str, str]] = set()
    kept = []
    for column in columns:
        mark = (column.use, column.kind)
        # Several materials may be fed; of anything else, one column is meant.
        if column.use != "skip" and column.kind != "feed" and mark in seen:
            column = Column(column.index, column.heading)  # noqa: PLW2901
        seen.add(mark)
        kept.append(column)
    return kept


def _date_order(columns: Sequence[Column], table: Table, questions: list[Question]) -> str:
    dated = next((c for c in columns if c.use in {"time", "date"}), None)
    if dated is None:
        return "ymd"
    guess = guess_dates(table.column(dated.index))
    orders = tuple(DATE_ORDERS[order] for order in guess.fits)
    if not guess.order:
        text = f"{guess.example} can be read as {' or '.join(orders)}; say which."
        questions.append(Question("date order", text, guess.fits, blocks=True))
    elif guess.settled_by == "the order of the rows":
        text = (
            f"{guess.example} can be read two ways; taken as {DATE_ORDERS[guess.order]} "
            "because only then do the rows follow each other in time."
        )
        questions.append(Question("date order", text, guess.fits))
    if dated.use == "date" and not any(c.use == "clock" for c in columns):
        questions.append(Question("time of day", "No time of day is given; taken as noon."))
    return guess.order


def _decimal(columns: Sequence[Column], table: Table, questions: list[Question]) -> str:
    """Tell a decimal comma from a thousands comma."""
    comma = point = doubtful = 0
    example = ""
    for column in columns:
        if column.use not in {"reading", "event", "value", "day"}:
            continue
        for cell in table.column(column.index):
            if not isinstance(cell, str) or not ("," in cell or "." in cell):
                continue
            sign = _sign(cell)
            comma += sign == ","
            point += sign == "."
            if sign == "?":
                doubtful, example = doubtful + 1, example or cell
    if comma and point:
        text = "Some numbers have a decimal comma, some a decimal point; say which is meant."
        questions.append(Question("decimal sign", text, (".", ","), blocks=True))
        return ""
    if doubtful and not comma and not point and table.delimiter != ";":
        text = f"{example!r} can be read two ways; say whether its comma is the decimal sign."
        questions.append(Question("decimal sign", text, (".", ","), blocks=True))
        return ""
    # A semicolon between cells leaves the comma free to be the decimal sign.
    return "," if comma or (doubtful and not point) else "."


def _sign(cell: str) -> str:
    """Say which decimal sign a cell shows: ',' '.' or '?' when one cannot tell."""
    text = re.sub(r"[^\d.,]+$", "", cell.strip())
    last = max(text.rfind(","), text.rfind("."))
    if last < 0:
        return ""
    mark, other = text[last], "." if text[last] == "," else ","
    if other in text:
        return mark
    if text.count(mark) > 1:
        return other
    grouped = re.fullmatch(r"[+-]?[1-9]\d{0,2}[.,]\d{3}", text)
    if mark == ",":
        return "?" if grouped else ","
    return "" if grouped else "."  # 1.234 may be either, and says nothing where commas decide
