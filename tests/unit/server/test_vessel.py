"""The drawing says what the numbers say, without a browser."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from marshlight.answers.picture import HolderPicture, VesselPicture
from marshlight.errors import InputError
from marshlight.server.drawing import draw_vessel
from marshlight.server.drawing.layout import lay_out

DRUM = VesselPicture(
    name="Drum 3",
    kind="drum",
    width_m=0.30,
    height_m=0.40,
    slurry_m=0.25,
    holder=HolderPicture("cylinder", 0.16, 0.25, level_m=0.10, volume_text="2.0 L"),
    temperature_c=37.0,
    methane=(0.5, 0.6),
    flame="holds",
    insulation_m=0.05,
    heater="on",
    size_text="25 L",
    temperature_text="37.0 °C",
)


def _parts(picture: VesselPicture, kind: str, variant: str = "run") -> list[ET.Element]:
    tree = ET.fromstring(draw_vessel(picture, variant=variant))
    return [e for e in tree.iter() if e.get("class") == kind]


def _size(element: ET.Element, name: str) -> float:
    return float(element.get(name, "nan"))


@pytest.mark.parametrize("variant", ["small", "run", "card"])
def test_slurry_and_vessel_keep_their_true_proportions(variant: str) -> None:
    slurry = _parts(DRUM, "slurry", variant)[0]
    assert _size(slurry, "height") / _size(slurry, "width") == pytest.approx(0.25 / 0.30, rel=0.01)


def test_vessel_and_holder_share_one_scale() -> None:
    sheet = lay_out(DRUM, "run")
    assert sheet.holder is not None
    assert sheet.holder.width / sheet.vessel.width == pytest.approx(0.16 / 0.30)
    assert sheet.lift / sheet.vessel.height == pytest.approx(0.10 / 0.40)


@pytest.mark.parametrize("variant", ["small", "run", "card"])
def test_everything_stays_on_the_sheet(variant: str) -> None:
    full = replace(DRUM, holder=HolderPicture("cylinder", 0.16, 0.25, level_m=0.25))
    sheet = lay_out(full, variant)
    assert sheet.holder is not None
    assert sheet.holder.y - sheet.lift >= 0
    assert sheet.holder.right <= sheet.width
    assert sheet.vessel.floor + sheet.jacket <= sheet.height
    assert sheet.vessel.x - sheet.jacket >= 0


def test_more_methane_deepens_its_tint_and_thins_the_other() -> None:
    poor, rich = (replace(DRUM, methane=(s, s)) for s in (0.2, 0.6))

    def opacity(picture: VesselPicture, kind: str) -> float:
        return _size(_parts(picture, kind)[0], "fill-opacity")

    assert opacity(rich, "gas-methane") > opacity(poor, "gas-methane")
    assert opacity(rich, "gas-co2") < opacity(poor, "gas-co2")


def test_a_warmer_vessel_has_a_longer_column_that_ends_inside_its_tube() -> None:
    def column(celsius: float) -> float:
        parts = _parts(replace(DRUM, temperature_c=celsius), "mercury")
        return next(_size(p, "height") for p in parts if p.tag.endswith("rect"))

    assert column(0.0) == 0.0
    assert column(20.0) < column(40.0) < column(60.0) == column(90.0)


def test_what_is_not_known_is_hatched_and_said_not_guessed() -> None:
    blind = replace(
        DRUM, slurry_m=None, temperature_c=None, temperature_text="", methane=None, flame="unknown"
    )
    assert _parts(blind, "unknown")
    assert not _parts(blind, "slurry")
    assert not _parts(blind, "mercury")
    words = ET.fromstring(draw_vessel(blind)).find("desc")
    assert words is not None
    assert "slurry level not known" in (words.text or "")
    assert "temperature not read" in (words.text or "")
    assert "flame not tried yet" in (words.text or "")


def test_a_suspected_floating_layer_is_drawn_and_said() -> None:
    crusted = replace(DRUM, floating_layer=True)
    assert _parts(crusted, "crust")
    assert "floating layer is suspected" in crusted.in_words
    assert not _parts(DRUM, "crust")


@pytest.mark.parametrize(
    ("state", "mark"), [("holds", "flame-holds"), ("dies", "flame-dies"), ("none", "flame-strike")]
)
def test_each_flame_has_its_own_shape(state: str, mark: str) -> None:
    assert _parts(replace(DRUM, flame=state), mark)


def test_the_drawing_names_itself_for_those_who_cannot_see_it() -> None:
    tree = ET.fromstring(draw_vessel(DRUM, ident="drum-3"))
    labels = tree.get("aria-labelledby", "").split()
    ids = {e.get("id") for e in tree.iter()}
    assert tree.get("role") == "img"
    assert set(labels) <= ids
    assert "Drum 3 in section" in "".join(tree.itertext())


def test_nothing_a_user_typed_can_break_out_of_the_drawing() -> None:
    nasty = replace(DRUM, name='<script>alert("x")</script>', temperature_text='"><b>')
    text = draw_vessel(nasty, ident='a"b')
    assert "<script" not in text
    ET.fromstring(text)


def test_the_drawing_has_no_inline_style() -> None:
    assert not re.search(r"\sstyle=|<style", draw_vessel(DRUM, variant="card"))


def test_the_card_says_its_dimensions_and_the_small_one_says_nothing() -> None:
    card = [e.text for e in _parts(DRUM, "dim-text", "card")]
    assert card == ["30 cm", "40 cm", "25 cm", "16 cm"]
    assert not list(ET.fromstring(draw_vessel(DRUM, variant="small")).iter("text"))


def test_an_impossible_vessel_is_refused() -> None:
    with pytest.raises(InputError, match="height_m"):
        replace(DRUM, height_m=0.0)
    with pytest.raises(InputError, match="variant"):
        draw_vessel(DRUM, variant="poster")


@pytest.mark.parametrize("fill", [0.05, 0.5, 1.0])
def test_the_pipe_reaches_the_bag_however_full_it_is(fill: float) -> None:
    bag = replace(DRUM, holder=HolderPicture("bag", 0.9, 0.45, fill=fill))
    outline = _parts(bag, "bag")[0]
    route = next(p.get("d", "") for p in _parts(bag, "pipe") if p.tag.endswith("path"))
    assert float(route.split()[-1]) == pytest.approx(_size(outline, "y"), abs=0.2)


ROUND = [("lying", 2.4, 1.2), ("sphere", 1.6, 1.6), ("dome", 2.4, 1.2), ("dome", 2.0, 1.5)]


@pytest.mark.parametrize("variant", ["small", "run", "card"])
@pytest.mark.parametrize(("form", "width", "height"), ROUND)
def test_a_round_vessel_is_drawn_round_and_stays_on_the_sheet(
    form: str, width: float, height: float, variant: str
) -> None:
    tank = replace(DRUM, form=form, width_m=width, height_m=height, slurry_m=0.5 * height)
    outline = _parts(tank, "wall", variant)[-1].get("d", "")
    assert "A " in outline
    sheet = lay_out(tank, variant)
    assert sheet.vessel.width / sheet.vessel.height == pytest.approx(width / height)
    out = sheet.jacket + tank.bulge_m * sheet.scale
    assert sheet.vessel.x - out >= 0.0
    assert sheet.vessel.y - sheet.jacket >= 0.0
    inside = ET.fromstring(draw_vessel(tank, variant=variant, ident="t"))
    assert any(e.get("clip-path") == "url(#t-inside)" for e in inside.iter())


def test_an_arc_has_the_radius_of_the_vessel() -> None:
    for form, width, height in ROUND[1:]:
        tank = replace(DRUM, form=form, width_m=width, height_m=height)
        scale = lay_out(tank, "run").scale
        steps = _parts(tank, "wall")[-1].get("d", "").split()
        radius = float(steps[steps.index("A") + 1]) / scale
        wanted = width / 2 if form == "sphere" else ((width / 2) ** 2 + height**2) / (2 * height)
        assert radius == pytest.approx(wanted, rel=0.01)


def test_a_form_is_said_in_words() -> None:
    assert replace(DRUM, form="lying").in_words.startswith("Lying cylinder")
    with pytest.raises(InputError, match="form"):
        replace(DRUM, form="cube")
