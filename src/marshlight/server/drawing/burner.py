"""A new burner in section: injector, primary air, throat and ports, every bore at one scale."""

from html import escape

from marshlight.answers.flame_sketch import BurnerSketch
from marshlight.server.drawing.fittings import flame
from marshlight.server.drawing.shapes import box, element, line, number, path, words

WIDTH, HEIGHT = 340.0, 184.0
_AXIS = 100.0
# The widest that throat and port are drawn [px].
_THROAT, _PORT = 46.0, 36.0
_BLOCK = 44.0
_MOUTH, _NECK, _HEAD, _END = 108.0, 130.0, 222.0, 332.0
_TOP, _FLOOR = 56.0, 138.0
_NOTES = 160.0


def scale_of(sketch: BurnerSketch) -> float:
    """Give the one scale of all bores [px/m]."""
    return min(_THROAT / sketch.throat_m, _PORT / sketch.port_m)


def draw_burner(sketch: BurnerSketch, *, ident: str = "burner") -> str:
    """Draw a burner in section.

    Parameters
    ----------
    sketch : BurnerSketch
        Its numbers.
    ident : str
        Prefix of the ids in it, unique on a page.

    Returns
    -------
    str
        An SVG element with title and description.
    """
    scale = scale_of(sketch)
    parts = [
        element("title", "", "The new burner in section", id=f"{ident}-title"),
        element("desc", "", escape(sketch.in_words), id=f"{ident}-desc"),
        _injector(sketch, scale),
        _air(sketch),
        _tube(sketch, scale),
        _head(sketch, scale),
    ]
    return (
        f'<svg class="vessel sketch" role="img" viewBox="0 0 {number(WIDTH)} {number(HEIGHT)}" '
        f'aria-labelledby="{ident}-title {ident}-desc">{"".join(parts)}</svg>'
    )


def _injector(sketch: BurnerSketch, scale: float) -> str:
    """Draw the gas pipe and the block with the hole; the hole is the gap between two halves."""
    half = sketch.jet_m * scale / 2
    wide = _BLOCK / 2
    return "".join(
        (
            line("pipe", 6, _AXIS - 12, 44, _AXIS - 12),
            line("pipe", 6, _AXIS + 12, 44, _AXIS + 12),
            words("sketch-word", 8, _AXIS + 4, "gas"),
            box("lid", 44, _AXIS - wide, 14, wide - half),
            box("lid", 44, _AXIS + half, 14, wide - half),
            line("dim", 51, _AXIS + half, 51, _NOTES - 12),
            _note(51, "injector", sketch.jet_text),
        )
    )


def _air(sketch: BurnerSketch) -> str:
    """Draw air coming in from both sides between injector and tube."""
    x = 82.0
    down = line("pipe", x, _AXIS - 52, x, _AXIS - 22) + _head_of_arrow(x, _AXIS - 16, -1)
    up = line("pipe", x, _AXIS + 48, x, _AXIS + 22) + _head_of_arrow(x, _AXIS + 16, 1)
    said = words("sketch-word", x, _AXIS - 76, "primary air", anchor="middle")
    return down + up + said + words("dim-text", x, _AXIS - 60, sketch.air_text, anchor="middle")


def _head_of_arrow(x: float, y: float, way: int) -> str:
    return path("sketch-head", "M", x, y, "L", x - 4, y + 8 * way, "H", x + 4, "Z")


def _tube(sketch: BurnerSketch, scale: float) -> str:
    half = sketch.throat_m * scale / 2
    flare = max(half * 1.3, half + 4)
    x = (_NECK + _HEAD) / 2
    upper = path("wall", "M", _MOUTH, _AXIS - flare, "L", _NECK, _AXIS - half, "H", _HEAD)
    lower = path("wall", "M", _MOUTH, _AXIS + flare, "L", _NECK, _AXIS + half, "H", _HEAD)
    across = (
        line("dim", x, _AXIS - half, x, _NOTES - 12)
        + line("dim", x - 4, _AXIS - half, x + 4, _AXIS - half)
        + line("dim", x - 4, _AXIS + half, x + 4, _AXIS + half)
    )
    return upper + lower + across + _note(x, "throat", sketch.throat_text)


def _head(sketch: BurnerSketch, scale: float) -> str:
    """Draw the burner's head with two of its ports, the flames over them."""
    half = sketch.throat_m * scale / 2
    bore = sketch.port_m * scale
    wide = _END - _HEAD
    walls = path("wall", "M", _HEAD, _AXIS - half, "V", _TOP) + path(
        "wall", "M", _HEAD, _AXIS + half, "V", _FLOOR, "H", _END, "V", _TOP
    )
    places = (_HEAD + 0.3 * wide, _HEAD + 0.7 * wide)
    edges = [_HEAD, *(x + side * bore / 2 for x in places for side in (-1, 1)), _END]
    plate = "".join(
        line("wall", edges[i], _TOP, edges[i + 1], _TOP) for i in range(0, len(edges), 2)
    )
    flames = "".join(flame_over(x) for x in places)
    first = places[0]
    across = (
        line("dim", first - bore / 2, _TOP + 8, first + bore / 2, _TOP + 8)
        + line("dim", first - bore / 2, _TOP + 4, first - bore / 2, _TOP + 12)
        + line("dim", first + bore / 2, _TOP + 4, first + bore / 2, _TOP + 12)
    )
    said = words("dim-text", _END - 4, _TOP + 30, f"ports {sketch.port_text}", anchor="end")
    under = words("sketch-word", (_HEAD + _END) / 2, _NOTES, "two of the ports", anchor="middle")
    return walls + plate + flames + across + said + under


def flame_over(x: float) -> str:
    """Draw the flame over a port, without a burner tip of its own."""
    whole = flame(x, _TOP - 2, "holds")
    return whole[whole.index("<path") :]


def _note(x: float, name: str, text: str) -> str:
    return words("sketch-word", x, _NOTES, name, anchor="middle") + words(
        "dim-text", x, _NOTES + 16, text, anchor="middle"
    )
