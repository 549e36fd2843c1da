"""Laws that every normalised volume and every ledger must keep."""

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from marshlight.apparatus import Bag, FloatingCylinder, Vessel
from marshlight.estimate import Estimate
from marshlight.matter.atmosphere import AirPressure
from marshlight.matter.gas import dry_normal_factor
from marshlight.measure import (
    AirShare,
    Analyser,
    Co2Absorption,
    FlameTest,
    GasLedger,
    Headspace,
    HolderEvent,
    HolderReading,
    build_ledger,
    methane_share,
)

# A loaded machine may be slow; slowness is the benchmarks' business.
unhurried = settings(deadline=None, max_examples=40)

celsius = st.floats(0.0, 50.0)
kilopascals = st.floats(60.0, 110.0)
levels = st.floats(0.002, 0.24)

DRUM = FloatingCylinder(bore_m=0.15, mass_kg=0.4, travel_m=0.25)
AIR = AirPressure(94.0, 0.2, 0.1, "barometer", covers_weather=True)
START = HolderEvent(0.0, "started")
SPACE = Headspace(Estimate(0.008, 0.0002), Estimate(36.0, 0.5))


def ledger(readings: list[HolderReading], *events: HolderEvent, **more: object) -> GasLedger:
    return build_ledger(DRUM, readings, events, **({"barometer": AIR} | more))  # type: ignore[arg-type]


def read(day: float, level: float, **more: float) -> HolderReading:
    return HolderReading(day, level, **({"temperature_c": 18.0} | more))  # type: ignore[arg-type]


@unhurried
@given(celsius, kilopascals, st.floats(0.1, 10.0))
def test_more_pressure_means_more_gas(t: float, p: float, more: float) -> None:
    assert dry_normal_factor(t, p + more) > dry_normal_factor(t, p)


@unhurried
@given(celsius, kilopascals, st.floats(0.1, 10.0), st.floats(0.0, 1.0))
def test_warmer_gas_of_one_volume_is_less_gas(t: float, p: float, more: float, rh: float) -> None:
    assert dry_normal_factor(t + more, p, rh) < dry_normal_factor(t, p, rh)


@unhurried
@given(celsius, kilopascals)
def test_moist_gas_is_less_than_dry(t: float, p: float) -> None:
    assert dry_normal_factor(t, p, 1.0) < dry_normal_factor(t, p, 0.0)


@unhurried
@given(levels, levels)
def test_a_higher_cylinder_holds_more(one: float, other: float) -> None:
    low, high = sorted((one, other))
    got = [ledger([read(1.0, x)], START).cumulative_m3[-1] for x in (low, high)]
    assert got[0] <= got[1]


@unhurried
@given(st.lists(levels, min_size=2, max_size=8), st.integers(0, 6))
def test_splitting_an_interval_does_not_change_the_sum(values: list[float], where: int) -> None:
    rising = sorted(values)
    whole = [read(1.0 + i, x) for i, x in enumerate(rising)]
    place = where % (len(rising) - 1)
    middle = read(1.5 + place, (rising[place] + rising[place + 1]) / 2.0)
    plain, split = ledger(whole, START), ledger([*whole, middle], START)
    assert np.isclose(plain.total.value, split.total.value, rtol=1e-12)
    assert np.isclose(plain.total.u, split.total.u, rtol=1e-12)
    assert np.isclose(split.intervals.volume_m3.sum(), split.total.value)


@unhurried
@given(st.lists(st.tuples(celsius, kilopascals, st.floats(25.0, 45.0)), min_size=2, max_size=12))
def test_weather_and_temperature_alone_make_no_gas(
    states: list[tuple[float, float, float]],
) -> None:
    """Set the bag to what a fixed amount of gas fills under each weather."""
    bag, amount, readings = Bag(capacity_m3=1.0), 0.15, []
    for day, (room, pressure, vessel) in enumerate(states):
        held = amount - 0.01 * dry_normal_factor(vessel, pressure)
        readings.append(
            HolderReading(
                float(day),
                held / dry_normal_factor(room, pressure),
                way="volume",
                temperature_c=room,
                vessel_temperature_c=vessel,
                air_pressure_kpa=pressure,
            )
        )
    space = Headspace(Estimate(0.01, 0.0005), Estimate(36.0, 1.0))
    found = build_ledger(bag, readings, barometer=AIR, headspace=space)
    assert np.all(np.abs(found.cumulative_m3) <= 1e-9)
    assert not any(note.kind == "fell" for note in found.notes)


@unhurried
@given(
    st.lists(st.tuples(st.floats(0.01, 2.0), levels, st.booleans()), min_size=1, max_size=25),
    st.booleans(),
)
def test_a_ledger_keeps_its_promises_whatever_was_logged(
    steps: list[tuple[float, float, bool]], with_space: bool
) -> None:
    day, readings, events = 0.0, [], [START]
    for gap, level, emptied in steps:
        day += gap
        readings.append(read(day, level))
        if emptied:
            events.append(HolderEvent(day, "emptied"))
    found = ledger(readings, *events, headspace=SPACE if with_space else None)
    assert found.day.size == len(steps) + 1
    assert np.all(np.isfinite(found.cumulative_m3))
    assert np.all(found.u_m3 >= 0.0)
    assert np.allclose(np.hypot(found.u_random_m3, found.u_shared_m3), found.u_m3)
    assert np.all(np.diff(found.lower_bound.astype(int)) >= 0)
    said = sum(note.kind in {"fell", "unseen"} for note in found.notes)
    assert said == int(np.count_nonzero(found.interval_lower_bound))
    air = found.displaced_air_m3 + found.air_left_m3
    assert np.allclose(air, air[0])


@unhurried
@given(st.integers(0, 2**32 - 1))
def test_the_claimed_doubt_covers_the_truth(seed: int) -> None:
    """Draw every declared error, rebuild the log, compare with the truth at three sigma."""
    rng = np.random.default_rng(seed)
    bore, shift = rng.normal(0.0, 0.0005), rng.normal(0.0, 0.5)
    truth, readings, events = 0.0, [], [START]
    real = FloatingCylinder(bore_m=0.15 + bore, mass_kg=0.4, travel_m=0.25)
    for day in range(1, 21):
        level, room = rng.uniform(0.05, 0.24), rng.uniform(8.0, 24.0)
        pressure = 94.0 + rng.normal(0.0, 0.8)
        factor = dry_normal_factor(room, pressure + real.gauge_pressure_kpa(level))
        truth += real.gas_volume_m3(level, temperature_c=room) * factor
        seen = read(
            float(day),
            max(level + rng.normal(0.0, 0.001), 0.0),
            temperature_c=room + shift + rng.normal(0.0, 1.0),
            air_pressure_kpa=pressure + rng.normal(0.0, 0.1),
        )
        readings.append(seen)
        events.append(HolderEvent(float(day), "emptied"))
    found = ledger(readings, *events)
    assert abs(found.total.value - truth) < 4.0 * found.total.u
    assert found.total.u < 0.03 * truth


@unhurried
@given(st.floats(0.05, 0.95), st.floats(0.005, 0.05))
def test_in_gas_without_air_more_carbon_dioxide_means_less_methane(share: float, u: float) -> None:
    sealed = AirShare(Estimate(0.0, 0.001))
    low, high = (
        methane_share([Co2Absorption(Estimate(x, u)), sealed]).methane.value
        for x in (share, share + 0.03)
    )
    assert high <= low + 1e-9


@unhurried
@given(st.lists(st.floats(0.1, 0.8), min_size=1, max_size=5), st.booleans())
def test_an_interval_is_in_order_and_is_a_share(readings: list[float], flame: bool) -> None:
    evidence = [Analyser("CH4", x, 0.02) for x in readings]
    found = methane_share([*evidence, FlameTest("holds")] if flame else evidence)
    for span in (found.methane, found.air_free, found.air):
        assert 0.0 <= span.low <= span.value <= span.high <= 1.0
    assert min(readings) - 0.1 < found.methane.value < max(readings) + 0.1 or found.conflict


@unhurried
@given(st.floats(0.01, 0.99), st.floats(0.2, 3.0), st.floats(0.5, 5.0))
def test_a_vessels_level_and_volume_agree(part: float, diameter: float, length: float) -> None:
    for vessel in (
        Vessel.lying_cylinder(diameter_m=diameter, length_m=length),
        Vessel.cylinder(diameter_m=diameter, height_m=length),
    ):
        volume = part * vessel.total_m3
        assert np.isclose(vessel.volume_at(vessel.level_at(volume)), volume, rtol=1e-5)
        heights = np.linspace(0.0, vessel.depth_m, 9)
        assert all(a < b for a, b in pairwise(vessel.volume_at(heights).tolist()))
