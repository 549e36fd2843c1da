"""Quantities at the edge: any common unit in, base units inside, metric or US customary out.

A white list, not a unit algebra: a general parser happily reads "70F" as farad and "1,5 L" as
fifteen litres, and a keeper with wet gloves deserves better. What is not on the list is refused
with the list in hand.
"""

from marshlight.units.parse import from_unit, in_unit, parse
from marshlight.units.show import (
    choose_unit,
    number,
    show,
    show_estimate,
    show_interval,
    show_range,
    shown_unit,
)
from marshlight.units.table import QUANTITIES, Quantity, Unit

__all__ = [
    "QUANTITIES",
    "Quantity",
    "Unit",
    "choose_unit",
    "from_unit",
    "in_unit",
    "number",
    "parse",
    "show",
    "show_estimate",
    "show_interval",
    "show_range",
    "shown_unit",
]
