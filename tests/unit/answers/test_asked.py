"""Short forms: what was typed is kept, each problem stands by its field, spans can be typed."""

import pytest

from marshlight.answers.asked import Question, ask, read_span, span_words
from marshlight.errors import InputError

QUESTIONS = (
    Question("held", "gas at hand", "volume", "L", "10 L", low=0.0),
    Question("h2s", "hydrogen sulphide", "fraction", "ppm"),
    Question("way", "vessel", usual="fed", choices=(("fed", "fed"), ("batch", "batch"))),
    Question("act", "act"),
)


def test_what_is_not_typed_takes_the_known_then_the_usual() -> None:
    assert ask(QUESTIONS, {}).values["held"] == pytest.approx(0.010)
    assert ask(QUESTIONS, {}, known={"held": "4 L"}).values["held"] == pytest.approx(0.004)
    typed = ask(QUESTIONS, {"held": "2 L"}, known={"held": "4 L"})
    assert typed.values["held"] == pytest.approx(0.002)


def test_a_field_that_may_stay_empty_has_no_value() -> None:
    assert ask(QUESTIONS, {}).values["h2s"] is None
    assert ask(QUESTIONS, {}).values["act"] is None


def test_problems_keep_what_was_typed() -> None:
    asked = ask(QUESTIONS, {"held": "-1 L", "way": "round"})
    assert set(asked.problems) == {"held", "way"}
    assert asked.fields[0].value == "-1 L"
    assert "held" not in asked.values
    assert "held=-1+L" in asked.query


def test_a_needed_field_left_empty_is_a_problem() -> None:
    assert "for example 10 L" in str(ask(QUESTIONS, {"held": " "}).problems["held"])


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [("52 to 64 %", 0.52, 0.64), ("64..52", 0.52, 0.64), ("0.6 1", 0.6, 0.6), ("55", 0.55, 0.55)],
)
def test_a_span_is_read_in_any_order(text: str, low: float, high: float) -> None:
    assert read_span(text, "methane") == pytest.approx((low, high))


@pytest.mark.parametrize("text", ["", "a lot", "10 to 20 to 30", "120 %"])
def test_what_is_no_span_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="methane"):
        read_span(text, "methane")


def test_a_span_is_written_as_it_is_typed() -> None:
    assert span_words(0.52, 0.64) == "52 to 64 %"
    assert read_span(span_words(0.6, 0.6), "methane") == (0.6, 0.6)
