"""A keeper's numbers are read as meant, or refused with the field named."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from marshlight.errors import InputError
from marshlight.estimate import Estimate, Range
from marshlight.units import (
    QUANTITIES,
    from_unit,
    in_unit,
    parse,
    show,
    show_estimate,
    show_interval,
    show_range,
)


@pytest.mark.parametrize(
    ("text", "quantity", "base"),
    [
        ("1.5 gal", "volume", 1.5 * 3.785411784e-3),
        ("2 cups", "volume", 2 * 236.5882365e-6),
        ("3 tbsp", "volume", 3 * 14.78676478125e-6),
        ("7.5 L", "volume", 0.0075),
        ("7,5 L", "volume", 0.0075),
        ("1 000 L", "volume", 1.0),
        ("1 1/2 tsp", "volume", 1.5 * 4.92892159375e-6),
        ("1/2 cup", "volume", 118.29411825e-6),
        ("12 m3", "volume", 12.0),
        ("98 F", "temperature", 36.6667),
        ("100 degF", "temperature", 37.7778),
        ("70F", "temperature", 21.1111),
        ("37 °C", "temperature", 37.0),
        ("310.15 K", "temperature", 37.0),
        ("−5 C", "temperature", -5.0),
        ("10 in H2O", "gauge_pressure", 2.4908891),
        ("250 mm water", "gauge_pressure", 2.4516625),
        ("29.92 inHg", "pressure", 101.3207),
        ("8 %", "fraction", 0.08),
        ("2000 ppm", "fraction", 0.002),
        ("5 lbs", "mass", 2.26796185),
        ("36 h", "time", 1.5),
        ("350 NmL/g", "yield", 0.350),
    ],
)
def test_common_spellings_become_base_units(text: str, quantity: str, base: float) -> None:
    assert parse(text, quantity, field="x") == pytest.approx(base, rel=1e-5)


def test_a_bare_number_takes_the_fields_unit() -> None:
    assert parse("120", "length", field="level", unit="mm") == pytest.approx(0.12)
    assert parse(120, "length", field="level", unit="mm") == pytest.approx(0.12)


@pytest.mark.parametrize(
    ("text", "quantity", "says"),
    [
        ("7 L", "temperature", "measures volume"),
        ("7 furlongs", "length", "not known"),
        ("nan", "volume", "a number"),
        (float("nan"), "volume", "finite"),
        (float("inf"), "volume", "finite"),
        ("-3 L", "volume", "or more"),
        ("", "volume", "a number"),
        ("lots", "volume", "a number"),
        ("1,500 L", "volume", "two ways"),
        ("1/0 cup", "volume", "bottom above zero"),
        ("1.2.3 L", "volume", "a number"),
        (True, "volume", "a number"),
        ("-300 C", "temperature", "-273.1"),
    ],
)
def test_what_cannot_be_meant_is_refused_by_name(text: str, quantity: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        parse(text, quantity, field="kitchen scraps")
    assert refused.value.field == "kitchen scraps"
    assert says in str(refused.value)


def test_limits_are_told_in_the_unit_the_person_used() -> None:
    with pytest.raises(InputError, match=r"32 degF to 158 degF"):
        parse("200 F", "temperature", field="slurry", minimum=0.0, maximum=70.0)


@given(
    st.sampled_from([(q.name, u.name) for q in QUANTITIES.values() for u in q.units]),
    st.floats(0.001, 1e5),
)
def test_every_unit_survives_the_round_trip(pair: tuple[str, str], value: float) -> None:
    quantity, unit = pair
    assert in_unit(from_unit(value, unit, quantity), unit, quantity) == pytest.approx(
        value, rel=1e-9, abs=1e-9
    )


@given(st.text(max_size=12))
def test_any_text_is_read_finitely_or_refused_politely(text: str) -> None:
    try:
        value = parse(text, "volume", field="water")
    except InputError:
        value = 0.0  # refusing is the other right answer
    assert math.isfinite(value)
    assert value >= 0.0


def test_numbers_are_shown_with_unit_and_sensible_digits() -> None:
    assert show(0.00025, "volume") == "250 mL"
    assert show(1.2, "volume") == "1.20 m³"
    assert show(0.0, "volume") == "0 L"
    assert show(0.08, "fraction") == "8.00 %"
    assert show(0.02, "volume", system="us") == "5.28 gal"
    assert show(0.35, "yield") == "350 L/kg"
    assert show_range(0.0069, 0.0081, "volume") == "6.9 to 8.1 L"
    assert show_estimate(Estimate(0.0075, 0.00016), "volume") == "7.50 ± 0.31 L"
    assert show_estimate(Estimate(0.0075, 0.0), "volume") == "7.50 L"
    assert show_interval(Range(0.4, 0.55, 0.66, 0.95), "fraction") == "55 (40 to 66 %)"
