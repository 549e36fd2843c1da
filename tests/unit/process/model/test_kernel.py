from dataclasses import replace

import numpy as np
import pytest

from marshlight.errors import FitError
from marshlight.process.model import (
    kernel,
    published_settings,
    published_start,
    run_published_plant,
)
from marshlight.process.model.kernel import SCALAR, layout, run
from marshlight.process.model.schedule import ADD, Schedule

PLACE = layout("benchmark")


def plain_run(days, start, *, pulses=(), rtol=1e-4, max_steps=200_000):
    schedule = Schedule("benchmark", 0.0, float(days[-1]))
    for day, vector in pulses:
        schedule.do(day, ADD, 1.0, vector)
    settings = published_settings()
    program = schedule.program(settings, days, PLACE.states, rtol=rtol)
    program = replace(program, max_steps=max_steps)
    return run(program, settings[None], start[None], schedule.vector_array(), form=SCALAR), program


def test_tightening_the_tolerance_shrinks_the_error_in_proportion():
    start = published_start(published_settings())
    days = [0.0, 20.0]
    exact = plain_run(days, start, rtol=1e-10)[0].out[0, -1]
    errors = []
    for rtol in (1e-3, 1e-4, 1e-5, 1e-6):
        got = plain_run(days, start, rtol=rtol)[0].out[0, -1]
        errors.append(np.max(np.abs(got / exact - 1.0)[np.abs(exact) > 1e-9]))
    assert errors[0] < 1e-3
    assert errors[1] < 1e-4
    assert errors[2] < 1e-5
    assert errors[3] < 1e-6


def test_a_report_between_steps_agrees_with_stopping_there():
    start = published_start(published_settings())
    days = np.linspace(0.0, 10.0, 41)
    between = plain_run(days, start, rtol=1e-7)[0].out[0]
    for i in (7, 22, 35):
        stopped = plain_run([0.0, days[i]], start, rtol=1e-9)[0].out[0, -1]
        large = np.abs(stopped) > 1e-6
        assert np.allclose(between[i][large], stopped[large], rtol=2e-5)


def test_a_pulse_jumps_and_is_reported_after_it_happened():
    settings = published_settings()
    start = published_start(settings)
    pulse = np.zeros(len(PLACE.states))
    at = PLACE.state_at["carbohydrate"]
    pulse[at] = 1000.0
    got, _ = plain_run([0.0, 3.0, 5.0], start, pulses=[(3.0, pulse)])
    without, _ = plain_run([0.0, 3.0, 5.0], start)
    assert got.out[0, 1, at] - without.out[0, 1, at] == pytest.approx(1000.0, rel=1e-6)


def test_too_few_steps_fail_in_words_and_not_in_numbers():
    start = published_start(published_settings())
    outcome, _ = plain_run([0.0, 50.0], start, max_steps=3)
    with pytest.raises(FitError, match="more steps than allowed"):
        outcome.require_success()


def test_numbers_that_are_none_fail_in_words():
    start = published_start(published_settings())
    start[PLACE.state_at["acetate"]] = np.nan
    outcome, _ = plain_run([0.0, 1.0], start)
    with pytest.raises(FitError, match="no longer finite"):
        outcome.require_success()


def test_parts_that_do_not_fit_are_refused_before_the_library_sees_them():
    settings = published_settings()
    schedule = Schedule("benchmark", 0.0, 1.0)
    program = schedule.program(settings, [1.0], ["pH"], rtol=1e-4)
    with pytest.raises(ValueError, match="do not fit"):
        run(
            program,
            settings[None, :-1],
            published_start(settings)[None],
            np.zeros((1, 0, 33)),
            form=0,
        )


def test_no_amount_falls_below_zero_by_more_than_the_tolerance():
    days = np.linspace(0.0, 60.0, 241)
    trace = run_published_plant(days, watch=("states",))
    for name in PLACE.liquid:
        assert trace[name].min() > -1e-5 * 3400.0, name


def test_a_missing_library_is_named_with_its_remedy(monkeypatch):
    monkeypatch.setattr(kernel, "find_spec", lambda name: None)
    kernel.library.cache_clear()
    try:
        with pytest.raises(kernel.KernelMissing, match="C compiler"):
            kernel.library()
    finally:
        kernel.library.cache_clear()


def test_the_method_is_of_fourth_order_once_steps_are_small():
    settings = published_settings()
    rest = run_published_plant([0.0, 5.0], watch=("states",), rtol=1e-9)
    start = np.array([curve[-1] for curve in rest.values.values()])
    start[PLACE.state_at["carbohydrate"]] += 5.0 * 3400.0

    def end(step, rtol=1e-2):
        schedule = Schedule("benchmark", 0.0, 0.5)
        program = schedule.program(settings, [0.5], PLACE.states, rtol=rtol, max_step=step)
        program = replace(program, first_step=min(step, 1e-4))
        nothing = np.zeros((1, 0, len(PLACE.states)))
        return run(program, settings[None], start[None], nothing, form=SCALAR).out[0, 0]

    exact = end(1e6, 1e-11)
    large = np.abs(exact) > 1e-9
    errors = [np.max(np.abs(end(step) / exact - 1.0)[large]) for step in (0.01, 0.0025)]
    # Order 4 divides the error by 256 when steps are quartered.
    assert errors[0] / errors[1] > 128.0


def test_the_steady_state_rests():
    rest = run_published_plant([0.0, 3000.0], watch=("states",), rtol=1e-9)
    start = np.array([curve[-1] for curve in rest.values.values()])
    later = run_published_plant([0.0, 100.0], start=start, watch=PLACE.liquid, rtol=1e-6)
    for name in PLACE.liquid:
        first = later[name][0]
        assert abs(later[name][-1] - first) <= 1e-6 * abs(first) + 1e-12, name
