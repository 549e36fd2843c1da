import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.process.model.scenarios import random_feed, random_life

from marshlight.process.model import Flow, simulate
from marshlight.process.model.kernel import layout

PLACE = layout("small")


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 2**31), rtol=st.sampled_from([1e-3, 1e-4, 1e-5]))
def test_every_balance_closes_over_any_sequence_of_events(seed, rtol):
    digester, charge, events, end = random_life(seed, 15.0)
    run = simulate(digester, charge, days=np.linspace(0.0, end, 12), events=events, rtol=rtol)
    for thing, gap in run.balance().items():
        assert gap < 1e-6, f"{thing} is off by {gap:.1e}"


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 2**31), turnover=st.floats(0.005, 0.3), fill=st.floats(0.8, 1.1))
def test_balances_close_with_a_steady_flow_and_a_changing_level(seed, turnover, fill):
    digester, charge, events, end = random_life(seed, 10.0)
    portion = 0.3 * turnover * charge.volume_m3
    feed = random_feed(np.random.default_rng(seed), portion)
    events = [e for e in events if e.day < end]
    flow = Flow(1.0, feed, out_m3_per_d=portion / fill)
    run = simulate(digester, charge, days=np.linspace(0.0, end, 9), events=[flow, *events])
    for thing, gap in run.balance().items():
        assert gap < 1e-6, f"{thing} is off by {gap:.1e}"


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**31))
def test_no_amount_is_negative_beyond_the_tolerance(seed):
    digester, charge, events, end = random_life(seed, 15.0)
    run = simulate(digester, charge, days=np.linspace(0.0, end, 60), events=events)
    for name in (*PLACE.liquid, *(f"gas_{gas}" for gas in PLACE.gases)):
        assert run[name].min() > -1e-6 * charge.volume_m3, name


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 2**31))
def test_more_of_everything_gives_the_same_digester_in_proportion(seed):
    # Nothing in the model knows how big a litre is: a vessel twice the size behaves alike.
    from dataclasses import replace

    digester, charge, _, end = random_life(seed, 8.0)
    holder = replace(digester.holder, capacity_m3=2.0 * digester.holder.capacity_m3)
    holder = replace(holder, air_m3_per_d=2.0 * holder.air_m3_per_d)
    double = replace(digester, vessel_m3=2.0 * digester.vessel_m3, holder=holder)
    one = simulate(digester, charge, days=[0.0, end], rtol=1e-7)
    two = simulate(double, charge.scaled(2.0), days=[0.0, end], rtol=1e-7)
    assert np.allclose(two["pH"], one["pH"], atol=1e-5)
    assert np.allclose(two.methane_m3, 2.0 * one.methane_m3, rtol=1e-4, atol=1e-9)


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**31))
def test_members_side_by_side_are_finite_and_no_other_than_alone(seed):
    # A trial step that fails in one lane must not slip through for the sake of the others.
    from marshlight.process.model import SMALL_DIGESTER, ensemble

    digester, charge, events, end = random_life(seed, 40.0)
    draws = SMALL_DIGESTER.draw(np.random.default_rng(seed), 4)
    days = np.linspace(0.0, end, 5)
    found = ensemble(
        digester, charge, days=days, events=events, draws=draws, watch=["volume", "pH"], rtol=1e-3
    )
    assert np.isfinite(found.values).all()
    one = SMALL_DIGESTER.with_values(**{name: float(v[2]) for name, v in draws.items()})
    alone = simulate(digester, charge, days=days, events=events, parameters=one)
    assert np.allclose(found.curve("volume")[2], alone["volume"], rtol=1e-9)
    assert np.abs(found.curve("pH")[2] - alone["pH"]).max() < 0.05
