"""Showing numbers to a person: a unit, sensible digits and, where it matters, an interval."""

import math

from marshlight.estimate import Estimate, Range
from marshlight.units.parse import in_unit
from marshlight.units.table import QUANTITIES, Quantity

# Names that read better on a page than the white list's plain ones.
_SHOWN = {"m3": "m³", "ft3": "ft³", "ft2": "ft²", "m2": "m²", "degC": "°C", "degF": "°F"}
_SHOWN |= {"m3/d": "m³/d", "ft3/d": "ft³/d", "kg/m3": "kg/m³", "lb/ft3": "lb/ft³", "m3/kg": "m³/kg"}
_SHOWN |= {"kg/m3/d": "kg/m³/d", "lb/ft3/d": "lb/ft³/d", "mmH2O": "mm H₂O", "inH2O": "in H₂O"}
_SHOWN |= {"ft3/lb": "ft³/lb", "1": "", "pH": "", "1/d": "per day"}
_TEMPERATURES = ("temperature", "ph")


def shown_unit(unit: str) -> str:
    """Spell a white-list unit the way a page shows it."""
    return _SHOWN.get(unit, unit)


def choose_unit(value: float, quantity: str, *, system: str = "metric") -> str:
    """Choose the unit in which the value reads best: the largest that leaves 1 or more."""
    kind = QUANTITIES[quantity]
    names = kind.us if system == "us" else kind.metric
    for name in names:
        if abs(in_unit(value, name, quantity)) >= 0.9995:
            return name
    return _middle(kind, names) if value == 0.0 else names[-1]


def _middle(kind: Quantity, names: tuple[str, ...]) -> str:
    """Show zero in the everyday unit, not in the smallest."""
    everyday = {"volume": ("L", "gal"), "mass": ("kg", "lb"), "flow": ("L/d", "gal/d")}
    return next((n for n in names if n in everyday.get(kind.name, ())), names[0])


def number(value: float, digits: int = 3) -> str:
    """Write a number with so many significant digits and never in exponent form.

    Examples
    --------
    >>> number(7.4961), number(1234.5), number(0.01234), number(0.0)
    ('7.50', '1230', '0.0123', '0')
    >>> number(0.0998, 2), number(9.96, 2)
    ('0.10', '10')
    """
    if value == 0.0 or not math.isfinite(value):
        return "0" if value == 0.0 else str(value)
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    # Rounded up to the next ten, it would carry a digit too many.
    places = digits - 1 - math.floor(math.log10(abs(rounded)))
    return f"{rounded:.{max(places, 0)}f}"


def _written(value: float, unit: str, quantity: str, digits: int) -> str:
    """Write temperatures and pH to a tenth; everything else by significant digits."""
    shown = in_unit(value, unit, quantity)
    return f"{shown:.1f}" if quantity in _TEMPERATURES else number(shown, digits)


def _joined(text: str, unit: str) -> str:
    name = shown_unit(unit)
    return f"{text} {name}" if name else text


def show(
    value: float,
    quantity: str,
    *,
    system: str = "metric",
    unit: str | None = None,
    digits: int = 3,
) -> str:
    """Show a base-unit value with a fitting unit.

    Parameters
    ----------
    value : float
        In the base unit of the quantity.
    quantity : str
        A key of ``QUANTITIES``.
    system : {"metric", "us"}
        Whose units to choose from when ``unit`` is not given.
    unit : str, optional
        Show in this unit.
    digits : int
        Significant digits; temperatures and pH are shown to a tenth.

    Examples
    --------
    >>> show(0.0075, "volume"), show(0.0075, "volume", system="us")
    ('7.50 L', '1.98 gal')
    >>> show(37.0, "temperature", system="us")
    '98.6 °F'
    """
    chosen = unit or choose_unit(value, quantity, system=system)
    return _joined(_written(value, chosen, quantity, digits), chosen)


def show_estimate(
    estimate: Estimate,
    quantity: str,
    *,
    system: str = "metric",
    unit: str | None = None,
) -> str:
    """Show a value with its 95 % half width, both to the digits the doubt allows.

    Examples
    --------
    >>> show_estimate(Estimate(0.0075, 0.00016), "volume")
    '7.50 ± 0.31 L'
    """
    chosen = unit or choose_unit(estimate.value, quantity, system=system)
    value = in_unit(estimate.value, chosen, quantity)
    low, _ = estimate.interval(0.95)
    half = value - in_unit(low, chosen, quantity)
    if half <= 0.0:
        return show(estimate.value, quantity, unit=chosen)
    places = 1 - math.floor(math.log10(half))
    text = f"{round(value, places):.{max(places, 0)}f} ± {round(half, places):.{max(places, 0)}f}"
    return _joined(text, chosen)


def show_range(
    low: float,
    high: float,
    quantity: str,
    *,
    system: str = "metric",
    unit: str | None = None,
    digits: int = 2,
) -> str:
    """Show an interval, both ends in the unit that suits the larger.

    Examples
    --------
    >>> show_range(0.0069, 0.0081, "volume")
    '6.9 to 8.1 L'
    """
    largest = max(low, high, key=abs)
    chosen = unit or choose_unit(largest, quantity, system=system)
    ends = (_written(end, chosen, quantity, digits) for end in (low, high))
    return _joined(" to ".join(ends), chosen)


def show_interval(interval: Range, quantity: str, *, system: str = "metric") -> str:
    """Show a Range as "value (low to high)"."""
    chosen = choose_unit(max(interval.low, interval.high, key=abs), quantity, system=system)
    inside = show_range(interval.low, interval.high, quantity, unit=chosen)
    return f"{_written(interval.value, chosen, quantity, 2)} ({inside})"
