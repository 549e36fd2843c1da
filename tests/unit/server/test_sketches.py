"""Sketches of gas train and burner: drawn to the numbers, on their sheet, told in words too."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from marshlight.answers.flame_sketch import BurnerSketch, burner_sketch
from marshlight.answers.gas_train_sketch import GasTrainSketch, sketch_of
from marshlight.apparatus.burner import new_burner
from marshlight.apparatus.gas_train import GasTrain
from marshlight.server.drawing import burner as burner_drawing
from marshlight.server.drawing import gas_train as train_drawing
from marshlight.server.drawing.burner import draw_burner
from marshlight.server.drawing.gas_train import draw_gas_train

TRAIN = GasTrain(0.5, dips_m=(0.04,), relief_m=0.15, trap_leg_m=0.24)


def sketch(train: GasTrain = TRAIN, relief: str = "seal", system: str = "metric") -> GasTrainSketch:
    return sketch_of(train, relief=relief, fill=0.6, system=system)


def burner(port_m: float = 5e-3, flow: float = 0.45) -> BurnerSketch:
    made = new_burner(
        flow, pressure_kpa=1.0, relative_density=0.94, burning_m_s=0.24, port_m=port_m,
        primary_air=2.86,
    )  # fmt: skip
    return burner_sketch(made)


def dipped(drawing: str, x: float) -> tuple[float, bool]:
    """Give how deep the tube at ``x`` is drawn under water [px], and whether it is dashed."""
    tubes = [
        e
        for e in ET.fromstring(drawing).iter("line")
        if (e.get("class") or "").startswith("pipe") and e.get("x1") == e.get("x2") == f"{x:g}"
    ]
    deepest = max(tubes, key=lambda e: float(e.get("y2", "0")))
    depth = float(deepest.get("y2", "0")) - train_drawing._SURFACE
    return depth, deepest.get("class") == "pipe pipe-wanted"


def test_every_depth_of_water_is_drawn_at_one_scale() -> None:
    drawing = draw_gas_train(sketch())
    scale = train_drawing.scale_of(sketch())
    for x, metres in (
        (train_drawing._RELIEF, 0.15),
        (train_drawing._TRAP, 0.24),
        (train_drawing._SEAL, 0.04),
    ):
        depth, dashed = dipped(drawing, x)
        assert depth == pytest.approx(metres * scale, abs=0.06)
        assert not dashed
    assert {"15.0 cm", "24.0 cm", "4.00 cm"} <= set(re.findall(r">([^<]+)</text>", drawing))


def test_what_was_not_said_to_be_there_is_dashed_and_called_advised() -> None:
    open_train = GasTrain(0.5, rigid=False)
    unsaid = sketch(open_train, relief="unknown")
    assert unsaid.relief is not None
    assert unsaid.relief.metres == pytest.approx(open_train.relief_depth_advised_m)
    drawing = draw_gas_train(unsaid)
    assert dipped(drawing, train_drawing._RELIEF)[1]
    assert dipped(drawing, train_drawing._TRAP)[1]
    assert "or more" in drawing
    assert "was not said" in unsaid.in_words


def test_a_bag_that_gives_way_is_drawn_without_a_seal() -> None:
    soft = sketch(GasTrain(0.5, rigid=False), relief="soft")
    assert soft.relief is None
    assert ">relief<" not in draw_gas_train(soft)
    assert "gives way" in soft.in_words


def test_no_seal_on_the_way_leaves_the_pipe_straight() -> None:
    assert ">seals<" not in draw_gas_train(sketch(replace(TRAIN, dips_m=())))


def test_depths_are_read_in_the_reader_s_units() -> None:
    assert "5.91 in" in sketch(system="us").in_words
    assert "cm" not in sketch(system="us").in_words


@pytest.mark.parametrize("relief_m", [0.001, 0.15, 3.0])
def test_the_train_stays_on_its_sheet(relief_m: float) -> None:
    drawing = draw_gas_train(sketch(replace(TRAIN, relief_m=relief_m)))
    for kind in ("line", "rect"):
        for part in ET.fromstring(drawing).iter(kind):
            across = [float(v) for k, v in part.items() if k in ("x", "x1", "x2")]
            down = [float(v) for k, v in part.items() if k in ("y", "y1", "y2")]
            assert all(0.0 <= x <= train_drawing.WIDTH for x in across)
            assert all(0.0 <= y <= train_drawing._WORDS - 10 for y in down)


def test_hole_throat_and_port_are_drawn_at_one_scale() -> None:
    made = burner()
    scale = burner_drawing.scale_of(made)
    tree = ET.fromstring(draw_burner(made))
    upper, lower = (e for e in tree.iter("rect") if e.get("class") == "lid")
    gap = float(lower.get("y", "")) - float(upper.get("y", "")) - float(upper.get("height", ""))
    assert gap == pytest.approx(made.jet_m * scale, abs=0.16)
    ports = [
        e for e in tree.iter("line")
        if e.get("class") == "dim" and e.get("y1") == e.get("y2") == f"{burner_drawing._TOP + 8:g}"
    ]  # fmt: skip
    bore = float(ports[0].get("x2", "")) - float(ports[0].get("x1", ""))
    assert bore == pytest.approx(made.port_m * scale, abs=0.11)


def test_the_burner_is_told_in_words_and_by_both_rules() -> None:
    drawing, made = draw_burner(burner()), burner()
    assert made.jet_text == "2.04 mm"
    for text in (made.jet_text, made.throat_text, made.air_text, f"ports {made.port_text}"):
        assert f">{text}</text>" in drawing
    assert made.counts_text in made.in_words
    assert "by burning velocity" in made.counts_text
    assert 'aria-labelledby="burner-title burner-desc"' in drawing


@pytest.mark.parametrize(("port_m", "flow"), [(0.5e-3, 20.0), (10e-3, 0.001), (5e-3, 0.45)])
def test_ports_never_overlap_and_the_throat_fits_the_head(port_m: float, flow: float) -> None:
    made = burner(port_m, flow)
    scale = burner_drawing.scale_of(made)
    assert made.port_m * scale <= 0.4 * (burner_drawing._END - burner_drawing._HEAD)
    assert made.throat_m * scale / 2 <= burner_drawing._AXIS - burner_drawing._TOP
    ET.fromstring(draw_burner(made))
