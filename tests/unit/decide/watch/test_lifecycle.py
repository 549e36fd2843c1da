"""Advice that was done or put off goes out of sight, and comes back when it should."""

import ast
from dataclasses import replace
from pathlib import Path

import pytest

import marshlight.decide.watch as room
from marshlight.decide.watch import (
    PIECES,
    Advice,
    Amount,
    Answered,
    RunFacts,
    Track,
    assess,
    in_sight,
)

# An overfed vessel whose every reading is overdue: "feed less" and "read gas" stand, both calm.
OVERFED = RunFacts(
    day=20.0,
    feeds_m3=tuple(Amount(d, 0.001) for d in (17.0, 18.0, 19.0, 20.0)),
    liquid_m3=0.010,
    fed=True,
)


def advice(key: str, *, urgent: bool = False) -> Advice:
    return Advice(
        key=key,
        what=PIECES[key].words,
        why="",
        how_sure="likely",
        how_much="",
        by_when="",
        caution=(),
        source="",
        urgent=urgent,
    )


def keys(pieces: tuple[Advice, ...]) -> list[str]:
    return [piece.key for piece in pieces]


def test_what_was_put_off_is_away_until_its_day_and_then_back() -> None:
    answer = Answered("feed_less", 20.0, until=22.5)
    for day, there in ((20.0, False), (22.4, False), (22.5, True)):
        stands, aside = in_sight([advice("feed_less")], [answer], day=day)
        assert bool(stands) == there
        assert bool(aside) != there


def test_what_was_put_off_is_back_at_once_when_it_becomes_urgent() -> None:
    answer = Answered("empty_holder", 20.0, until=23.0)
    stands, aside = in_sight([advice("empty_holder", urgent=True)], [answer], day=20.5)
    assert keys(stands) == ["empty_holder"]
    assert aside == ()


def test_an_urgent_piece_is_never_put_off() -> None:
    answer = Answered("find_leak", 20.0, until=23.0, urgent=True)
    stands, _ = in_sight([advice("find_leak", urgent=True)], [answer], day=20.1)
    assert keys(stands) == ["find_leak"]


@pytest.mark.parametrize("key", PIECES)
def test_what_was_done_is_away_while_its_effect_is_awaited(key: str) -> None:
    piece = PIECES[key]
    answer = Answered(key, 20.0, urgent=True)
    assert answer.back_day == 20.0 + piece.awaits_d
    just_before, then = answer.back_day - 1e-6, answer.back_day
    assert in_sight([advice(key, urgent=True)], [answer], day=just_before)[0] == ()
    assert keys(in_sight([advice(key, urgent=True)], [answer], day=then)[0]) == [key]


def test_what_was_done_while_calm_is_back_when_it_becomes_urgent() -> None:
    answer = Answered("empty_holder", 20.0)
    assert in_sight([advice("empty_holder")], [answer], day=20.1)[0] == ()
    stands, _ = in_sight([advice("empty_holder", urgent=True)], [answer], day=20.1)
    assert keys(stands) == ["empty_holder"]


def test_the_newest_answer_counts_and_none_from_the_future() -> None:
    done, later = Answered("feed_less", 20.0), Answered("feed_less", 21.0, until=21.5)
    assert in_sight([advice("feed_less")], [later, done], day=21.2)[1][0].answered == later
    assert keys(in_sight([advice("feed_less")], [done, later], day=21.6)[0]) == ["feed_less"]
    assert in_sight([advice("feed_less")], [done, later], day=20.5)[1][0].answered == done


def test_another_key_is_not_touched() -> None:
    stands, _ = in_sight([advice("read_gas")], [Answered("read_ph", 20.0)], day=20.1)
    assert keys(stands) == ["read_gas"]


def test_an_answer_to_a_key_of_earlier_days_waits_for_a_day() -> None:
    assert Answered("no_longer_in_use", 3.0).back_day == 4.0


def test_the_assessment_leaves_out_what_was_answered_and_says_so() -> None:
    before = assess(OVERFED)
    assert keys(before.advice) == ["feed_less", "read_gas"]
    after = assess(replace(OVERFED, answered=(Answered("feed_less", 20.0),)))
    assert keys(after.advice) == ["read_gas"]
    assert [a.advice.key for a in after.aside] == ["feed_less"]
    assert after.state_word == before.state_word


def test_what_was_put_off_makes_room_for_the_fourth() -> None:
    hot = Track((20.0,), (70.0,))
    facts = replace(OVERFED, slurry_c=hot, feeds_m3=(*OVERFED.feeds_m3, Amount(19.5, 0.004)))
    whole = assess(facts)
    everything = [*whole.advice, *whole.waiting]
    assert whole.advice[0].key == "heater_off"
    assert len(whole.advice) <= 3
    calm = next(a for a in everything if not a.urgent)
    less = assess(replace(facts, answered=(Answered(calm.key, 20.0, until=21.0),)))
    assert keys((*less.advice, *less.waiting)) == [a.key for a in everything if a.key != calm.key]


def test_what_was_answered_is_not_called_nothing_to_do() -> None:
    answered = (Answered("feed_less", 20.0), Answered("read_gas", 20.0))
    found = assess(replace(OVERFED, answered=answered))
    assert found.advice == ()
    assert found.sentence.endswith("All that is advised is done or put off; next look tomorrow.")


def test_every_piece_of_advice_that_the_watch_writes_has_a_key_of_the_list() -> None:
    written: set[str] = set()
    for path in Path(room.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Advice":
                given = {k.arg: k.value for k in node.keywords}
                if isinstance(given["key"], ast.Constant):
                    written.add(str(given["key"].value))
    assert written <= set(PIECES)
    assert len(written) > 12


def test_a_wait_is_between_an_hour_and_a_week_and_says_why() -> None:
    for piece in PIECES.values():
        assert 1.0 / 25.0 < piece.awaits_d <= 7.0
        assert piece.because
        assert piece.words
