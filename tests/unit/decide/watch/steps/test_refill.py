"""Drawing off and refilling for good: the best, the flat top, and when the first is due."""

import numpy as np
import pytest

from drums import LEVEL_M3, drum_with
from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.steps import follow, refill_plan, refilling
from marshlight.errors import InputError
from marshlight.matter import find
from marshlight.process.model import Liquid, liquid_from_feedstock, water

Made = tuple[Lives, RunLog]


@pytest.fixture
def thin() -> Liquid:
    """Give manure thinned to a few percent of solids."""
    return liquid_from_feedstock(find("goat manure"), 1.0) + water(0.006)


def test_the_best_is_the_most_of_those_that_are_borne(sound: Made, thin: Liquid) -> None:
    lives, log = sound
    found = refill_plan(
        lives, log, thin, level_m3=LEVEL_M3, limit=0.3, seed=4,
        lengths_d=(10.0, 20.0), shares=(0.25, 0.45, 0.6),
    )  # fmt: skip
    assert found.best is not None
    # Ten days with 0.6 drawn off would leave the slurry too short a stay.
    assert len(found.tried) == 5
    assert min(cycle.stay_d for cycle in found.tried) >= 20.0
    borne = [c for c in found.tried if c.risk.share <= 0.3]
    assert found.best.mean_m3_d == max(c.mean_m3_d for c in borne)
    assert found.best in found.flat
    assert all(c.mean_m3_d >= 0.95 * found.best.mean_m3_d for c in found.flat)
    assert found.too_risky == 5 - len(borne)
    assert found.due_d is not None
    assert found.due_d == tuple(sorted(found.due_d))


def test_the_long_run_is_the_mean_of_rounds_followed_by_hand(sound: Made, thin: Liquid) -> None:
    lives, log = sound
    found = refill_plan(
        lives, log, thin, level_m3=LEVEL_M3, limit=0.5, seed=4, lengths_d=(15.0,), shares=(0.33,)
    )
    events = [
        e for i in range(4)
        for e in refilling(lives.day + 15.0 * i, 0.33, thin, level_m3=LEVEL_M3)
    ]  # fmt: skip
    course = follow(lives, log, events, days=np.linspace(0.0, 60.0, 41), seed=4)
    by_hand = (course.burnable_m3[:, -1] - course.burnable_m3[:, 20]) / 30.0
    assert found.tried[0].mean_m3_d == pytest.approx(float(np.median(by_hand)))


def test_where_every_way_sours_none_is_best(doubtful: Made, bread: Liquid) -> None:
    lives, log = doubtful
    found = refill_plan(
        lives, log, bread, level_m3=LEVEL_M3, limit=0.05, seed=4, lengths_d=(20.0,), shares=(0.8,)
    )
    assert found.best is None
    assert found.due_d is None
    assert found.too_risky == 1


def test_a_spent_charge_is_due_sooner_than_a_fresh_one(thin: Liquid) -> None:
    waits = []
    for today in (2.0, 60.0):
        lives, log = drum_with(0.15, today=today)
        found = refill_plan(
            lives,
            log,
            thin,
            level_m3=LEVEL_M3,
            limit=0.5,
            seed=4,
            lengths_d=(20.0,),
            shares=(0.33,),
        )
        assert found.due_d is not None
        waits.append(found.due_d[1])
    assert waits[0] > waits[1]


def test_a_share_of_nothing_is_refused(sound: Made, thin: Liquid) -> None:
    lives, log = sound
    with pytest.raises(InputError):
        refill_plan(lives, log, thin, level_m3=LEVEL_M3, limit=0.3, seed=4, shares=(0.0,))
