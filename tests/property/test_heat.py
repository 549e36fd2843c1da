"""Laws of heat that hold whatever the numbers are."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    Body,
    Flows,
    Heater,
    Layer,
    Outside,
    Stand,
    Weather,
    Wrap,
    body_of,
    losses,
    power_needed_w,
    settle,
    warm_course,
)
from marshlight.apparatus.storage import storage_needed
from marshlight.process.heated import BatchGas

SHAPES = st.one_of(
    st.builds(
        lambda d, h: Vessel.cylinder(diameter_m=d, height_m=h),
        st.floats(0.08, 3.0),
        st.floats(0.1, 3.0),
    ),
    st.builds(
        lambda d, n: Vessel.lying_cylinder(diameter_m=d, length_m=n),
        st.floats(0.1, 2.0),
        st.floats(0.2, 4.0),
    ),
    st.builds(lambda d: Vessel.sphere(diameter_m=d), st.floats(0.1, 3.0)),
    st.builds(lambda a: Vessel.box(length_m=a, width_m=0.7 * a, height_m=a), st.floats(0.1, 2.0)),
)
CONDUCTIVITY = st.floats(0.02, 0.1)
PLACES = st.sampled_from(["slurry", "wall", "base"])


def _body(
    vessel: Vessel, thickness: float, k: float, *, emissivity: float = 0.9, place: str = "slurry"
) -> Body:
    foam = (Layer(thickness, k),)
    wrap = Wrap(wall=(Layer(0.003, 0.5),), side=foam, lid=foam, base=foam, emissivity=emissivity)
    stand = Stand("table", (Layer(0.018, 0.13),))
    return body_of(
        vessel, slurry_m3=0.66 * vessel.total_m3, wrap=wrap, stand=stand, heater_place=place
    )


@settings(max_examples=120, deadline=None)
@given(
    vessel=SHAPES,
    thickness=st.floats(0.0, 0.3),
    more=st.floats(0.002, 0.2),
    k=CONDUCTIVITY,
    emissivity=st.floats(0.05, 0.95),
    place=PLACES,
)
def test_more_insulation_never_needs_more_power(
    *, vessel: Vessel, thickness: float, more: float, k: float, emissivity: float, place: str
) -> None:
    cold = Outside(5.0, 8.0)
    heater = Heater({"slurry": "immersed", "wall": "cable", "base": "mat"}[place], 50.0, 38.0)
    thin = _body(vessel, thickness, k, emissivity=emissivity, place=place)
    thick = _body(vessel, thickness + more, k, emissivity=emissivity, place=place)
    before = power_needed_w(thin, 38.0, cold, heater=heater)
    assert power_needed_w(thick, 38.0, cold, heater=heater) <= before * (1.0 + 1e-6)


@settings(max_examples=60, deadline=None)
@given(SHAPES, st.floats(0.0, 0.1), st.floats(-10.0, 30.0), st.floats(0.5, 40.0))
def test_a_colder_room_takes_more_heat(
    vessel: Vessel, thickness: float, room: float, colder: float
) -> None:
    body = _body(vessel, thickness, 0.04)
    warm = losses(body, 38.0, Outside(room, room)).total_w
    assert losses(body, 38.0, Outside(room - colder, room - colder)).total_w > warm


@settings(max_examples=60, deadline=None)
@given(SHAPES, st.floats(0.005, 0.1), st.floats(0.0, 60.0), st.floats(0.5, 60.0))
def test_more_power_settles_warmer(
    vessel: Vessel, thickness: float, power: float, more: float
) -> None:
    body, room = _body(vessel, thickness, 0.04, place="wall"), Outside(20.0, 20.0)
    scale = vessel.total_m3 ** (2.0 / 3.0)
    cool = settle(body, Heater("cable", power * scale), room).slurry_c
    assert settle(body, Heater("cable", (power + more) * scale), room).slurry_c > cool


HEATERS = st.one_of(
    st.builds(
        Heater, st.just("immersed"), st.floats(0.0, 400.0), st.none() | st.floats(15.0, 60.0)
    ),
    st.builds(Heater, st.just("cable"), st.floats(0.0, 400.0), st.none() | st.floats(15.0, 60.0)),
    st.builds(Heater, st.just("sun"), st.floats(0.0, 200.0)),
    st.builds(
        lambda t, g, s: Heater("coil", set_point_c=s, supply_c=t, conductance_w_k=g),
        st.floats(30.0, 80.0),
        st.floats(0.1, 400.0),
        st.none() | st.floats(15.0, 60.0),
    ),
    st.just(Heater()),
)


@settings(max_examples=80, deadline=None)
@given(
    vessel=SHAPES,
    heater=HEATERS,
    start=st.floats(-5.0, 60.0),
    half_swing=st.floats(0.0, 10.0),
    step=st.floats(0.1, 24.0),
    feed=st.floats(0.0, 200.0),
)
def test_the_energy_balance_of_every_transient_closes(
    *, vessel: Vessel, heater: Heater, start: float, half_swing: float, step: float, feed: float
) -> None:
    place = {"cable": "wall"}.get(heater.kind, "slurry")
    course = warm_course(
        _body(vessel, 0.03, 0.04, place=place),
        heater,
        Weather.swing(12.0 - half_swing, 12.0 + half_swing),
        days=3.0,
        start_c=start,
        flows=Flows(feed * vessel.total_m3, 10.0),
        gas=BatchGas(0.5 * vessel.total_m3, 0.2),
        step_h=step,
    )
    book = course.book
    moved = (
        abs(book.given) + sum(map(abs, book.by_way.values())) + abs(book.stored) + abs(book.feed)
    )
    assert abs(book.gap) <= 1e-9 * max(moved, 1e-9)
    assert bool(np.all((course.duty >= 0.0) & (course.duty <= 1.0 + 1e-12)))
    assert course.gas_m3.sum() <= 0.5 * vessel.total_m3


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(0.0, 1.0), min_size=24, max_size=24),
    st.lists(st.floats(0.0, 1.0), min_size=24, max_size=24),
    st.integers(0, 23),
)
def test_storage_does_not_depend_on_when_the_day_begins(
    made: list[float], used: list[float], turn: int
) -> None:
    total = sum(used)
    if total > 0.0:
        used = [u / total * sum(made) for u in used]
    here = storage_needed(made, used).volume_m3
    turned = storage_needed(made[turn:] + made[:turn], used[turn:] + used[:turn]).volume_m3
    assert math.isclose(here, turned, abs_tol=1e-9)
    assert here <= sum(made) + 1e-9
