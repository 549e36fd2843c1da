"""Gas in a room, limits for people, germs in slurry, and the sheet of a run."""

import math

import pytest

from marshlight.decide.safety import (
    Room,
    SheetFacts,
    exposure,
    exposure_limits,
    germs,
    hold_time,
    log_reduction,
    room_release,
    safety_sheet,
    share_after,
    steady_share,
    treatments,
)
from marshlight.errors import InputError
from marshlight.sources import source

KITCHEN = Room(30.0, 0.5)
RAW = {"CH4": 0.6, "CO2": 0.4, "H2S": 2000e-6}


def test_hydrogen_sulphide_binds_long_before_methane() -> None:
    made = room_release(KITCHEN, 0.45, RAW)
    hours = {row.gas: row.hours for row in made.gases}
    assert made.first.gas == "H2S"
    assert hours["CH4"] is not None
    assert hours["H2S"] is not None
    assert hours["H2S"] < hours["CH4"] / 15
    assert made.air_needed_m3_h == pytest.approx(0.45 * 1999)


def test_fresh_air_as_asked_keeps_every_gas_at_its_limit() -> None:
    made = room_release(KITCHEN, 0.45, RAW)
    aired = Room(30.0, made.air_needed_m3_h / 30.0)
    again = room_release(aired, 0.45, RAW)
    assert max(row.times_over for row in again.gases) == pytest.approx(1.0)


def test_the_limit_is_reached_when_it_is_said_to_be() -> None:
    row = room_release(KITCHEN, 0.45, RAW).first
    assert row.hours is not None
    reached = share_after(KITCHEN, 0.45, share=2000e-6, hours=row.hours)
    assert reached == pytest.approx(row.limit)


def test_a_room_without_air_fills_up() -> None:
    tight = Room(30.0, 0.0)
    assert steady_share(tight, 0.45) == 1.0
    assert share_after(tight, 0.45, share=1.0, hours=10.0) == pytest.approx(
        1.0 - math.exp(-0.15), rel=1e-9
    )
    assert room_release(tight, 0.45, RAW).oxygen_steady == 0.0


def test_without_sulphide_the_first_to_bind_is_another_gas() -> None:
    made = room_release(KITCHEN, 0.45, {"CH4": 0.6, "CO2": 0.4})
    assert made.first.gas in {"CH4", "CO2"}


def test_limits_come_strictest_first_with_authority_and_date() -> None:
    for gas in ("CH4", "H2S", "CO2", "CO"):
        limits = exposure_limits(gas)
        assert [x.ppm for x in limits] == sorted(x.ppm for x in limits)
        assert all(x.authority and x.as_of and source(x.source) for x in limits)


def test_outdated_limits_of_10_and_15_ppm_are_not_the_acgih_s() -> None:
    acgih = {x.ppm for x in exposure_limits("H2S") if x.authority == "ACGIH"}
    assert acgih == {1.0, 5.0}


@pytest.mark.parametrize(
    ("ppm", "word"), [(0.5, "smelt"), (150, "sense of smell"), (600, "collapse"), (900, "breaths")]
)
def test_what_hydrogen_sulphide_does_is_said(ppm: float, word: str) -> None:
    assert word in exposure("H2S", ppm * 1e-6).effect


def test_stirring_and_feeding_cut_the_kill_to_a_power_of_ten_or_so() -> None:
    assert log_reduction(20.0, 2.4, mixed=True) < 1.5
    assert log_reduction(20.0, 2.4, mixed=False) > 8.0


def test_tenfold_times_are_not_stretched_beyond_their_two_measurements() -> None:
    germ = germs()["salmonella_typhimurium"]
    assert germ.tenfold_d(20.0) is None
    assert germ.tenfold_d(70.0) is None
    assert germs()["faecal_coliforms"].tenfold_d(45.0) is None
    assert germ.tenfold_d(45.0) == pytest.approx(germ.at_35_d * 10 ** (-10 / germ.z_k))


def test_hotter_asks_less_time_but_never_less_than_the_floor() -> None:
    times = [hold_time(t, solids=0.05).asked_d for t in (50, 55, 60, 65, 70, 80, 90)]
    assert times == sorted(times, reverse=True)
    assert hold_time(90.0, solids=0.10).asked_d * 1440 == pytest.approx(20.0)
    assert hold_time(70.0, solids=0.05).floored


def test_a_treatment_is_met_only_with_heat_time_and_small_pieces() -> None:
    eu = treatments()[0]
    assert eu.met_by(70.0, 1.0, 0.012)
    assert not eu.met_by(69.0, 1.0, 0.012)
    assert not eu.met_by(70.0, 0.9, 0.012)
    assert not eu.met_by(70.0, 1.0, 0.05)


def test_a_sheet_speaks_in_the_run_s_own_numbers() -> None:
    sheet = safety_sheet(
        SheetFacts(
            "Drum 1",
            materials=("goat manure",),
            hazards=("human_pathogens",),
            slurry_m3=0.0165,
            gas_space_m3=0.0085,
            holder_m3=0.004,
            gas_m3_d=0.015,
            methane=0.55,
            heater_w=40.0,
            room=KITCHEN,
            people=("keeper", "pupils"),
        )
    )
    hazards = [caution.hazard for caution in sheet.cautions]
    assert hazards[0] == "explosive_gas"
    assert {"human_pathogens", "mains_heater", "asphyxiation"} <= set(hazards)
    low, high = sheet.numbers[0].value  # type: ignore[misc]
    assert 0.0004 < low < 0.001 < high < 0.003
    assert sheet.release is not None
    assert any("plug" in stop.when for stop in sheet.stops)
    assert "hydrogen sulphide in the gas" in sheet.unknown
    assert sheet.ask
    assert all(source(key) for key in sheet.sources)


def test_what_is_not_known_is_named_and_not_guessed() -> None:
    sheet = safety_sheet(SheetFacts("Bare"))
    assert len(sheet.unknown) == 9
    assert sheet.release is None


def test_impossible_rooms_and_gases_are_refused() -> None:
    with pytest.raises(InputError, match="room"):
        Room(0.0, 1.0)
    with pytest.raises(InputError, match="gas let out"):
        room_release(KITCHEN, 0.0, RAW)
    with pytest.raises(InputError, match="gas shares"):
        room_release(KITCHEN, 0.4, {"CH4": 0.8, "CO2": 0.4})
    with pytest.raises(InputError, match="gas"):
        exposure_limits("N2")
