"""Laws of the triangle: carbon dioxide never makes a gas burn; shares stay within the whole."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from marshlight.decide.safety import (
    MODEL,
    TUBE,
    WIDEST,
    Mixture,
    Room,
    gas_space_path,
    let_air_in,
    room_release,
)

BOUNDARIES = st.sampled_from([TUBE, MODEL, WIDEST])
SHARE = st.floats(0.0, 1.0)


@given(BOUNDARIES, st.floats(0.0, 0.35), st.floats(0.001, 0.3))
def test_the_flammable_range_only_narrows_with_carbon_dioxide(boundary, co2, more) -> None:  # type: ignore[no-untyped-def]
    near, far = np.array(co2), np.array(co2 + more)
    assert boundary.lower(far) >= boundary.lower(near)
    assert boundary.upper(far) <= boundary.upper(near)


@given(BOUNDARIES, st.floats(0.0, 0.2), st.floats(0.0, 0.3), st.floats(0.0, 0.3))
def test_carbon_dioxide_never_makes_a_mixture_burn(boundary, methane, co2, more) -> None:  # type: ignore[no-untyped-def]
    before = bool(boundary.contains(np.array(methane), np.array(co2)))
    after = bool(boundary.contains(np.array(methane), np.array(co2 + more)))
    assert before or not after


@given(SHARE, SHARE)
def test_poorer_gas_has_a_narrower_range_in_air(one, other) -> None:  # type: ignore[no-untyped-def]
    poor, rich = sorted((one, other))
    for boundary in (TUBE, MODEL, WIDEST):
        few, many = boundary.gas_limits(poor), boundary.gas_limits(rich)
        if few is not None:
            assert many is not None
            assert few[0] >= many[0] - 1e-12


@given(
    st.lists(st.tuples(st.floats(0.0, 0.5), SHARE), min_size=1, max_size=8),
    st.floats(0.0, 0.5),
    st.floats(0.0, 0.5),
)
def test_a_gas_space_is_always_a_whole_of_shares(steps, methane, co2) -> None:  # type: ignore[no-untyped-def]
    passed = np.concatenate([[0.0], np.cumsum([step for step, _ in steps])])
    shares = np.array([0.0, *(share for _, share in steps)])
    path = gas_space_path(
        np.arange(passed.size, dtype=float), passed, shares, start=Mixture(methane, co2)
    )
    whole = path.methane + path.co2
    assert np.all((path.methane >= -1e-12) & (path.co2 >= -1e-12) & (whole <= 1.0 + 1e-12))
    assert np.all(np.diff(path.oxygen) <= 1e-12)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_air_let_in_crosses_between_the_shares_it_names(methane, rest) -> None:  # type: ignore[no-untyped-def]
    gas = Mixture(methane, rest * (1.0 - methane))
    opened = let_air_in(gas)
    if not opened.crosses:
        return
    assert gas.air <= opened.from_air + 1e-9
    middle = 0.5 * (opened.from_air + opened.to_air)
    left = (1.0 - middle) / max(1.0 - gas.air, 1e-12)
    assert Mixture(gas.methane * left, gas.co2 * left).word in {"explosive", "uncertain"}


@given(st.floats(1.0, 500.0), st.floats(0.0, 20.0), st.floats(0.1, 20.0), st.floats(1e-4, 0.9))
def test_more_air_in_a_room_never_makes_it_worse(volume, changes, more, gas) -> None:  # type: ignore[no-untyped-def]
    raw = {"CH4": 0.6, "CO2": 0.4, "H2S": 1e-3}
    still = {r.gas: r.times_over for r in room_release(Room(volume, changes), gas, raw).gases}
    aired = room_release(Room(volume, changes + more), gas, raw)
    assert all(row.times_over <= still[row.gas] + 1e-9 for row in aired.gases)
