"""Laws of the next step: more buffer never sours, more risk never starves, nothing is nothing."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from drums import LEVEL_M3, drum_with
from marshlight.decide.watch.steps import (
    Food,
    Liquor,
    dose_to_reach,
    dosing,
    feeding_plan,
    follow,
    ph_after,
)
from marshlight.matter import find
from marshlight.process.model import liquid_from_feedstock, water

BREAD = Food(liquid_from_feedstock(find("bread stale"), 1.0) + water(0.004))
SOUND = drum_with(0.1, members=24)
LIQUORS = st.builds(
    Liquor,
    ph=st.floats(4.6, 7.6),
    temperature_c=st.floats(10.0, 55.0),
    carbon_dioxide_kpa=st.floats(15.0, 80.0),
    acids_kg_m3=st.floats(0.0, 12.0),
    ammonia_kg_m3=st.floats(0.0, 4.0),
)


@settings(max_examples=12, deadline=None)
@given(liquor=LIQUORS, less=st.floats(0.0, 15.0), more=st.floats(0.01, 15.0))
def test_more_buffer_never_lowers_the_ph(liquor, less, more):
    assert ph_after(liquor, less + more) >= ph_after(liquor, less)


@settings(max_examples=8, deadline=None)
@given(liquor=LIQUORS, target=st.floats(6.3, 7.0), further=st.floats(0.0, 0.4))
def test_a_higher_aim_never_takes_less_buffer_and_the_dose_reaches_it(liquor, target, further):
    dose = dose_to_reach(liquor, target)
    assert dose_to_reach(liquor, target + further) >= dose
    assert ph_after(liquor, dose) >= target - 0.01


@settings(max_examples=12, deadline=None)
@given(
    limits=st.lists(st.floats(0.01, 0.5), min_size=2, max_size=2),
    every=st.sampled_from([3.0, 7.0]),
    seed=st.integers(0, 3),
)
def test_a_higher_risk_never_gives_less_feed(limits, every, seed):
    lives, log = drum_with(0.15, members=16, seed=seed)
    amounts = [
        feeding_plan(
            lives, log, BREAD, every_d=every, limit=limit, seed=1, level_m3=LEVEL_M3, horizon_d=21
        ).best.amount_kg
        for limit in sorted(limits)
    ]
    assert amounts[0] <= amounts[1]


@settings(max_examples=10, deadline=None)
@given(seed=st.integers(0, 2**31), days=st.integers(2, 20))
def test_doing_nothing_equals_doing_nothing(seed, days):
    when = np.arange(days + 1.0)
    lives, log = SOUND
    alone = follow(lives, log, (), days=when, seed=seed)
    none = follow(lives, log, dosing("sodium bicarbonate", 0.0, lives.day), days=when, seed=seed)
    # A dose of nothing restarts the solver, which is as near as its tolerance.
    np.testing.assert_allclose(none.ph, alone.ph, atol=5e-3)
    np.testing.assert_allclose(none.shown_m3, alone.shown_m3, rtol=1e-2, atol=1e-5)
    assert none.risk == alone.risk
