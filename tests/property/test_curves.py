"""Laws every cumulative-gas curve obeys, whatever its parameters."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from marshlight.process.curves import CURVES, Curve
from marshlight.process.prior import descriptors, from_descriptors

Case = tuple[Curve, np.ndarray, tuple[float, float, float], tuple[float, float]]


def build(name: str, common: tuple[float, float, float], shape: tuple[float, float]) -> np.ndarray:
    row = np.array([[np.log(common[0]), np.log(common[1]), common[2]]])
    return from_descriptors(CURVES[name], row, shape=np.array([shape]))[0]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    name = draw(st.sampled_from(sorted(CURVES)))
    common = (
        draw(st.floats(1e-3, 1e3)), draw(st.floats(0.01, 2.0)), draw(st.floats(0.0, 20.0))
    )  # fmt: skip
    if name == "two_pool":
        shape = (draw(st.floats(0.05, 0.95)), draw(st.floats(1.2, 50.0)))
    else:
        shape = (draw(st.floats(1.05, 8.0)), 1.0)
    return CURVES[name], build(name, common, shape), common, shape


@given(cases())
@settings(max_examples=200, deadline=None)
def test_gas_never_falls_and_never_passes_the_ultimate(case: Case) -> None:
    which, p, (amount, _, _), _ = case
    total = which.value(np.linspace(0, 500, 400), p)
    assert np.all(np.diff(total) >= -1e-12 * amount)
    assert total[-1] <= amount * (1 + 1e-12)
    assert np.all(which.rate(np.linspace(0, 500, 400), p) >= 0)


@given(cases())
@settings(max_examples=200, deadline=None)
def test_descriptors_survive_the_round_trip(case: Case) -> None:
    which, p, (amount, half_rate, lag), _ = case
    seen = descriptors(which, p)
    assert np.isclose(seen[0], np.log(amount))
    assert np.isclose(seen[1], np.log(half_rate), atol=1e-6)
    if "lag" in which.names:
        assert np.isclose(seen[2], lag, atol=1e-6)


@given(cases(), st.floats(0.1, 10.0))
@settings(max_examples=150, deadline=None)
def test_twice_the_gas_is_twice_the_curve(case: Case, factor: float) -> None:
    which, p, (amount, half_rate, lag), shape = case
    more = build(which.name, (amount * factor, half_rate, lag), shape)
    days = np.linspace(0.1, 80, 50)
    assert np.allclose(which.value(days, more), factor * which.value(days, p), rtol=1e-9)
