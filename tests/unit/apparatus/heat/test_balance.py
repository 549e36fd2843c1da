"""Where a vessel settles, what it needs, and what is dangerous about its heater."""

import math
from dataclasses import replace

import pytest

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    Body,
    Flows,
    Heater,
    Outside,
    Stand,
    Through,
    Wrap,
    body_of,
    coil,
    dangers_of,
    insulation_needed_m,
    layer_of,
    losses,
    power_needed_w,
    settle,
    warm_up_s,
    worth,
)
from marshlight.apparatus.heat.danger import Danger
from marshlight.errors import FitError, InputError
from marshlight.sources import source

DRUM = Vessel.cylinder(diameter_m=0.28, height_m=0.406)
ROOM = Outside(18.0, 18.0)
BOARD = Stand("table", (layer_of("wood", 0.018),))


def _body(thickness_m: float = 0.04, *, place: str = "wall", vessel: Vessel = DRUM) -> Body:
    foam = (layer_of("eps", thickness_m),)
    wrap = Wrap(wall=(layer_of("hdpe", 0.003),), side=foam, lid=foam, base=foam)
    slurry = 0.66 * vessel.total_m3
    return body_of(vessel, slurry_m3=slurry, wrap=wrap, stand=BOARD, heater_place=place)


def test_without_a_heater_it_settles_at_the_room() -> None:
    assert settle(_body(), Heater(), ROOM).slurry_c == pytest.approx(18.0, abs=1e-4)


def test_a_thermostat_holds_its_set_point_at_a_duty_that_balances() -> None:
    body, cable = _body(), Heater("cable", 40.0, 37.0)
    found = settle(body, cable, ROOM)
    assert found.slurry_c == 37.0
    assert found.reached
    reaching = found.power_w * cable.share_in(body, found.losses.passages)
    assert reaching == pytest.approx(found.losses.total_w)
    assert power_needed_w(body, 37.0, ROOM, heater=cable) == pytest.approx(found.power_w)


def test_a_weak_heater_says_that_it_does_not_get_there() -> None:
    found = settle(_body(0.0), Heater("cable", 8.0, 37.0), ROOM)
    assert not found.reached
    assert 18.0 < found.slurry_c < 37.0
    assert found.duty == 1.0


def test_in_a_room_warmer_than_the_set_point_the_heater_rests() -> None:
    found = settle(_body(), Heater("cable", 40.0, 20.0), Outside(30.0, 30.0))
    assert found.duty == 0.0
    assert found.slurry_c == pytest.approx(30.0, abs=1e-3)


def test_heat_at_the_wall_is_partly_lost_and_more_so_without_insulation() -> None:
    cable = Heater("cable", 10.0)
    thick, bare = _body(0.05), _body(0.0)
    shares = [cable.share_in(body, losses(body, 37.0, ROOM).passages) for body in (thick, bare)]
    assert 0.5 < shares[1] < shares[0] < 1.0


def test_the_wall_at_a_cable_is_hotter_than_the_slurry() -> None:
    found = settle(_body(), Heater("cable", 40.0, 37.0), ROOM)
    assert found.hottest_c > 37.5
    in_slurry = settle(_body(place="slurry"), Heater("immersed", 40.0, 37.0), ROOM)
    assert in_slurry.hottest_c == 37.0


def test_a_mat_larger_than_the_base_warms_the_room_with_the_rest() -> None:
    body = _body(place="base")
    small, large = Heater("mat", 20.0, area_m2=0.05), Heater("mat", 20.0, area_m2=0.25)
    passages = losses(body, 30.0, ROOM).passages
    assert large.share_in(body, passages) < 0.3 * small.share_in(body, passages)


def test_a_coil_cannot_warm_beyond_its_water() -> None:
    hot = settle(_body(place="slurry"), coil(45.0, 0.2), ROOM)
    assert 40.0 < hot.slurry_c < 45.0
    held = settle(_body(place="slurry"), replace(coil(60.0, 0.2), set_point_c=37.0), ROOM)
    assert held.slurry_c == 37.0


def test_feed_and_moist_gas_take_heat() -> None:
    still = losses(_body(), 38.0, ROOM)
    busy = losses(_body(), 38.0, ROOM, Flows(1.0, 10.0, 0.05))
    assert busy.feed_w == pytest.approx(1.0 * 4186.0 * 28.0 / 86400.0)
    assert busy.vapour_w > 0.0
    assert busy.total_w > still.total_w


@pytest.mark.parametrize(
    "vessel",
    [
        DRUM,
        Vessel.box(length_m=0.3, width_m=0.2, height_m=0.4),
        Vessel.lying_cylinder(diameter_m=0.3, length_m=0.5),
        Vessel.sphere(diameter_m=0.36),
        Vessel.dome(diameter_m=0.5, height_m=0.25),
        Vessel.given(volume_m3=0.025),
        Vessel.from_table(((0.0, 0.0), (0.2, 0.010), (0.4, 0.025))),
    ],
    ids=lambda v: v.shape,
)
def test_every_shape_of_about_25_litres_loses_about_as_much(vessel: Vessel) -> None:
    per_area = losses(_body(vessel=vessel), 37.0, ROOM).conductance_w_k / vessel.total_m3 ** (2 / 3)
    assert 2.5 < per_area < 9.0


def test_on_the_ground_the_floor_faces_the_ground() -> None:
    tank = Vessel.cylinder(diameter_m=2.4, height_m=2.2)
    wrap = Wrap(wall=(layer_of("concrete", 0.15),), side=(layer_of("eps", 0.1),))
    body = body_of(tank, slurry_m3=8.0, wrap=wrap, stand=Stand("ground", ground_k_w_mk=1.5))
    floor = next(way for way in body.ways if way.name == "base")
    assert floor.faces == "ground"
    same = losses(body, 38.0, Outside(0.0, 38.0))
    assert same.passages["base"].heat_w == pytest.approx(0.0)


def test_wind_takes_more_than_still_air() -> None:
    foam = (layer_of("eps", 0.02),)
    still, windy = (
        body_of(
            DRUM,
            slurry_m3=0.016,
            wrap=Wrap(side=foam, lid=foam, outer_film_w_m2k=film),
            stand=Stand("none"),
        )
        for film in (None, 25.0)
    )
    assert losses(windy, 37.0, ROOM).total_w > losses(still, 37.0, ROOM).total_w


def test_the_insulation_found_is_just_enough() -> None:
    def at(thickness_m: float) -> Body:
        return _body(thickness_m)

    cable = Heater("cable", 12.0, 37.0)
    needed = insulation_needed_m(at, 37.0, Outside(5.0, 5.0), power_w=12.0, heater=cable)
    assert 0.005 < needed < 0.2
    assert power_needed_w(at(needed), 37.0, Outside(5.0, 5.0), heater=cable) <= 12.0
    thinner = at(needed - 0.002)
    assert power_needed_w(thinner, 37.0, Outside(5.0, 5.0), heater=cable) > 12.0


def test_no_insulation_helps_a_heater_that_the_feed_alone_outruns() -> None:
    needed = insulation_needed_m(_body, 37.0, ROOM, power_w=5.0, flows=Flows(10.0, 10.0))
    assert math.isinf(needed)


def test_heat_that_cannot_leave_is_an_error_in_words() -> None:
    sealed = Body((Through("wall", 1e-6),), 10.0)
    with pytest.raises(FitError, match="cannot leave"):
        settle(sealed, Heater("immersed", 1000.0), ROOM)


def test_a_goal_beyond_the_end_is_never_reached() -> None:
    never = warm_up_s(
        20.0, 38.0, heat_capacity_j_k=41860.0, conductance_w_k=2.2, power_w=20.0, outside_c=20.0
    )
    assert math.isinf(never)


def test_worth_is_said_plainly() -> None:
    bench = worth(0.5, 0.006, unheated_methane_m3_per_d=0.002)
    assert "uses more energy than it makes" in bench.sentence
    farm = worth(20.0, 5.0, unheated_methane_m3_per_d=1.0)
    assert farm.pays
    assert "brings more gas than it costs" in farm.sentence
    warm = worth(20.0, 5.0, unheated_methane_m3_per_d=4.5)
    assert not warm.pays
    assert "would come without heating" in warm.sentence
    assert "a gain" in worth(0.0, 1.0, unheated_methane_m3_per_d=0.5).sentence


# What is typed, and what the program says to it: (heater, safeguard, made for liquids) -> key.
SMALL = Body((Through("wall", 1.0),), 15.0, heated="wall", heated_m2=0.3)
DANGEROUS = [
    (Heater("cable", 40.0, 37.0), "no", True, "mains_without_residual_current_device", True),
    (Heater("immersed", 20.0, 37.0), "yes", False, "improvised_immersion_heater", True),
    (Heater("cable", 20.0, 65.0), "yes", True, "set_point_too_high", True),
    (Heater("cable", 100.0, 37.0), "yes", True, "stuck_thermostat", False),
    (Heater("cable", 100.0), "yes", True, "runaway", True),
    (Heater("cable", 32.0), "yes", True, "too_hot_for_microbes", False),
    (Heater("cable", 4000.0, 37.0), "yes", True, "stuck_thermostat", False),
]


@pytest.mark.parametrize(
    ("heater", "safeguard", "made", "key", "refused"), DANGEROUS, ids=lambda v: str(v)[:40]
)
def test_a_dangerous_heater_is_refused_or_warned_of(
    heater: Heater, safeguard: str, made: bool, key: str, refused: bool
) -> None:
    found = dangers_of(
        SMALL, heater, Outside(24.0, 24.0), safeguard=safeguard, made_for_liquids=made
    )
    by_key: dict[str, Danger] = {danger.key: danger for danger in found}
    assert key in by_key
    assert by_key[key].refused is refused
    assert source(by_key[key].source)


def test_refusals_come_first_and_a_weak_safe_heater_gets_no_word() -> None:
    both = dangers_of(SMALL, Heater("cable", 100.0, 37.0), Outside(24.0, 24.0), safeguard="no")
    assert both[0].refused
    assert not both[-1].refused
    weak = Heater("cable", 12.0, 30.0)
    assert dangers_of(SMALL, weak, Outside(24.0, 24.0), safeguard="yes") == ()
    assert dangers_of(SMALL, Heater(), Outside(24.0, 24.0)) == ()


def test_a_hot_spot_at_a_strong_short_cable_is_named() -> None:
    hot = replace(SMALL, heated_m2=0.02, resistance_to_heater_m2kw=0.025)
    keys = {d.key for d in dangers_of(hot, Heater("cable", 30.0, 37.0), ROOM, safeguard="yes")}
    assert "hot_spot" in keys


@pytest.mark.parametrize(
    ("act", "field"),
    [
        (lambda: Heater("kettle"), "kind of heater"),
        (lambda: Heater("cable", -5.0), "heater, power_w"),
        (lambda: Heater("mat", 10.0, area_m2=0.0), "area of the mat"),
        (lambda: Heater("sun", 10.0, daylight_h=0.0), "hours of sun"),
        (lambda: Flows(-1.0), "feed_kg_per_d"),
        (lambda: Stand("cloud"), "stands on"),
        (lambda: coil(60.0, 0.0), "area of the coil"),
        (lambda: Body((), 0.0), "slurry"),
        (lambda: worth(-1.0, 1.0, unheated_methane_m3_per_d=0.0), "energy taken"),
        (
            lambda: dangers_of(SMALL, Heater(), ROOM, safeguard="perhaps"),
            "protection of the mains",
        ),
        (
            lambda: body_of(DRUM, slurry_m3=0.01, wrap=Wrap(), stand=Stand(), heater_place="lid"),
            "place of the heater",
        ),
        (lambda: body_of(DRUM, slurry_m3=1.0, wrap=Wrap(), stand=Stand()), "slurry_m3"),
    ],
)
def test_impossible_set_ups_are_refused_by_name(act: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        act()  # type: ignore[operator]
    assert refused.value.field == field
