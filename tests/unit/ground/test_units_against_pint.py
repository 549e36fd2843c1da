"""Our white list agrees with a general units library on every factor it also knows.

The British thermal unit has several definitions: ours is the International Table one
(1055.05585262 J), which the library calls Btu_it.
"""

import pint
import pytest

from marshlight.units import from_unit

REGISTRY = pint.UnitRegistry()
PAIRS = [
    ("volume", "gal", "gallon", "m**3"),
    ("volume", "qt", "quart", "m**3"),
    ("volume", "pt", "pint", "m**3"),
    ("volume", "cup", "cup", "m**3"),
    ("volume", "fl oz", "fluid_ounce", "m**3"),
    ("volume", "tbsp", "tablespoon", "m**3"),
    ("volume", "tsp", "teaspoon", "m**3"),
    ("volume", "ft3", "foot**3", "m**3"),
    ("mass", "lb", "pound", "kg"),
    ("mass", "oz", "ounce", "kg"),
    ("mass", "short ton", "short_ton", "kg"),
    ("length", "in", "inch", "m"),
    ("length", "ft", "foot", "m"),
    ("pressure", "psi", "psi", "kPa"),
    ("pressure", "mmHg", "mmHg", "kPa"),
    ("pressure", "inHg", "inHg", "kPa"),
    ("pressure", "atm", "atm", "kPa"),
    ("energy", "BTU", "Btu_it", "kWh"),
    ("energy", "MJ", "MJ", "kWh"),
    ("power", "BTU/h", "Btu_it/hour", "W"),
    ("density", "lb/gal", "pound/gallon", "kg/m**3"),
    ("yield", "ft3/lb", "foot**3/pound", "m**3/kg"),
]


@pytest.mark.parametrize(("quantity", "ours", "theirs", "base"), PAIRS)
def test_a_factor_equals_the_reference_librarys(
    quantity: str, ours: str, theirs: str, base: str
) -> None:
    assert from_unit(1.0, ours, quantity) == pytest.approx(
        REGISTRY.Quantity(1.0, theirs).to(base).magnitude, rel=1e-9
    )


def test_fahrenheit_agrees_with_the_reference_library() -> None:
    theirs = REGISTRY.Quantity(98.6, "degF").to("degC").magnitude
    assert from_unit(98.6, "degF", "temperature") == pytest.approx(theirs, rel=1e-12)
