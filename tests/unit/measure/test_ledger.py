"""The ledger of a floating cylinder: sums, breaks, and gas that nobody saw."""

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import Headspace, HolderEvent, HolderReading
from unit.measure.conftest import DRUM, START, STILL_AIR, Log, levels

SPACE = Headspace(Estimate(0.008, 0.0002), Estimate(36.0, 0.5))


def kinds(ledger: object) -> list[str]:
    return [note.kind for note in ledger.notes]  # type: ignore[attr-defined]


def normal(level: float, celsius: float = 18.0) -> float:
    gauge = DRUM.gauge_pressure_kpa(level)
    volume = DRUM.gas_volume_m3(level, temperature_c=celsius)
    return volume * dry_normal_factor(celsius, 94.0 + gauge)


def test_gas_read_warm_and_wet_is_less_than_its_level_says(log: Log) -> None:
    ledger = log(levels((1.0, 0.10)), START)
    assert ledger.cumulative_m3[-1] == pytest.approx(normal(0.10))
    assert ledger.cumulative_m3[-1] < 0.9 * DRUM.gas_volume_m3(0.10)
    assert not ledger.lower_bound.any()
    assert ledger.notes == ()


def test_an_emptied_holder_starts_again_and_nothing_is_lost(log: Log) -> None:
    readings = levels((1.0, 0.20), (2.0, 0.15))
    ledger = log(readings, START, HolderEvent(1.0, "emptied"))
    assert ledger.cumulative_m3[-1] == pytest.approx(normal(0.20) + normal(0.15))
    assert not ledger.lower_bound.any()


def test_a_start_noted_at_level_zero_is_an_empty_holder_without_pressure(log: Log) -> None:
    noted = HolderEvent(0.0, "started", level_after=0.0, way="level")
    plain, told = log(levels((1.0, 0.1)), START), log(levels((1.0, 0.1)), noted)
    assert told.total == plain.total


def test_gas_made_between_the_last_look_and_the_emptying_is_unseen(log: Log) -> None:
    readings = levels((1.0, 0.10), (3.0, 0.10))
    ledger = log(readings, START, HolderEvent(2.0, "emptied"))
    assert ledger.lower_bound.tolist() == [False, False, True]
    assert kinds(ledger) == ["unseen"]


def test_a_level_noted_with_the_emptying_closes_that_gap(log: Log) -> None:
    readings = levels((1.0, 0.10), (3.0, 0.10))
    ledger = log(readings, START, HolderEvent(2.0, "emptied", level_before=0.20))
    assert ledger.cumulative_m3[-1] == pytest.approx(normal(0.20) + normal(0.10))
    assert not ledger.lower_bound.any()
    assert ledger.day.tolist() == [0.0, 1.0, 2.0, 3.0]


def test_gas_used_to_a_known_level_counts_on_from_there(log: Log) -> None:
    used = HolderEvent(1.0, "used", level_before=0.20, level_after=0.05)
    ledger = log(levels((2.0, 0.12)), START, used)
    expected = normal(0.20) + normal(0.12) - normal(0.05)
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)
    assert not ledger.lower_bound.any()


def test_gas_used_to_an_unknown_level_makes_a_lower_bound(log: Log) -> None:
    ledger = log(levels((1.0, 0.20), (2.0, 0.12), (3.0, 0.15)), START, HolderEvent(1.0, "used"))
    expected = normal(0.20) + normal(0.15) - normal(0.12)
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)
    assert ledger.lower_bound.tolist() == [False, False, True, True]


def test_two_readings_around_an_event_of_the_same_time_need_no_level(log: Log) -> None:
    readings = [
        HolderReading(1.0, 0.20, temperature_c=18.0),
        HolderReading(1.0, 0.05, temperature_c=18.0, after_event=True),
        HolderReading(2.0, 0.12, temperature_c=18.0),
    ]
    ledger = log(readings, START, HolderEvent(1.0, "reset"))
    expected = normal(0.20) + normal(0.12) - normal(0.05)
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)
    assert ledger.day.tolist() == [0.0, 1.0, 2.0]


def test_emptied_and_level_zero_noted_at_one_time_are_taken_in_that_order(log: Log) -> None:
    readings = levels((1.0, 0.20), (2.0, 0.24), (2.0, 0.0), (3.0, 0.15))
    ledger = log(readings, START, HolderEvent(2.0, "emptied"))
    assert ledger.total.value == pytest.approx(normal(0.24) + normal(0.15))
    assert ledger.notes == ()
    assert not ledger.lower_bound.any()


def test_a_fall_without_an_event_is_flagged_and_counts_as_nothing(log: Log) -> None:
    ledger = log(levels((1.0, 0.20), (2.0, 0.10), (3.0, 0.15)), START)
    expected = normal(0.20) + normal(0.15) - normal(0.10)
    assert ledger.cumulative_m3[-1] == pytest.approx(expected)
    assert ledger.lower_bound.tolist() == [False, False, True, True]
    assert kinds(ledger) == ["fell"]
    assert "fell without an event" in ledger.notes[0].text


def test_a_slow_leak_is_found_though_no_single_step_shows_it(log: Log) -> None:
    readings = levels(*((1.0 + i, 0.20 - 0.004 * i) for i in range(15)))
    ledger = log(readings, START)
    assert kinds(ledger)[0] == "fell"


def test_noise_alone_is_seldom_taken_for_a_leak(log: Log) -> None:
    rng, wrong, runs = np.random.default_rng(5), 0, 100
    for _ in range(runs):
        noisy = [
            HolderReading(
                float(day),
                0.12 + rng.normal(0.0, 0.001),
                temperature_c=18.0 + rng.normal(0.0, 1.0),
                air_pressure_kpa=94.0 + rng.normal(0.0, 0.1),
            )
            for day in range(30)
        ]
        wrong += "fell" in kinds(log(noisy))
    assert wrong / runs <= 0.05


def test_a_fall_within_the_doubt_stays_in_the_sum_with_its_sign(log: Log) -> None:
    ledger = log(levels((1.0, 0.200), (2.0, 0.199), (3.0, 0.210)), START)
    assert not ledger.lower_bound.any()
    assert ledger.cumulative_m3[-1] == pytest.approx(normal(0.210))


def test_a_full_holder_makes_a_lower_bound(log: Log) -> None:
    ledger = log(levels((1.0, 0.20), (2.0, 0.25)), START)
    assert ledger.lower_bound.tolist() == [False, False, True]
    assert kinds(ledger) == ["full"]


@pytest.mark.parametrize("when", [1.5, 2.0])
def test_an_overflow_makes_a_lower_bound_of_its_own_interval(log: Log, when: float) -> None:
    readings = levels((1.0, 0.20), (2.0, 0.23), (3.0, 0.24))
    ledger = log(readings, START, HolderEvent(when, "overflowed"))
    assert ledger.interval_lower_bound.tolist() == [False, False, True, False]


def test_an_opened_seal_lets_gas_go_and_air_in(log: Log) -> None:
    readings = levels((1.0, 0.10), (2.0, 0.05), (3.0, 0.15))
    ledger = log(readings, START, HolderEvent(1.0, "seal_opened"), headspace=SPACE)
    assert "seal_opened" in kinds(ledger)
    assert ledger.lower_bound.tolist() == [False, False, True, True]
    assert ledger.air_left_m3[2] > ledger.air_left_m3[1]


def test_a_leak_flags_every_interval_until_it_is_mended(log: Log) -> None:
    readings = levels((1.0, 0.05), (2.0, 0.08), (3.0, 0.11), (4.0, 0.15))
    events = (START, HolderEvent(1.5, "leak_noted"), HolderEvent(2.5, "leak_mended"))
    ledger = log(readings, *events)
    assert ledger.interval_lower_bound.tolist() == [False, False, True, True, False]


def test_readings_of_one_time_that_agree_are_averaged(log: Log) -> None:
    twice = log(levels((1.0, 0.200), (1.0, 0.201)), START)
    assert twice.cumulative_m3[-1] == pytest.approx(normal(0.2005), rel=1e-4)
    assert twice.notes == ()
    assert twice.u_random_m3[-1] < log(levels((1.0, 0.200)), START).u_random_m3[-1]


def test_readings_of_one_time_that_disagree_are_both_kept_and_widen_the_doubt(log: Log) -> None:
    ledger = log(levels((1.0, 0.20), (1.0, 0.10), (2.0, 0.22)), START)
    assert kinds(ledger) == ["contradiction"]
    assert "0.2 by level and 0.1 by level" in ledger.notes[0].text
    assert ledger.cumulative_m3[1] == pytest.approx((normal(0.20) + normal(0.10)) / 2.0)
    assert ledger.u_m3[1] > abs(normal(0.20) - normal(0.10)) / 2.0
    assert ledger.u_m3[2] < ledger.u_m3[1] / 3.0


def test_weather_and_a_cold_night_make_no_phantom_gas(log: Log) -> None:
    amount = 0.002
    readings = []
    for day, (celsius, vessel, kpa) in enumerate(
        [(18.0, 36.0, 94.0), (8.0, 34.0, 95.5), (24.0, 37.0, 92.5), (15.0, 36.0, 94.5)], 1
    ):
        gauge = DRUM.gauge_pressure_kpa(0.1)
        free = amount - 0.008 * dry_normal_factor(vessel, kpa + gauge) + 0.006
        volume = free / dry_normal_factor(celsius, kpa + gauge)
        readings.append(
            HolderReading(
                float(day),
                float(DRUM.level_of(volume)),
                temperature_c=celsius,
                vessel_temperature_c=vessel,
                air_pressure_kpa=kpa,
            )
        )
    ledger = log(readings, headspace=SPACE)
    assert np.allclose(ledger.cumulative_m3, 0.0, atol=2e-6)
    alone = log(readings)
    assert np.max(np.abs(alone.cumulative_m3)) > 1e-4


def test_without_a_start_gas_before_the_first_reading_is_unseen(log: Log) -> None:
    late = log(levels((2.0, 0.10), (3.0, 0.20)))
    assert late.lower_bound.all()
    assert kinds(late) == ["no_start"]
    assert not log(levels((2.0, 0.0), (3.0, 0.20))).lower_bound.any()


def test_readings_from_before_the_start_are_left_out_and_said(log: Log) -> None:
    ledger = log(levels((-1.0, 0.24), (1.0, 0.10)), START)
    assert kinds(ledger) == ["before_start"]
    assert ledger.cumulative_m3[-1] == pytest.approx(normal(0.10))


def test_a_missing_temperature_is_filled_in_with_more_doubt(log: Log) -> None:
    readings = [*levels((1.0, 0.10)), HolderReading(2.0, 0.20)]
    ledger = log(readings, START)
    assert kinds(ledger) == ["filled_in"]
    assert ledger.u_m3[-1] > log(levels((1.0, 0.10), (2.0, 0.20)), START).u_m3[-1]


def test_without_any_temperature_the_rooms_is_asked_for(log: Log) -> None:
    bare = [HolderReading(1.0, 0.10)]
    with pytest.raises(InputError) as caught:
        log(bare, START)
    assert caught.value.field == "temperature_c"
    room = log(bare, START, room_temperature=Estimate(18.0, 3.0))
    assert room.cumulative_m3[-1] == pytest.approx(normal(0.10))


def test_order_of_entry_does_not_matter(log: Log) -> None:
    readings = levels((1.0, 0.10), (2.0, 0.20), (3.0, 0.05))
    events = (START, HolderEvent(2.0, "emptied"))
    forward, backward = log(readings, *events), log(readings[::-1], *events[::-1])
    assert np.array_equal(forward.cumulative_m3, backward.cumulative_m3)


def test_calibrations_grow_with_the_sum_and_reading_doubt_does_not(log: Log) -> None:
    readings, events = [], [START]
    for day in range(1, 41):
        readings += levels((float(day), 0.20))
        events.append(HolderEvent(float(day), "emptied"))
    ledger = log(readings, *events)
    shared, fresh = ledger.u_shared_m3, ledger.u_random_m3
    assert shared[-1] / shared[1] == pytest.approx(40.0, rel=0.05)
    assert fresh[-1] / fresh[1] == pytest.approx(40.0**0.5, rel=0.05)
    smooth = log(levels(*((float(d), 0.005 * d) for d in range(1, 41))), START)
    assert smooth.u_random_m3[-1] < 1.5 * smooth.u_random_m3[5]


def test_intervals_add_up_to_the_whole_and_know_their_flags(log: Log) -> None:
    readings = levels((1.0, 0.10), (2.0, 0.20), (3.0, 0.25), (4.0, 0.12))
    ledger = log(readings, START, HolderEvent(3.0, "emptied"))
    spans = ledger.intervals
    assert spans.volume_m3.sum() == pytest.approx(ledger.total.value)
    assert spans.start.tolist() == [0.0, 1.0, 2.0, 3.0]
    assert spans.lower_bound.tolist() == [False, False, True, False]
    assert (spans.u_m3 > 0.0).all()


def test_the_first_gas_passed_on_is_the_head_spaces_air(log: Log) -> None:
    ledger = log(levels((1.0, 0.02), (2.0, 0.15), (3.0, 0.24)), START, headspace=SPACE)
    air = ledger.displaced_air_m3 + ledger.air_left_m3
    assert np.allclose(air, air[0])
    first = ledger.displaced_air_m3[1] / ledger.passed_m3[1]
    assert first == pytest.approx(1.0, abs=0.1)
    assert (np.diff(ledger.displaced_air_m3) > 0.0).all()


def test_a_flushed_head_space_has_no_air_to_push_out(log: Log) -> None:
    flushed = Headspace(SPACE.volume_m3, SPACE.temperature_c, starts_as_air=False)
    ledger = log(levels((1.0, 0.10)), START, headspace=flushed)
    assert ledger.displaced_air_m3.tolist() == [0.0, 0.0]


def test_liquid_fed_into_a_closed_vessel_lifts_the_holder_but_makes_no_gas(log: Log) -> None:
    factor = dry_normal_factor(36.0, 94.0 + DRUM.gauge_pressure_kpa(0.1))
    moved = 0.001 * factor
    level = DRUM.level_of((normal(0.10) + moved) / (normal(0.10) / DRUM.gas_volume_m3(0.10)))
    readings = levels((1.0, 0.10), (1.1, float(level)))
    fed = HolderEvent(1.05, "slurry_changed", slurry_change_m3=0.001)
    ledger = log(readings, START, fed, headspace=SPACE)
    assert ledger.intervals.volume_m3[-1] == pytest.approx(0.0, abs=1e-7)


def test_more_liquid_than_the_gas_space_holds_is_said_and_stops_nothing(log: Log) -> None:
    readings = levels((1.0, 0.02), (2.0, 0.16), (3.0, 0.20))
    fed = [HolderEvent(1.5, "slurry_changed", slurry_change_m3=0.02)]
    fed += [HolderEvent(2.5, "slurry_changed", slurry_change_m3=0.005)]
    ledger = log(readings, START, *fed, headspace=SPACE)
    assert "overfull" in kinds(ledger)
    grown = ledger.intervals.volume_m3[-1]
    assert grown == pytest.approx(normal(0.20) - normal(0.16), rel=0.02)


def test_the_head_spaces_share_of_air_falls_as_gas_is_made(log: Log) -> None:
    ledger = log(levels((1.0, 0.1), (2.0, 0.2)), START, headspace=SPACE)
    assert ledger.air_share[0] == pytest.approx(1.0)
    assert (np.diff(ledger.air_share) < 0.0).all()
    assert log(levels((1.0, 0.1)), START).air_share.tolist() == [0.0, 0.0]


def test_the_carbon_dioxide_lost_is_bounded_and_less_is_lost_to_brine(log: Log) -> None:
    from marshlight.apparatus import FloatingCylinder
    from marshlight.matter.water import ACIDIFIED_BRINE, BRINE

    readings = levels((1.0, 0.10))
    lost = [
        log(
            readings,
            START,
            holder=FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25, liquid=liquid),
        ).co2_lost_upper_m3
        for liquid in (DRUM.liquid, BRINE, ACIDIFIED_BRINE)
    ]
    assert lost[0] > lost[1] > lost[2] > 0.0
    told = log(readings, START, methane_share=Estimate(0.6, 0.02)).co2_lost_upper_m3
    assert told < lost[0]


def test_an_empty_log_is_an_empty_ledger(log: Log) -> None:
    ledger = log([])
    assert ledger.day.size == 0
    assert ledger.total == Estimate(0.0, 0.0)
    assert ledger.intervals.volume_m3.size == 0
    assert log([], START).total == Estimate(0.0, 0.0)


@pytest.mark.parametrize(
    ("reading", "field"),
    [
        (HolderReading(1.0, float("nan"), temperature_c=18.0), "value"),
        (HolderReading(float("inf"), 0.1, temperature_c=18.0), "day"),
        (HolderReading(1.0, 0.1, way="girth", temperature_c=18.0), "way"),
        (HolderReading(1.0, 0.1, temperature_c=400.0), "temperature_c"),
        (HolderReading(1.0, 0.1, temperature_c=18.0, air_pressure_kpa=1013.0), "air_pressure_kpa"),
        (HolderReading(1.0, -0.1, way="volume", temperature_c=18.0), "value"),
    ],
)
def test_an_impossible_reading_is_refused_by_name(
    log: Log, reading: HolderReading, field: str
) -> None:
    with pytest.raises(InputError) as caught:
        log([reading], START)
    assert caught.value.field == field


@pytest.mark.parametrize(
    ("make", "field"),
    [
        (lambda: HolderEvent(1.0, "burped"), "kind"),
        (lambda: HolderEvent(float("nan"), "emptied"), "day"),
        (lambda: HolderEvent(1.0, "emptied", metered_m3=-1.0), "metered_m3"),
        (lambda: Headspace(Estimate(0.0, 0.0), Estimate(36.0, 1.0)), "headspace"),
    ],
)
def test_an_impossible_event_is_refused_by_name(make: object, field: str) -> None:
    with pytest.raises(InputError) as caught:
        make()  # type: ignore[operator]
    assert caught.value.field == field


def test_weather_is_added_where_one_barometer_reading_stands_for_all(log: Log) -> None:
    from dataclasses import replace

    once = replace(STILL_AIR, covers_weather=False)
    readings = levels((1.0, 0.10))
    assert log(readings, START, barometer=once).u_m3[-1] > log(readings, START).u_m3[-1]


def test_a_level_below_the_mark_of_rest_is_taken_as_empty_and_said(log: Log) -> None:
    below = log(levels((0.5, -0.001), (1.5, 0.10)), START)
    at_rest = log(levels((0.5, 0.0), (1.5, 0.10)), START)
    assert below.cumulative_m3.tolist() == at_rest.cumulative_m3.tolist()
    assert "below_rest" in kinds(below)
