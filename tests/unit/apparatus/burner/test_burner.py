"""Burners: both port rules side by side, drills, conversions, and what a flame will do."""

import pytest

from marshlight.apparatus.burner import (
    burning,
    convert_burner,
    gas_for_water_m3,
    gas_uses,
    jet_diameter_m,
    jet_flow_m3_h,
    nearest_drills,
    new_burner,
    outlook,
)
from marshlight.errors import InputError
from marshlight.sources import source


def test_a_jet_sized_for_a_flow_passes_that_flow() -> None:
    state = {"pressure_kpa": 0.8, "relative_density": 0.94}
    assert jet_flow_m3_h(jet_diameter_m(0.3, **state), **state) == pytest.approx(0.3)


def test_the_two_port_rules_conflict_and_neither_is_chosen() -> None:
    made = new_burner(0.45, pressure_kpa=1.0, relative_density=0.94, burning_m_s=0.24, port_m=5e-3)
    assert not made.rules_agree
    assert made.ports_by_speed > 10 * made.ports_by_throat[1]
    slow, fast = made.exit_speed_by_throat_m_s
    assert fast > slow > 10 * 0.24


def test_thinner_gas_wants_a_larger_jet_for_the_same_heat() -> None:
    ratios = [convert_burner("C3H8", x, after_kpa=1.0).ratio for x in (0.7, 0.6, 0.5)]
    assert ratios == sorted(ratios)


def test_an_old_hole_gives_a_drill_in_every_series() -> None:
    done = convert_burner("CH4", 0.60, before_kpa=2.0, after_kpa=1.0, jet_m=1.0e-3)
    assert done.drills is not None
    assert done.drills.metric.name == "1.75 mm"
    assert {d.name.split()[0] for d in done.drills.all} >= {"1.75", "no."}
    wanted = done.drills.wanted_m
    assert abs(done.drills.metric.off_by(wanted)) < 0.01
    # 64ths are coarse here: the sheet must say how far off the hole would be.
    assert -0.2 < done.drills.fraction.off_by(wanted) < -0.1


def test_number_drills_fall_from_80_to_1_and_stop_at_their_largest() -> None:
    sizes = [nearest_drills(mm / 1e3).number for mm in (0.35, 1.0, 2.0, 5.8)]
    names = [0 if d is None else int(d.name.removeprefix("no. ")) for d in sizes]
    assert names == sorted(names, reverse=True)
    assert nearest_drills(8e-3).number is None


@pytest.mark.parametrize(
    ("share", "word"), [(0.1, "no"), (0.39, "no"), (0.45, "weak"), (0.52, "marginal"), (0.6, "yes")]
)
def test_the_outlook_goes_by_the_methane_share(share: float, word: str) -> None:
    assert outlook(share).word == word


def test_gas_that_holds_no_flame_may_still_explode_and_is_told_so() -> None:
    assert "explode" in outlook(0.30).sentence
    assert "explode" not in outlook(0.10).sentence
    assert "suffocate" in outlook(0.10).sentence


def test_burning_slows_with_carbon_dioxide_vapour_and_cold() -> None:
    assert burning(0.5).velocity_m_s < burning(0.6).velocity_m_s < burning(0.7).velocity_m_s
    assert burning(0.6, vapour=0.05).velocity_m_s < burning(0.6).velocity_m_s
    assert burning(0.6, temperature_c=5.0).velocity_m_s < burning(0.6).velocity_m_s
    assert burning(0.5).of_methane == pytest.approx(0.51, abs=0.01)


@pytest.mark.parametrize(
    "asked",
    [
        {"methane": 0.2},
        {"methane": 0.6, "richness": 2.0},
        {"methane": 0.35, "richness": 1.1},
        {"methane": 0.6, "vapour": 0.3},
        {"methane": 0.6, "temperature_c": 90.0},
    ],
)
def test_the_flame_table_is_not_stretched(asked: dict[str, float]) -> None:
    with pytest.raises(InputError, match="table of flames ends"):
        burning(**asked)


def test_every_gas_use_names_its_source() -> None:
    for use in gas_uses().values():
        assert 0.0 < use.low <= use.high
        assert source(use.source).citation


def test_impossible_burners_are_refused() -> None:
    state = {"pressure_kpa": 1.0, "relative_density": 0.94}
    with pytest.raises(InputError, match="burning_m_s"):
        new_burner(0.45, **state, burning_m_s=0.02, port_m=5e-3)
    with pytest.raises(InputError, match="port_m"):
        new_burner(0.45, **state, burning_m_s=0.2, port_m=0.5)
    with pytest.raises(InputError, match="pressure_kpa"):
        jet_diameter_m(0.45, pressure_kpa=50.0, relative_density=0.94)
    with pytest.raises(InputError, match="fuel"):
        convert_burner("petrol", 0.6, after_kpa=1.0)
    with pytest.raises(InputError, match="hole"):
        nearest_drills(0.02)
    with pytest.raises(InputError, match="efficiency"):
        gas_for_water_m3(1.0, from_c=20, to_c=100, net_mj_m3=20.0, efficiency=1.5)
