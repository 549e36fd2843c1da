"""Seals, relief, traps, holders and fillings."""

import math

import numpy as np
import pytest

from marshlight.apparatus import FloatingCylinder, Vessel
from marshlight.apparatus.gas_train import (
    DipTube,
    GasTrain,
    closed_rise_kpa_per_d,
    condensate_kg_per_m3,
    seal_depth_m,
    seal_pressure_kpa,
)
from marshlight.apparatus.storage import fill_of, full_day, storage_needed
from marshlight.errors import InputError


def test_depth_and_pressure_are_each_others_inverse() -> None:
    assert seal_pressure_kpa(seal_depth_m(0.8)) == pytest.approx(0.8)
    assert seal_depth_m(1.0, liquid_kg_m3=1197.0) < seal_depth_m(1.0)


def test_the_vessel_feels_holder_seals_and_pipe_together() -> None:
    drum = FloatingCylinder(bore_m=0.11, mass_kg=0.3, travel_m=0.42)
    holder = float(drum.gauge_pressure_kpa(0.2))
    train = GasTrain(holder, dips_m=(0.03, 0.01), relief_m=0.2, line_kpa=0.05)
    assert train.vessel_kpa == pytest.approx(holder + 0.05 + seal_pressure_kpa(0.04))
    assert train.faults() == ()


def test_a_counterweight_takes_pressure_off_and_too_much_pulls_air_in() -> None:
    light = FloatingCylinder(bore_m=0.11, mass_kg=0.3, travel_m=0.42, counterweight_kg=0.35)
    train = GasTrain(float(light.gauge_pressure_kpa(0.2)), relief_m=0.2)
    assert any("draws air in" in fault for fault in train.faults())


def test_a_relief_shallower_than_the_way_to_the_holder_is_named() -> None:
    train = GasTrain(0.8, dips_m=(0.05,), relief_m=0.10)
    assert any("leaves by the relief" in fault for fault in train.faults())
    better = GasTrain(0.8, dips_m=(0.05,), relief_m=train.relief_depth_advised_m)
    assert better.faults() == ()


def test_a_deep_relief_on_a_drum_is_named() -> None:
    assert any("not pressure vessels" in f for f in GasTrain(0.5, relief_m=1.5).faults())


def test_a_trap_that_blows_before_the_relief_is_named() -> None:
    train = GasTrain(0.5, relief_m=0.15, trap_leg_m=0.15)
    assert any("trap" in fault for fault in train.faults())
    assert train.trap_leg_advised_m == pytest.approx(0.225)


def test_a_rigid_vessel_without_relief_is_refused_and_a_bag_is_not() -> None:
    with pytest.raises(InputError, match="until it bursts") as refused:
        GasTrain(0.5)
    assert refused.value.field == "relief"
    assert GasTrain(0.5, rigid=False).relief_kpa is None


def test_a_shut_jug_gains_more_than_an_atmosphere_in_a_day() -> None:
    assert closed_rise_kpa_per_d(0.010, 0.008, 38.0) > 101.325


def test_cooling_gas_drops_its_water_and_warming_gas_drops_none() -> None:
    assert condensate_kg_per_m3(38.0, 20.0) == pytest.approx(0.0373, rel=0.01)
    assert condensate_kg_per_m3(20.0, 38.0) == 0.0


def test_a_holder_for_a_day_without_use_takes_the_whole_day() -> None:
    found = storage_needed([0.1] * 24, [0.0] * 24)
    assert found.volume_m3 == pytest.approx(2.4)
    assert found.share_of_day == pytest.approx(1.0)
    assert storage_needed([0.1] * 24, [0.1] * 24).volume_m3 == pytest.approx(0.0)


def test_more_use_than_gas_is_no_matter_for_a_holder() -> None:
    with pytest.raises(InputError, match="no holder helps"):
        storage_needed([0.1] * 24, [0.2] * 24)


def test_a_holder_is_full_between_the_earliest_and_latest_of_the_forecast() -> None:
    day = np.arange(0.0, 30.0)
    middle = 0.001 * day
    found = full_day(day, 0.5 * middle, middle, 2.0 * middle, from_day=10.0, room_m3=0.004)
    assert found.low == pytest.approx(12.0)
    assert found.value == pytest.approx(14.0)
    assert found.high == pytest.approx(18.0)


def test_a_spent_batch_never_fills_a_large_holder() -> None:
    day = np.arange(0.0, 30.0)
    flat = np.full(day.size, 0.01)
    found = full_day(day, flat, flat, flat, from_day=5.0, room_m3=0.004)
    assert math.isinf(found.low)
    with pytest.raises(InputError, match="Empty the holder"):
        full_day(day, flat, flat, flat, from_day=5.0, room_m3=0.0)


def test_two_thirds_leaves_room_to_swell_by_half() -> None:
    found = fill_of(Vessel.cylinder(diameter_m=0.28, height_m=0.406), 0.0166)
    assert found.room_to_swell == pytest.approx(0.506, abs=0.01)
    assert found.free_m == pytest.approx(0.136, abs=0.002)
    assert "may swell" in found.sentence


@pytest.mark.parametrize(("slurry", "froths"), [(0.020, False), (0.015, True)])
def test_a_vessel_too_full_for_its_froth_is_named(slurry: float, froths: bool) -> None:
    found = fill_of(Vessel.given(volume_m3=0.025), slurry, froths=froths)
    assert found.sentence.startswith("Too full")
    assert found.free_m is None
    assert found.advised_m3 < slurry


@pytest.mark.parametrize(
    ("act", "field"),
    [
        (lambda: seal_depth_m(-1.0), "pressure or density"),
        (lambda: seal_pressure_kpa(-0.1), "depth"),
        (lambda: DipTube(0.012, 0.010, 0.08), "dip tube"),
        (lambda: GasTrain(0.5, dips_m=(-0.1,), relief_m=0.1), "depth of a seal"),
        (lambda: closed_rise_kpa_per_d(0.01, 0.0, 20.0), "gas space and gas"),
        (lambda: fill_of(Vessel.given(volume_m3=0.025), 0.0), "slurry"),
        (lambda: storage_needed([0.1], [0.1, 0.1]), "gas made and used"),
    ],
)
def test_impossible_trains_are_refused_by_name(act: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        act()  # type: ignore[operator]
    assert refused.value.field == field
