import tracemalloc
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from marshlight.errors import FitError, InputError
from marshlight.matter.library import find
from marshlight.process.model import (
    SMALL_DIGESTER,
    Digester,
    DrawOff,
    EnsembleCancelled,
    Feed,
    Holder,
    draw_liveliness,
    ensemble,
    inoculum,
    liquid_from_feedstock,
    sensitivities,
    simulate,
    water,
)
from marshlight.process.model.ensemble import CHUNK

VESSEL = Digester(0.012, Holder("floating", capacity_m3=0.05, gauge_kpa=0.2), 36.0)
GOAT = find("goat manure")
CHARGE = inoculum("digested cattle manure", 0.004) + water(0.002) + liquid_from_feedstock(GOAT, 0.3)
PORTION = liquid_from_feedstock(GOAT, 0.02)
EVENTS = [e for day in (5.0, 9.0) for e in (DrawOff(day, 0.0002), Feed(day, PORTION))]
DAYS = np.linspace(0.0, 15.0, 16)
WATCH = ("pH", "out_methane", "gas_methane")


def draws(members, seed=7):
    return SMALL_DIGESTER.draw(np.random.default_rng(seed), members)


def go(members=11, **more):
    given = {"draws": draws(members), "watch": WATCH, "events": EVENTS, **more}
    return ensemble(VESSEL, CHARGE, days=DAYS, **given)


def test_a_member_is_the_run_it_stands_for():
    drawn = draws(11)
    found = go()
    for member in (0, 6, 10):
        values = {name: float(column[member]) for name, column in drawn.items()}
        alone = simulate(
            VESSEL,
            CHARGE,
            days=DAYS,
            events=EVENTS,
            parameters=SMALL_DIGESTER.with_values(**values),
        )
        assert np.allclose(found.curve("pH")[member], alone["pH"], atol=1e-3)
        assert np.allclose(found.curve("out_methane")[member], alone["out_methane"], rtol=2e-3)


def test_threads_and_executors_change_nothing():
    one = go(3 * CHUNK + 5, threads=1)
    two = go(3 * CHUNK + 5, threads=2)
    with ThreadPoolExecutor(3) as pool:
        elsewhere = go(3 * CHUNK + 5, executor=pool)
    assert np.array_equal(one.values, two.values)
    assert np.array_equal(one.values, elsewhere.values)


def test_a_chunk_can_travel_to_another_process():
    import pickle

    from marshlight.process.model.ensemble import _run_chunk
    from marshlight.process.model.simulate import prepare

    ready = prepare(VESSEL, CHARGE, days=DAYS, watch=WATCH)
    job = (ready.program, ready.settings[None], ready.start[None], ready.vectors)
    there = pickle.loads(pickle.dumps((_run_chunk, job)))
    assert np.array_equal(there[0](*there[1]).out, _run_chunk(*job).out)


def test_progress_is_told_and_a_cancel_is_heard():
    told = []
    go(2 * CHUNK, progress=lambda done, whole: told.append((done, whole)))
    assert told == [(CHUNK, 2 * CHUNK), (2 * CHUNK, 2 * CHUNK)]
    with pytest.raises(EnsembleCancelled, match="of 128 members"):
        go(4 * CHUNK, cancelled=lambda: True)


def test_summaries_keep_memory_flat():
    def at_the_end(curves):
        return curves[:, -1, 1:].sum(axis=1)

    def most(members):
        tracemalloc.start()
        found = go(members, summary=at_the_end)
        assert found.values.shape == (members,)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return peak

    # Beyond a handful of chunks under way, six times the members cost their draws alone.
    drawn = sum(column.nbytes for column in draws(1).values())
    grown = most(48 * CHUNK) - most(8 * CHUNK)
    assert grown < 1.5 * 40 * CHUNK * (drawn + 8)


def test_liveliness_of_the_inoculum_spreads_the_start():
    lively = draw_liveliness("digested cattle manure", np.random.default_rng(3), 24)
    found = ensemble(VESSEL, CHARGE, days=DAYS, draws={}, cells=lively, watch=WATCH)
    early = found.curve("out_methane")[:, 3] + found.curve("gas_methane")[:, 3]
    assert np.corrcoef(early, np.log(lively))[0, 1] > 0.9
    low, middle, high = found.quantiles("pH", (0.05, 0.5, 0.95))
    assert (low <= middle).all()
    assert (middle <= high).all()


def test_draws_of_unequal_length_or_unknown_name_are_refused():
    with pytest.raises(InputError, match="draws"):
        go(draws={"k_m_ac": np.ones(3), "k_m_h2": np.ones(4)})
    with pytest.raises(InputError, match="draws"):
        go(draws={"no such thing": np.ones(3)})


def test_an_ensemble_that_fails_says_so():
    with pytest.raises(FitError, match="could not be run through"):
        go(8, events=[DrawOff(3.0, 1.0)])


def test_derivatives_agree_with_differences():
    wanted = ("k_hyd_fi", "K_I_nh3", "growth_t_opt", "pKa_nh4", "cells")
    found = sensitivities(
        VESSEL, CHARGE, days=DAYS, wanted=wanted, watch=WATCH, events=EVENTS, rtol=1e-6
    )

    def run(name, value):
        if name == "cells":
            charge = CHARGE + inoculum("digested cattle manure", 0.0)
            amounts = {
                n: a * (value if n.startswith("x_") else 1.0) for n, a in charge.amounts.items()
            }
            charge = type(CHARGE)(charge.volume_m3, amounts)
            return simulate(VESSEL, charge, days=DAYS, events=EVENTS, rtol=1e-10)
        changed = SMALL_DIGESTER.with_values(**{name: value})
        return simulate(VESSEL, CHARGE, days=DAYS, events=EVENTS, parameters=changed, rtol=1e-10)

    for name in wanted:
        at = 1.0 if name == "cells" else SMALL_DIGESTER[name]
        step = 1e-4 * at
        up, down = run(name, at + step), run(name, at - step)
        for curve in ("pH", "out_methane"):
            difference = (up[curve] - down[curve]) / (2.0 * step)
            exact = found.of(curve, name)
            scale = np.abs(difference).max()
            assert np.abs(exact - difference).max() < 2e-3 * scale, (name, curve)


def test_lanes_and_single_runs_give_the_same_digester():
    from marshlight.process.model.kernel import LANES, SCALAR, run
    from marshlight.process.model.simulate import prepare

    ready = prepare(VESSEL, CHARGE, days=DAYS, watch=WATCH, events=EVENTS, rtol=1e-7)
    settings = np.tile(ready.settings, (6, 1))
    four = run(ready.program, settings, ready.start[None], ready.vectors, form=LANES)
    one = run(ready.program, settings, ready.start[None], ready.vectors, form=SCALAR)
    # Six members: four side by side, two alone.
    assert np.allclose(four.out, one.out, rtol=1e-6, atol=1e-12)
