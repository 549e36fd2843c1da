"""What the diagnosis suspects, taken up by the assessment."""

from dataclasses import replace

import pytest

from marshlight.decide.watch import RunFacts, Track, assess
from marshlight.decide.watch.suspicion import Suspicion, settle
from marshlight.errors import InputError

LEAK = Suspicion(
    key="leak",
    words="gas is being lost: a leak or an open tap",
    chance=0.72,
    why="Gas was 0.3 L a day; 0.9 was to be expected.",
    test="Brush soapy water on lid and joints",
    takes="20 minutes",
    never="Never look for a leak with a flame",
    by_when="now: lost gas gathers somewhere and can explode",
    caution=("explosive_gas",),
)
QUIET = RunFacts(day=20.0, ph=Track((19.5,), (7.2,)))
SOUR = RunFacts(day=20.0, ph=Track((18.0, 19.0, 19.5), (6.6, 6.2, 5.8)), liquid_m3=0.016)


def test_a_suspicion_comes_first_with_its_test_its_chance_and_what_never_to_do() -> None:
    first = assess(QUIET, suspicion=LEAK).advice[0]
    assert first.key == "settle_suspicion"
    assert first.what == "Brush soapy water on lid and joints"
    assert first.urgent
    assert "72 %" in first.why
    assert "Never look for a leak with a flame." in first.why
    assert first.caution == ("explosive_gas",)


def test_the_sentence_does_not_hide_it() -> None:
    assert "gas is being lost" in assess(QUIET, suspicion=LEAK).sentence
    assert "gas is being lost" not in assess(QUIET).sentence


def test_where_the_signs_name_the_same_trouble_its_remedies_stand_alone() -> None:
    suspicion = Suspicion("souring", "it is turning sour", 0.95, "pH fell.")
    found = assess(SOUR, suspicion=suspicion)
    assert found.state_word == "souring"
    assert all(advice.key != "settle_suspicion" for advice in found.advice)


def test_never_more_than_three_pieces() -> None:
    found = assess(SOUR, suspicion=LEAK)
    assert len(found.advice) == 3
    assert found.advice[0].key == "settle_suspicion"


def test_without_a_cheap_test_it_says_to_look_it_over() -> None:
    bare = Suspicion("ammonia", "ammonia holds it back", 0.5, "")
    advice = settle(bare)
    assert advice.what.startswith("Look it over")
    assert advice.how_sure == "possible"


def test_a_chance_that_is_none_is_refused() -> None:
    with pytest.raises(InputError):
        Suspicion("leak", "gas is lost", 1.2, "")


def test_nothing_is_said_to_be_certain() -> None:
    assert "(over 99 %)" in replace(LEAK, chance=1.0).sentence


def test_a_trouble_not_told_from_another_is_no_more_than_likely() -> None:
    both = Suspicion("souring", "it is cold, or it is turning sour", 0.95, "pH fell.", shared=True)
    alone = replace(both, shared=False)
    assert assess(SOUR, suspicion=alone).advice[0].how_sure == "almost certain"
    found = assess(SOUR, suspicion=both)
    assert found.state_word == "souring"
    assert found.advice[0].how_sure == "likely"
    assert "almost certain" not in found.sentence
    assert "By the process model, it is cold, or it is turning sour (95 %)." in found.sentence
