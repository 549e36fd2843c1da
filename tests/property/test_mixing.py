"""Laws of mixing: mass is kept, order does not matter, water only dilutes."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from marshlight.matter import Part, blend, library

STOCKS = [stock for key, stock in library().items() if key != "water"]

parts = st.lists(
    st.builds(Part, st.sampled_from(STOCKS), st.floats(0.01, 100.0)), min_size=1, max_size=4
)
few = settings(max_examples=60, deadline=None)


@few
@given(parts, st.floats(0.0, 200.0))
def test_every_kilogram_and_every_solid_is_accounted_for(mix: list[Part], water: float) -> None:
    found = blend(mix, water)
    assert found.mass_kg.value == pytest.approx(water + sum(p.mass_kg for p in mix))
    solids = sum(p.mass_kg * p.feedstock.value("TS") for p in mix)
    assert found.ts_kg.value == pytest.approx(solids)
    volumes = sum(blend([p]).volume_m3.value for p in mix) + water / 998.2
    assert found.volume_m3.value == pytest.approx(volumes, rel=1e-4)


@few
@given(parts, parts)
def test_mixing_in_two_steps_is_mixing_in_one(first: list[Part], second: list[Part]) -> None:
    at_once = blend([*first, *second])
    premix = blend(first)
    if premix.VS is None or premix.VS.value == 0.0:
        return
    stored = Part(premix.as_feedstock("premix", "premix"), premix.mass_kg.value)
    in_steps = blend([stored, *second])
    for name in ("mass_kg", "ts_kg", "vs_kg", "TS", "alkalinity", "TAN"):
        assert getattr(in_steps, name).value == pytest.approx(
            getattr(at_once, name).value, rel=1e-9, abs=1e-12
        )
    for name in ("methane_m3", "nitrogen_kg", "easily_degraded", "cod_kg"):
        whole, stepped = getattr(at_once, name), getattr(in_steps, name)
        if whole is not None and stepped is not None:
            assert stepped.value == pytest.approx(whole.value, rel=1e-6, abs=1e-9)


@few
@given(parts, st.floats(0.1, 200.0))
def test_water_only_dilutes(mix: list[Part], water: float) -> None:
    dry, wet = blend(mix), blend(mix, water)
    assert wet.TS.value < dry.TS.value or dry.TS.value == 0.0
    for name in ("ts_kg", "vs_kg", "VS", "methane_m3", "rate", "C_to_N", "lipid", "nitrogen_kg"):
        before, after = getattr(dry, name), getattr(wet, name)
        assert (before is None) == (after is None)
        if before is not None:
            assert after.value == pytest.approx(before.value)
            assert after.u == pytest.approx(before.u, abs=1e-12)


@few
@given(parts)
def test_a_blend_lies_between_its_parts(mix: list[Part]) -> None:
    found = blend(mix)
    solids = [p.feedstock.value("TS") for p in mix]
    assert min(solids) - 1e-12 <= found.TS.value <= max(solids) + 1e-12
