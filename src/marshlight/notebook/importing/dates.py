"""Dates as loggers and people write them, and which of day and month comes first."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from itertools import pairwise

from marshlight.errors import InputError

from .table import Cell

_DATE = re.compile(
    r"(\d{1,4})\s*[-/.]\s*(\d{1,2})\s*[-/.]\s*(\d{1,4})(?:\s*[T,]?\s*(.*))?$", re.DOTALL
)
_NAMED = re.compile(
    r"(?:(\d{1,2})[\s.-]*([A-Za-z]{3,9})[\s.,-]*(\d{4}|\d{2})"
    r"|([A-Za-z]{3,9})\.?\s+(\d{1,2}),?\s+(\d{4}))(?:\s*[T,]?\s*(.*))?$",
    re.DOTALL,
)
_CLOCK = re.compile(
    r"(\d{1,2})\s*[:.hH]\s*(\d{2})(?:\s*[:.]\s*(\d{2})(?:[.,](\d{1,6})\d*)?)?\s*"
    r"([AaPp]\.?[Mm]\.?)?\s*(Z|UTC|[+-]\d{2}:?\d{2})?$"
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
NOON = time(12)
_ENOUGH = 5000
_ANY_DAY = datetime.combine(date(2000, 1, 1), time())


@dataclass(frozen=True)
class DateGuess:
    """Which orders of day and month fit, and the one to suggest ("" when it stays doubtful)."""

    fits: tuple[str, ...]
    order: str
    settled_by: str
    example: str


def read_date(cell: Cell, order: str, *, field: str) -> datetime:
    """Read a date with or without a time of day.

    Parameters
    ----------
    cell
        As it stands in the file.
    order
        ``ymd``, ``dmy``, ``mdy`` or ``epoch``.
    field
        The column's heading, for the error.

    Returns
    -------
    datetime
        Without a zone unless the text has one; noon where there is no time of day.

    Raises
    ------
    InputError
        If it is not a date in this order.
    """
    try:
        if isinstance(cell, datetime):
            return cell
        if isinstance(cell, date):
            return datetime.combine(cell, NOON)
        return _from_epoch(cell) if order == "epoch" else _from_text(str(cell), order)
    except (ValueError, OverflowError, OSError) as error:
        raise InputError(
            field, cell, f"a date ({_words(order)})", "Correct it, or say how dates are written"
        ) from error


def _words(order: str) -> str:
    return {
        "ymd": "year-month-day, such as 2026-05-31 07:30",
        "dmy": "day/month/year, such as 31/05/2026 07:30",
        "mdy": "month/day/year, such as 05/31/2026 07:30",
        "epoch": "seconds since 1970",
    }.get(order, "day and month in a known order")


def _from_epoch(cell: Cell) -> datetime:
    seconds = float(str(cell))
    # Loggers count milliseconds as often as seconds; today is 1.8e9 s.
    return datetime.fromtimestamp(seconds / 1000 if abs(seconds) > 1e11 else seconds, UTC)


def _from_text(text: str, order: str) -> datetime:
    text = text.strip()
    match = _DATE.match(text)
    if match is None:
        return _from_named(text)
    first, second, third, rest = match.groups()
    if len(first) == 4:
        year, month, day = int(first), int(second), int(third)
    elif order == "dmy":
        day, month, year = int(first), int(second), int(third)
    elif order == "mdy":
        month, day, year = int(first), int(second), int(third)
    else:
        raise ValueError(text)
    return _joined(date(_full_year(year), month, day), rest)


def _from_named(text: str) -> datetime:
    match = _NAMED.match(text)
    if match is None:
        raise ValueError(text)
    day, name, year, us_name, us_day, us_year, rest = match.groups()
    month = _MONTHS.index((name or us_name)[:3].casefold()) + 1
    found = date(_full_year(int(year or us_year)), month, int(day or us_day))
    return _joined(found, rest)


def _full_year(year: int) -> int:
    return 2000 + year if year < 100 else year


def _joined(day: date, rest: str | None) -> datetime:
    if not rest or not rest.strip():
        return datetime.combine(day, NOON)
    return datetime.combine(day, _clock(rest.strip()))


def _clock(text: str) -> time:
    match = _CLOCK.match(text)
    if match is None:
        raise ValueError(text)
    hour, minute, second, part, half, zone = match.groups()
    hours = int(hour)
    if half:
        if not 1 <= hours <= 12:
            raise ValueError(text)
        hours = hours % 12 + (12 if half[0] in "pP" else 0)
    micro = int((part or "").ljust(6, "0")[:6] or 0)
    return time(hours, int(minute), int(second or 0), micro, tzinfo=_zone(zone))


def _zone(text: str | None) -> timezone | None:
    if not text:
        return None
    if text in {"Z", "UTC"}:
        return UTC
    minutes = int(text[1:3]) * 60 + int(text[-2:])
    return timezone(timedelta(minutes=-minutes if text[0] == "-" else minutes))


def read_clock(cell: Cell, *, field: str) -> time:
    """Read a time of day.

    Parameters
    ----------
    cell
        As it stands in the file.
    field
        The column's heading, for the error.

    Returns
    -------
    time
        Time of day.

    Raises
    ------
    InputError
        If it is not a time of day.
    """
    if isinstance(cell, datetime):
        return cell.timetz()
    if isinstance(cell, time):
        return cell
    try:
        if isinstance(cell, float) and 0.0 <= cell < 1.0:  # a spreadsheet's fraction of a day
            return (_ANY_DAY + timedelta(seconds=round(cell * 86400))).time()
        return _clock(str(cell).strip())
    except ValueError as error:
        raise InputError(field, cell, "a time such as 07:30", "Correct it") from error


def has_clock(cell: Cell) -> bool:
    """Whether a date cell says the time of day as well."""
    if isinstance(cell, datetime):
        return True
    if isinstance(cell, str):
        match = _DATE.match(cell.strip()) or _NAMED.match(cell.strip())
        return bool(match and (match.groups()[-1] or "").strip())
    return False


def guess_dates(cells: Iterable[Cell]) -> DateGuess:
    """Find which orders of day and month fit every date of a column.

    Parameters
    ----------
    cells
        The column; blanks are passed over.

    Returns
    -------
    DateGuess
        ``order`` is empty when two orders fit and the sequence of rows does not decide.
    """
    filled = [cell for cell in cells if cell != ""]
    filled = filled[:: max(1, len(filled) // _ENOUGH)]
    example = str(filled[0]) if filled else ""
    if filled and all(_is_epoch(cell) for cell in filled[:200]):
        return DateGuess(("epoch",), "epoch", "the numbers", example)
    read = {order: _all_read(filled, order) for order in ("ymd", "dmy", "mdy")}
    counts = {order: sum(d is not None for d in dates) for order, dates in read.items()}
    most = max(counts.values(), default=0)
    if most == 0:
        return DateGuess((), "ymd", "nothing", example)
    fits = tuple(order for order, count in counts.items() if count == most)
    if len({tuple(read[order]) for order in fits}) == 1:
        return DateGuess(fits[:1], fits[0], "the dates", example)
    rising = [order for order in fits if _rises(read[order])]
    if len(rising) == 1:
        return DateGuess(fits, rising[0], "the order of the rows", example)
    return DateGuess(fits, "", "nothing", example)


def _is_epoch(cell: Cell) -> bool:
    try:
        return 1e8 < float(str(cell)) < 1e14
    except ValueError:
        return False


def _all_read(cells: list[Cell], order: str) -> list[datetime | None]:
    found: list[datetime | None] = []
    for cell in cells:
        try:
            found.append(read_date(cell, order, field=""))
        except InputError:
            found.append(None)
    return found


def _rises(dates: list[datetime | None]) -> bool:
    known = [d.replace(tzinfo=None) for d in dates if d is not None]
    return all(a <= b for a, b in pairwise(known))
