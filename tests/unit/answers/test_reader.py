"""The engine's sentences in the reader's units."""

import pytest

from marshlight.answers.reader import in_reader_units


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("back to 37 degC, slowly", "back to 99 °F, slowly"),
        ("about 14 g for 7.5 L", "about 0.49 oz for 2.0 gal"),
        ("4 kg of bread", "8.8 lb of bread"),
        ("pH 6.4 on day 12", "pH 6.4 on day 12"),
        ("at most 0.5 L a day", "at most 2.1 cup a day"),
        ("2.5 g/L of acids", "2.5 g/L of acids"),
        ("48 h from now", "48 h from now"),
    ],
)
def test_figures_with_a_unit_are_converted_and_nothing_else(said: str, read: str) -> None:
    assert in_reader_units(said, "us") == read


def test_metric_sentences_keep_their_figures() -> None:
    assert in_reader_units("24 degC and 3.6 L", "metric") == "24 °C and 3.6 L"
