"""Cells to numbers in base units, fast for the plain ones, careful for the rest."""

import re
import sys
from collections.abc import Callable

from marshlight.errors import InputError
from marshlight.units import from_unit, in_unit, parse

from ..kinds import Measure
from .table import Cell

Reader = Callable[[Cell], float]
# Written where nothing was read.
BLANKS = frozenset({"", "-", "--", "–", "n/a", "na", "nan", "null", "none", "n.a."})
_POINTED = re.compile(r"([+-]?\d{1,3}(?:\.\d{3})+)(?=,\d|\D|$)")
_COMMAS = re.compile(r"([+-]?\d{1,3}(?:,\d{3})+)(?=\.\d|[^\d,]|$)")
_DECIMAL_COMMA = re.compile(r"^([+-]?\d*),(\d)")


def is_blank(cell: Cell) -> bool:
    """Whether a cell says that nothing was read."""
    return isinstance(cell, str) and cell.casefold() in BLANKS


def settled(text: str, decimal: str) -> str:
    """Rewrite a number with a decimal point and without thousands signs.

    Parameters
    ----------
    text
        As it stands in the file; a unit may follow.
    decimal
        The decimal sign of the file, "." or ",".

    Returns
    -------
    str
        What `units.parse` can only read one way.

    Examples
    --------
    >>> settled("1.234,5 L", ","), settled("1,234.5", "."), settled("0,5", ",")
    ('1234.5 L', '1234.5', '0.5')
    """
    if decimal == ",":
        text = _POINTED.sub(lambda m: m.group().replace(".", ""), text, count=1)
        return _DECIMAL_COMMA.sub(r"\1.\2", text)
    return _COMMAS.sub(lambda m: m.group().replace(",", ""), text, count=1)


def number_reader(measure: Measure, *, field: str, unit: str, decimal: str) -> Reader:
    """Make the function that reads one column's cells.

    Parameters
    ----------
    measure
        How the kind is given, with its possible range.
    field
        The column's heading, for errors.
    unit
        Unit of bare numbers; a cell that names its own unit keeps it.
    decimal
        The decimal sign of the file.

    Returns
    -------
    callable
        From a cell to base units; raises InputError.

    Raises
    ------
    InputError
        If the unit does not fit the kind.
    """
    unit = unit or measure.unit
    offset = from_unit(0.0, unit, measure.quantity)
    factor = from_unit(1.0, unit, measure.quantity)
    low, high = measure.possible or (None, None)
    # Absolute zero, an empty holder: parse refuses what lies below a quantity's own floor.
    least = low if low is not None else 0.0
    most = high if high is not None else sys.float_info.max
    # What float() would read otherwise than a person: 1_000, and 1.234 where a comma is decimal.
    doubtful = "_." if decimal == "," else "_"

    def careful(cell: Cell) -> float:
        given = settled(cell, decimal) if isinstance(cell, str) else cell
        if not isinstance(given, (str, float)):
            raise InputError(field, str(cell), f"a number in {unit}", "Correct the cell")
        return parse(given, measure.quantity, field=field, unit=unit, minimum=low, maximum=high)

    def quick(cell: Cell) -> float:
        if isinstance(cell, str) and any(sign in cell for sign in doubtful):
            return careful(cell)
        try:
            value = float(cell) * factor  # type: ignore[arg-type]
        except (TypeError, ValueError):
            return careful(cell)
        # Anything but an ordinary number within bounds gets parse's full attention.
        return value if least <= value <= most else careful(cell)

    return quick if offset == 0.0 else careful


def in_stated_unit(value: float, measure: Measure) -> float:
    """Convert a base-unit value into the unit its kind is stated in."""
    return in_unit(value, measure.unit, measure.quantity)
