"""Times and values in words."""

from datetime import UTC, datetime, timedelta

import pytest

from marshlight.answers.record import in_words
from marshlight.answers.series import thin
from marshlight.answers.state import State
from marshlight.answers.words import ago, capital, clock, days_since, form_time

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("past", "words"),
    [
        (timedelta(seconds=30), "just now"),
        (timedelta(minutes=90), "90 minutes ago"),
        (timedelta(hours=30), "30 hours ago"),
        (timedelta(days=12), "12 days ago"),
        (timedelta(days=100), "3 months ago"),
        (timedelta(days=800), "2 years ago"),
        (timedelta(minutes=-2), "just now"),
        (timedelta(days=-2), "in the future"),
    ],
)
def test_how_long_ago_is_said_in_the_unit_people_use(past: timedelta, words: str) -> None:
    assert ago(NOON - past, NOON) == words


def test_times_are_those_of_the_sites_clock() -> None:
    assert clock(NOON, "Europe/Paris") == "1 May 2026, 14:00"
    assert form_time(NOON, "Europe/Paris") == "2026-05-01T14:00"
    assert days_since(NOON - timedelta(hours=36), NOON) == pytest.approx(1.5)


def test_a_zero_keeps_the_unit_it_was_read_in() -> None:
    assert in_words(0.0, "length", "mm") == "0 mm"
    assert in_words(0.0, "temperature", "degC") == "0.0 °C"


def test_shares_are_said_as_they_are_asked() -> None:
    assert in_words(0.52, "fraction", "%") == "52.0 %"
    assert in_words(0.0005, "fraction", "ppm") == "500 ppm"


def test_words_that_begin_small_on_purpose_stay_small() -> None:
    assert capital("pH") == "pH"
    assert capital("holder level") == "Holder level"


@pytest.mark.parametrize("count", [0, 1, 2, 1200, 1201, 50_000])
def test_thinning_keeps_first_and_last_and_never_more_than_asked(count: int) -> None:
    picked = list(thin(count))
    assert len(picked) == min(count, 1200)
    assert picked == sorted(set(picked))
    if count:
        assert (picked[0], picked[-1]) == (0, count - 1)


def test_trouble_comes_before_doubt_and_doubt_before_calm() -> None:
    order = [State(w).urgency for w in ("blocked", "souring", "not enough known", "steady")]
    assert order == sorted(order)
    assert len(set(order)) == 4


@pytest.mark.parametrize(
    ("word", "tone"),
    [("leaking", "trouble"), ("steady", "calm"), ("spent", "quiet"), ("something", "quiet")],
)
def test_every_state_has_a_tone(word: str, tone: str) -> None:
    assert State(word).tone == tone
