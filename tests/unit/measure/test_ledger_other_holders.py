"""The ledger of bags, counters, bottles, columns and scales."""

import numpy as np
import pytest

from marshlight.apparatus import Bag, Counter, DisplacementColumn, MassLoss, SealedBottle
from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import GasLedger, Headspace, HolderEvent, HolderReading
from unit.measure.conftest import START, STILL_AIR, Log

AT_18 = dry_normal_factor(18.0, 94.0)
BAG = Bag(capacity_m3=0.3)
TIPPER = Counter(per_count_m3=1e-5, roll_over_at=1000.0)
BOTTLE = SealedBottle(headspace_m3=0.4e-3)
SCALE = MassLoss(exit_temperature_c=37.0, u_mass_kg=1e-5)


def read(*pairs: tuple[float, float], way: str = "") -> list[HolderReading]:
    return [HolderReading(day, value, way=way, temperature_c=18.0) for day, value in pairs]


def kinds(ledger: GasLedger) -> list[str]:
    return [note.kind for note in ledger.notes]


def test_a_bag_judged_by_eye_is_a_rough_measure(log: Log) -> None:
    ledger = log(read((1.0, 0.4)), START, holder=BAG)
    assert ledger.cumulative_m3[-1] == pytest.approx(0.12 * AT_18)
    assert ledger.u_m3[-1] > 0.15 * ledger.cumulative_m3[-1]


def test_a_bag_emptied_through_a_meter_counts_what_the_meter_saw(log: Log) -> None:
    events = [START] + [HolderEvent(d, "emptied", metered_m3=0.2) for d in (1.0, 2.0)]
    ledger = log([], *events, holder=BAG, room_temperature=Estimate(18.0, 2.0))
    assert ledger.cumulative_m3[-1] == pytest.approx(0.4 * AT_18)
    assert not ledger.lower_bound.any()
    assert ledger.u_m3[-1] < 0.1 * ledger.cumulative_m3[-1]


def test_gas_metered_out_of_a_bag_is_added_to_what_it_still_holds(log: Log) -> None:
    used = HolderEvent(1.5, "used", metered_m3=0.06)
    ledger = log(read((1.0, 0.4), (2.0, 0.4)), START, used, holder=BAG)
    assert ledger.intervals.volume_m3[-1] == pytest.approx(0.06 * AT_18)
    assert not ledger.lower_bound.any()


def test_the_meters_own_temperature_counts(log: Log) -> None:
    warm = HolderEvent(1.5, "used", metered_m3=0.06, meter_temperature_c=35.0)
    ledger = log(read((1.0, 0.4), (2.0, 0.4)), START, warm, holder=BAG)
    expected = 0.06 * dry_normal_factor(35.0, 94.0)
    assert ledger.intervals.volume_m3[-1] == pytest.approx(expected)


def test_ways_of_reading_may_be_mixed(log: Log) -> None:
    girth = (0.12 * 6.0 * np.pi**2) ** (1.0 / 3.0)
    readings = read((1.0, 0.4)) + read((2.0, girth), way="girth")
    ledger = log(readings, START, holder=BAG)
    assert ledger.intervals.volume_m3[-1] == pytest.approx(0.0, abs=1e-9)


def test_counts_add_up_at_the_meters_own_state(log: Log) -> None:
    ledger = log(read((0.0, 10.0), (1.0, 110.0), (2.0, 310.0)), holder=TIPPER)
    assert ledger.cumulative_m3 == pytest.approx([0.0, 1e-3 * AT_18, 3e-3 * AT_18])


def test_a_counter_that_rolled_over_is_counted_on(log: Log) -> None:
    ledger = log(read((0.0, 900.0), (1.0, 980.0), (2.0, 40.0)), holder=TIPPER)
    assert ledger.cumulative_m3[-1] == pytest.approx(140e-5 * AT_18)
    assert kinds(ledger) == ["rolled_over"]
    assert not ledger.lower_bound.any()


def test_a_counter_that_fell_for_no_reason_gives_a_lower_bound(log: Log) -> None:
    ledger = log(read((0.0, 10.0), (1.0, 300.0), (2.0, 40.0)), holder=TIPPER)
    assert ledger.cumulative_m3[-1] == pytest.approx((290.0 + 40.0) * 1e-5 * AT_18)
    assert ledger.lower_bound.tolist() == [False, False, True]


def test_a_counter_set_back_on_purpose_loses_nothing(log: Log) -> None:
    reset = HolderEvent(1.0, "reset", level_after=0.0)
    ledger = log(read((0.0, 10.0), (1.0, 300.0), (2.0, 40.0)), reset, holder=TIPPER)
    assert ledger.cumulative_m3[-1] == pytest.approx((290.0 + 40.0) * 1e-5 * AT_18)
    assert not ledger.lower_bound.any()


def test_a_counter_does_not_mind_an_emptied_holder(log: Log) -> None:
    readings = read((0.0, 0.0), (1.0, 50.0), (2.0, 90.0))
    emptied = HolderEvent(1.5, "emptied")
    ledger = log(readings, emptied, holder=TIPPER)
    assert ledger.cumulative_m3[-1] == pytest.approx(90e-5 * AT_18)
    assert not ledger.lower_bound.any()


def test_gas_gathered_in_the_head_space_is_not_missed_by_a_counter(log: Log) -> None:
    space = Headspace(Estimate(0.008, 0.0), Estimate(36.0, 0.0))
    readings = [
        HolderReading(0.0, 0.0, temperature_c=18.0, air_pressure_kpa=93.0),
        HolderReading(1.0, 0.0, temperature_c=18.0, air_pressure_kpa=95.0),
    ]
    ledger = log(readings, holder=TIPPER, headspace=space)
    gained = 0.008 * (dry_normal_factor(36.0, 95.0) - dry_normal_factor(36.0, 93.0))
    assert ledger.cumulative_m3[-1] == pytest.approx(gained)
    assert ledger.passed_m3[-1] == pytest.approx(0.0, abs=1e-12)


def test_a_calibration_error_of_a_counter_stays_in_proportion(log: Log) -> None:
    days = np.arange(0.0, 50.0)
    ledger = log(read(*((d, 100.0 * d) for d in days)), holder=TIPPER)
    part = ledger.u_shared_m3[1:] / ledger.cumulative_m3[1:]
    assert part == pytest.approx(part[0])
    assert part[0] == pytest.approx(0.02, rel=0.05)


def test_pressure_in_a_bottle_is_gas(log: Log) -> None:
    readings = [HolderReading(d, g, temperature_c=37.0) for d, g in ((1.0, 40.0), (2.0, 90.0))]
    ledger = log(readings, START, holder=BOTTLE)
    expected = BOTTLE.headspace_m3 * 90.0 / 101.325 * 273.15 / 310.15
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)


def test_a_vented_bottle_starts_again_at_the_outside_pressure(log: Log) -> None:
    readings = [HolderReading(d, g, temperature_c=37.0) for d, g in ((1.0, 90.0), (2.0, 30.0))]
    ledger = log(readings, START, HolderEvent(1.0, "vented"), holder=BOTTLE)
    expected = BOTTLE.headspace_m3 * 120.0 / 101.325 * 273.15 / 310.15
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)
    assert not ledger.lower_bound.any()


def test_a_bottle_at_its_limit_may_have_let_go(log: Log) -> None:
    readings = [HolderReading(1.0, 205.0, temperature_c=37.0)]
    ledger = log(readings, START, holder=BOTTLE)
    assert ledger.lower_bound[-1]
    assert kinds(ledger) == ["full"]


def test_a_bottle_cooled_for_reading_is_read_at_its_own_temperature(log: Log) -> None:
    warm = [HolderReading(1.0, 40.0, temperature_c=37.0)]
    total = log(warm, START, holder=BOTTLE).cumulative_m3[-1]
    vapour = {37.0: 6.2817, 20.0: 2.3392}
    dry = (134.0 - vapour[37.0]) * 293.15 / 310.15
    cooled = [
        HolderReading(1.0, 40.0, temperature_c=37.0),
        HolderReading(1.2, dry + vapour[20.0] - 94.0, temperature_c=20.0),
    ]
    assert log(cooled, START, holder=BOTTLE).cumulative_m3[-1] == pytest.approx(total, rel=1e-3)


def test_a_bottle_is_as_warm_as_its_bath_not_as_the_room(log: Log) -> None:
    bath = Headspace(Estimate(0.4e-3, 0.0), Estimate(37.0, 0.5))
    unread = [HolderReading(1.0, 40.0)]
    ledger = log(unread, START, holder=BOTTLE, headspace=bath, room_temperature=Estimate(15.0, 5.0))
    told = log([HolderReading(1.0, 40.0, temperature_c=37.0)], START, holder=BOTTLE)
    assert ledger.cumulative_m3[-1] == pytest.approx(told.cumulative_m3[-1])


def test_a_lighter_vessel_has_given_gas(log: Log) -> None:
    readings = read((0.0, 5.000), (1.0, 4.998))
    share = Estimate(0.60, 0.03)
    ledger = log(readings, holder=SCALE, methane_share=share)
    assert ledger.cumulative_m3[-1] == pytest.approx(2e-3 / 1.275, rel=0.01)
    surer = log(readings, holder=SCALE, methane_share=Estimate(0.60, 0.001))
    assert surer.u_m3[-1] < ledger.u_m3[-1]


def test_mass_loss_needs_the_gas_composition(log: Log) -> None:
    with pytest.raises(InputError) as caught:
        log(read((0.0, 5.0), (1.0, 4.998)), holder=SCALE)
    assert caught.value.field == "methane share"


def test_a_vessel_fed_between_weighings_starts_again(log: Log) -> None:
    readings = read((0.0, 5.000), (1.0, 4.998), (2.0, 5.497))
    fed = HolderEvent(1.0, "slurry_changed", level_after=5.500)
    share = Estimate(0.60, 0.03)
    ledger = log(readings, fed, holder=SCALE, methane_share=share)
    assert ledger.cumulative_m3[-1] == pytest.approx(5e-3 / 1.275, rel=0.01)
    assert not ledger.lower_bound.any()


def test_a_vessel_that_gained_mass_was_changed_unseen(log: Log) -> None:
    readings = read((0.0, 5.000), (1.0, 4.998), (2.0, 5.2))
    ledger = log(readings, holder=SCALE, methane_share=Estimate(0.60, 0.03))
    assert kinds(ledger) == ["fell"]


def test_a_column_under_suction_holds_less_than_its_volume_says(log: Log) -> None:
    column = DisplacementColumn(bore_m=0.1, height_m=0.5, top_above_bath_m=0.5)
    ledger = log(read((1.0, 0.1)), START, holder=column)
    assert ledger.cumulative_m3[-1] < column.gas_volume_m3(0.1) * AT_18
    assert ledger.co2_lost_upper_m3 > 0.0


def test_a_bag_has_no_liquid_to_lose_carbon_dioxide_to(log: Log) -> None:
    assert log(read((1.0, 0.4)), START, holder=BAG).co2_lost_upper_m3 == 0.0


def test_the_air_stands_for_the_bottles_own_head_space(log: Log) -> None:
    readings = [HolderReading(1.0, 90.0, temperature_c=37.0)]
    ledger = log(readings, START, holder=BOTTLE, barometer=STILL_AIR)
    assert ledger.air_left_m3[0] == pytest.approx(0.4e-3 * dry_normal_factor(37.0, 94.0))
