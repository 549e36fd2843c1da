"""The colours meet AA (WCAG 2.2, criteria 1.4.3 and 1.4.11), computed from the stylesheet."""

import re
from pathlib import Path

import pytest

import marshlight.server

SHEET = (Path(marshlight.server.__file__).parent / "static/server/marshlight.css").read_text(
    "utf-8"
)
TEXT_PAIRS = [
    *[("peat", ground) for ground in ("paper", "paper-raised", "paper-sunk")],
    *[("peat-soft", ground) for ground in ("paper", "paper-raised", "paper-sunk")],
    *[("peat", wash) for wash in ("reed-wash", "dusk-wash", "ember-wash")],
    *[(ink, ground) for ink in ("reed", "dusk", "ember") for ground in ("paper", "paper-raised")],
    ("reed", "reed-wash"),
    ("dusk", "dusk-wash"),
    ("ember", "ember-wash"),
    ("on-reed", "reed"),
    ("on-ember", "ember"),
]
EDGE_PAIRS = [("peat-edge", ground) for ground in ("paper", "paper-raised")]


def _tokens(selector: str) -> dict[str, str]:
    start = SHEET.index(selector)
    body = SHEET[SHEET.index("{", start) + 1 : SHEET.index("}", start)]
    return dict(re.findall(r"--([\w-]+):\s*([^;]+);", body))


LIGHT = _tokens(":root {")
DARK = _tokens(':root:not([data-look="light"]) {')


def _luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_on_white_is_the_printed_21() -> None:
    assert _contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_every_text_colour_is_readable_on_every_ground(tokens: dict[str, str]) -> None:
    weak = {
        pair: round(_contrast(tokens[pair[0]], tokens[pair[1]]), 2)
        for pair in TEXT_PAIRS
        if _contrast(tokens[pair[0]], tokens[pair[1]]) < 4.5
    }
    assert weak == {}


@pytest.mark.parametrize("tokens", [LIGHT, DARK], ids=["light", "dark"])
def test_every_control_has_an_edge_that_can_be_seen(tokens: dict[str, str]) -> None:
    assert all(_contrast(tokens[a], tokens[b]) >= 3.0 for a, b in EDGE_PAIRS)


def test_dark_by_choice_is_the_same_as_dark_by_device() -> None:
    assert _tokens(':root[data-look="dark"] {') == DARK


def test_dark_names_every_colour_that_light_names() -> None:
    colours = {name for name, value in LIGHT.items() if value.startswith(("#", "rgb"))}
    assert set(DARK) == colours
