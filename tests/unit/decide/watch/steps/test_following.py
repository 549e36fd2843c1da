"""Lives followed through a course: shared luck, and nothing done is nothing done."""

from dataclasses import replace

import numpy as np
import pytest

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps import brought_to, fewer, follow
from marshlight.decide.watch.steps.following import worth_of
from marshlight.errors import InputError

DAYS = np.arange(11.0)
Made = tuple[Lives, RunLog]


def test_doing_nothing_twice_is_the_same(doubtful: Made) -> None:
    one, two = (follow(*doubtful, (), days=DAYS, seed=5) for _ in range(2))
    np.testing.assert_array_equal(one.shown_m3, two.shown_m3)
    np.testing.assert_array_equal(one.ph, two.ph)
    assert one.risk == two.risk


def test_luck_moves_the_gas_and_nothing_else(doubtful: Made) -> None:
    one, two = (follow(*doubtful, (), days=DAYS, seed=seed) for seed in (5, 6))
    np.testing.assert_array_equal(one.ph, two.ph)
    assert not np.allclose(one.shown_m3, two.shown_m3)


def test_strays_widen_what_the_model_alone_would_say(sound: Made) -> None:
    course = follow(*sound, (), days=DAYS, seed=5)
    alone = np.std(course.run.methane_m3[:, -1])
    assert np.std(course.burnable_m3[:, -1]) > alone
    assert bool((course.burnable_m3 <= course.shown_m3 + 1e-12).all())


def test_an_even_pick_keeps_lives_whole(doubtful: Made) -> None:
    lives, _ = doubtful
    few = fewer(lives, 7)
    assert len(few) == 7
    at = [int(np.flatnonzero((lives.draws == row).all(axis=1))[0]) for row in few.draws]
    np.testing.assert_array_equal(few.states, lives.states[at])
    assert len(fewer(lives, 1000)) == len(lives)
    with pytest.raises(InputError):
        fewer(lives, 0)


def test_lives_kept_twice_are_worth_fewer_draws(sound: Made) -> None:
    lives, _ = sound
    assert worth_of(lives) == pytest.approx(len(lives))
    twice = replace(lives, states=np.repeat(lives.states[: len(lives) // 2], 2, axis=0))
    assert worth_of(twice) == pytest.approx(len(lives) / 2)


def test_brought_forward_they_stand_where_a_course_would_bring_them(sound: Made) -> None:
    lives, log = sound
    later, log_then = brought_to(lives, log, lives.day + 3.0)
    assert later.day == log_then.today == lives.day + 3.0
    whole = follow(lives, log, (), days=np.array([0.0, 3.0, 8.0]), seed=1).run
    rest = follow(later, log_then, (), days=np.array([0.0, 5.0]), seed=1).run
    np.testing.assert_allclose(rest["pH"][:, -1], whole["pH"][:, -1], atol=0.02)
    gas = whole.methane_m3[:, -1] - whole.methane_m3[:, 1]
    np.testing.assert_allclose(rest.methane_m3[:, -1], gas, rtol=0.05, atol=1e-5)
