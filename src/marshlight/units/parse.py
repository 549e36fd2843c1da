"""Reading a person's numbers: "1.5 gal", "98 F", "10 in H2O", "2 cups", "7,5 L", "1 1/2 tsp"."""

import math
import re

from marshlight.errors import InputError
from marshlight.units.table import QUANTITIES, Quantity, Unit

_NUMBER = re.compile(
    r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)(?![\d.,])\s*(.*?)\s*$", re.DOTALL
)
_FRACTION = re.compile(r"\s*(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)(?![\d.,/])\s*(.*?)\s*$", re.DOTALL)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(?:[ \u00a0\u202f']\d{3})+(?![\d])")
_DECIMAL_COMMA = re.compile(r"^\s*[+-]?\d+,\d+(?![\d,.])")


def parse(
    given: str | float,
    quantity: str,
    *,
    field: str,
    unit: str | None = None,
    minimum: float | None = None,
    maximum: float | None = None,
) -> float:
    """Read a number with or without a unit into the quantity's base unit.

    Parameters
    ----------
    given : str or float
        What the person wrote: "1.5 gal", "98 F", "10 in H2O", "2 cups", "7,5 L" or a bare number.
    quantity : str
        A key of ``QUANTITIES``.
    field : str
        The field as the person knows it; it opens every error.
    unit : str, optional
        The field's stated unit, taken by a bare number; the base unit if left out.
    minimum, maximum : float, optional
        Allowed range in the base unit.

    Returns
    -------
    float
        The value in the base unit of the quantity.

    Raises
    ------
    InputError
        Not a number, NaN or infinite, an ambiguous comma, an unknown unit, the wrong kind of
        unit, or outside the allowed range.

    Examples
    --------
    >>> round(parse("1.5 gal", "volume", field="water"), 6)
    0.005678
    >>> round(parse("98 F", "temperature", field="slurry"), 2)
    36.67
    >>> parse(7.5, "volume", field="fill", unit="L")
    0.0075
    """
    kind = QUANTITIES[quantity]
    number, word = _split(given, field)
    chosen = _unit(kind, word if word else (unit or kind.base), field, given)
    value = number * chosen.factor + chosen.offset
    low = kind.lowest if minimum is None else minimum
    if not math.isfinite(value):
        raise InputError(field, given, "a finite number", "Write the value as read")
    if (low is not None and value < low - 1e-12) or (
        maximum is not None and value > maximum + 1e-12
    ):
        raise InputError(
            field, given, _allowed(kind, low, maximum, chosen), "Check the number and its unit"
        )
    return value


def _split(given: str | float, field: str) -> tuple[float, str]:
    """Separate the number from the unit word."""
    if isinstance(given, bool):
        raise InputError(field, given, "a number", "Write a number, with a unit if you like")
    if isinstance(given, (int, float)):
        return float(given), ""
    text = _THOUSANDS.sub(
        lambda m: re.sub(r"[^\d+-]", "", m.group()), given.replace("−", "-"), count=1
    )
    if _DECIMAL_COMMA.match(text):
        if re.match(r"^\s*[+-]?[1-9]\d{0,2},\d{3}(?!\d)", text):
            raise InputError(
                field,
                given,
                "a number without a doubtful comma",
                "Write 1500 or 1.500 instead, so that the comma can't be read two ways",
            )
        text = text.replace(",", ".", 1)
    if match := _FRACTION.match(text):
        whole, top, bottom, word = match.groups()
        if int(bottom) == 0:
            raise InputError(field, given, "a fraction with a bottom above zero", "Write it again")
        return int(whole or 0) + int(top) / int(bottom), word
    if match := _NUMBER.match(text):
        return float(match.group(1)), match.group(2)
    raise InputError(field, given, "a number, with a unit if you like", "Write for example 7.5 L")


def _fold(word: str) -> str:
    return re.sub(r"\s+", " ", word.strip().rstrip(".")).casefold()


def _spellings(unit: Unit) -> tuple[str, ...]:
    return (unit.name, *unit.also)


def _find(kind: Quantity, word: str) -> Unit | None:
    """Match a unit exactly first: 'M' and 'm', 'MJ' and 'mJ' must not be confused by folding."""
    for unit in kind.units:
        if word.strip() in _spellings(unit):
            return unit
    matches = [u for u in kind.units if _fold(word) in {_fold(s) for s in _spellings(u)}]
    return matches[0] if len(matches) == 1 else None


def _unit(kind: Quantity, word: str, field: str, given: object) -> Unit:
    found = _find(kind, word)
    if found is not None:
        return found
    names = ", ".join(unit.name for unit in kind.units)
    other = next((q.name for q in QUANTITIES.values() if _find(q, word)), None)
    what = f"{kind.name.replace('_', ' ')} in {names}"
    if other is not None:
        remedy = (
            f"{word!r} measures {other.replace('_', ' ')}; give a {kind.name.replace('_', ' ')}"
        )
    else:
        remedy = f"The unit {word!r} is not known here; use one of those listed"
    raise InputError(field, given, what, remedy)


def _allowed(kind: Quantity, low: float | None, high: float | None, unit: Unit) -> str:
    def bound(value: float) -> str:
        return f"{(value - unit.offset) / unit.factor:.4g} {unit.name}".strip()

    if low is not None and high is not None:
        return f"{bound(low)} to {bound(high)}"
    if low is not None:
        return f"{bound(low)} or more"
    return f"{bound(high)} or less" if high is not None else f"any {kind.name}"


def in_unit(value: float, unit: str, quantity: str) -> float:
    """Convert a base-unit value into the named unit of the quantity."""
    chosen = _unit(QUANTITIES[quantity], unit, quantity, value)
    return (value - chosen.offset) / chosen.factor


def from_unit(value: float, unit: str, quantity: str) -> float:
    """Convert a plain number in the named unit into the quantity's base unit."""
    chosen = _unit(QUANTITIES[quantity], unit, quantity, value)
    return value * chosen.factor + chosen.offset
