"""Sentences of the engine in the reader's units: it speaks of degC, litres, grams and kilograms."""

import re

from marshlight.units import from_unit, show

_QUANTITY = {
    "degC": "temperature",
    "mL": "volume",
    "L": "volume",
    "m3": "volume",
    "g": "mass",
    "kg": "mass",
}
_NUMBER = r"-?\d+(?:\.\d+)?"
_FIGURE = re.compile(
    rf"(?<![\w.])(?:({_NUMBER}) (to|and) )?({_NUMBER}) (degC|mL|L|m3|kg|g)\b(?![/·])"
)


def in_reader_units(text: str, system: str) -> str:
    """Write the figures of a sentence in the reader's units.

    Parameters
    ----------
    text : str
        A sentence of the engine, figures in metric units.
    system : str
        "metric" leaves all but the spelling of degrees as it is; "us" converts.

    Examples
    --------
    >>> in_reader_units("slurry at 24 degC lost 3.6 L", "metric")
    'slurry at 24 °C lost 3.6 L'
    >>> in_reader_units("slurry at 24 degC lost 3.6 L", "us")
    'slurry at 75 °F lost 0.95 gal'
    >>> in_reader_units("the usual 35 to 40 degC", "us")
    'the usual 95 to 104 °F'
    """
    if system != "us":
        return text.replace("degC", "°C")
    return _FIGURE.sub(_converted, text)


def _converted(match: re.Match[str]) -> str:
    first, between, last, unit = match.groups()
    if first is None:
        return _one(last, unit)
    start, end = _one(first, unit), _one(last, unit)
    # "35 to 40 degC" says its unit once, and so do we where both ends take the same.
    number, _, shown = start.partition(" ")
    return f"{number if end.endswith(f' {shown}') else start} {between} {end}"


def _one(said: str, unit: str) -> str:
    value, quantity = float(said), _QUANTITY[unit]
    if quantity == "temperature":
        # As many decimals as were said: "24 degC" is no more exact than "75 °F".
        decimals = len(said.partition(".")[2])
        return f"{value * 1.8 + 32:.{decimals}f} °F"
    return show(from_unit(value, unit, quantity), quantity, system="us", digits=2)
