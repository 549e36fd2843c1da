"""Materials and layers."""

import pytest

from marshlight.apparatus.heat import (
    Layer,
    find_material,
    flat_resistance_m2kw,
    layer_of,
    materials,
    round_resistance_kw,
    slab_transmittance_w_m2k,
    transmittance_w_m2k,
)
from marshlight.errors import InputError
from marshlight.sources import source


def test_every_material_has_a_source_and_lies_in_its_own_range() -> None:
    for material in materials().values():
        assert source(material.source)
        assert material.low_w_mk <= material.k_w_mk <= material.high_w_mk


@pytest.mark.parametrize(
    ("said", "key"),
    [("EPS", "eps"), ("styrofoam", "eps"), ("straw-bale box", "straw"), ("a wool blanket", None),
     ("vermiculite", "vermiculite"), ("camping mat", "soft_foam")],
)  # fmt: skip
def test_materials_are_found_by_what_people_call_them(said: str, key: str | None) -> None:
    if key is None:
        assert find_material("blanket").key == "wool_cloth"
    else:
        assert find_material(said).key == key


def test_an_unknown_material_lists_near_names() -> None:
    with pytest.raises(InputError) as refused:
        find_material("polistyrine")
    assert "olystyrene" in refused.value.allowed


def test_a_conductivity_far_from_what_the_name_promises_is_refused() -> None:
    assert layer_of("eps", 0.05, k_w_mk=0.038).k_w_mk == 0.038
    with pytest.raises(InputError, match="W/\\(m2 K\\)"):
        layer_of("eps", 0.05, k_w_mk=0.5)


def test_a_thin_layer_around_a_wide_cylinder_is_nearly_flat() -> None:
    layers, radius, height = [Layer(0.01, 0.04)], 2.0, 1.0
    flat = flat_resistance_m2kw(layers) / (2.0 * 3.14159265 * radius * height)
    around = round_resistance_kw(layers, inner_radius_m=radius, height_m=height)
    assert around == pytest.approx(flat, rel=0.003)


def test_layers_in_series_add() -> None:
    one = round_resistance_kw([Layer(0.05, 0.04)], inner_radius_m=0.1, height_m=0.5)
    halves = [Layer(0.02, 0.04), Layer(0.03, 0.04)]
    assert round_resistance_kw(halves, inner_radius_m=0.1, height_m=0.5) == pytest.approx(one)


def test_the_two_branches_of_the_slab_formula_meet() -> None:
    def slab(floor: float) -> float:
        return slab_transmittance_w_m2k(7.07, 9.42, ground_k_w_mk=2.0, floor_m2kw=floor, wall_m=0.2)

    meeting = (2.0 * 7.07 / 9.42 - 0.2) / 2.0 - 0.04
    assert slab(meeting - 1e-6) == pytest.approx(slab(meeting + 1e-6), rel=0.01)


@pytest.mark.parametrize(
    ("act", "field"),
    [
        (lambda: Layer(-0.01, 0.04), "thickness"),
        (lambda: Layer(0.01, 0.0), "conductivity"),
        (lambda: round_resistance_kw([], inner_radius_m=0.0, height_m=1.0), "inner_radius_m"),
        (
            lambda: transmittance_w_m2k([], inner_film_w_m2k=0.0, outer_film_w_m2k=1.0),
            "film coefficient",
        ),
        (
            lambda: slab_transmittance_w_m2k(
                1.0, 4.0, ground_k_w_mk=2.0, floor_m2kw=-1.0, wall_m=0.0
            ),
            "floor_m2kw",
        ),
    ],
)
def test_impossible_layers_are_refused_by_name(act: object, field: str) -> None:
    with pytest.raises(InputError) as refused:
        act()  # type: ignore[operator]
    assert refused.value.field == field
