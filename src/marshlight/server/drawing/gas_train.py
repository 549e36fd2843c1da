"""A gas train from vessel to burner: every depth of water at one scale, the rest as a scheme."""

from html import escape

from marshlight.answers.gas_train_sketch import Depth, GasTrainSketch
from marshlight.server.drawing.fittings import flame
from marshlight.server.drawing.layout import Frame
from marshlight.server.drawing.shapes import box, dimension, element, line, number, path, words

WIDTH, HEIGHT = 340.0, 300.0
# Where the water stands in every jar, and how long the deepest tube is drawn below it [px].
_SURFACE, _DEEPEST = 140.0, 104.0
_JAR = 28.0
_VESSEL = Frame(8, 160, 52, 92)
_RELIEF, _TRAP, _SEAL, _HOLDER = 100.0, 180.0, 254.0, 316.0
# The pipe falls from the vessel to the trap, and rises again behind it.
_HIGH, _LOW = 74.0, 92.0
# Two lines of words under everything.
_TEXT = 14.0
_WORDS = HEIGHT - 5 - _TEXT


def scale_of(sketch: GasTrainSketch) -> float:
    """Give the one scale of all depths [px/m]."""
    known = [depth.metres for depth in (sketch.relief, sketch.trap, sketch.seals) if depth]
    return _DEEPEST / max(*known, 1e-6)


def draw_gas_train(sketch: GasTrainSketch, *, ident: str = "gas-train") -> str:
    """Draw a gas train.

    Parameters
    ----------
    sketch : GasTrainSketch
        Its numbers; what is only advised is dashed.
    ident : str
        Prefix of the ids in it, unique on a page.

    Returns
    -------
    str
        An SVG element with title and description.
    """
    scale = scale_of(sketch)
    parts = [
        element("title", "", "From the vessel to the burner", id=f"{ident}-title"),
        element("desc", "", escape(sketch.in_words), id=f"{ident}-desc"),
        _vessel(sketch),
        _main(sketch.seals is not None),
        "" if sketch.relief is None else _relief(sketch.relief, scale),
        _tube(_TRAP, sketch.trap, scale, "condensate", "trap"),
        "" if sketch.seals is None else _seal(sketch.seals, scale),
        _holder_and_burner(sketch),
    ]
    return (
        f'<svg class="vessel sketch" role="img" viewBox="0 0 {number(WIDTH)} {number(HEIGHT)}" '
        f'aria-labelledby="{ident}-title {ident}-desc">{"".join(parts)}</svg>'
    )


def _vessel(sketch: GasTrainSketch) -> str:
    v = _VESSEL
    high = min(max(sketch.fill, 0.0), 1.0) * v.height
    slurry = box("slurry", v.x, v.floor - high, v.width, high)
    wall = path("wall", "M", v.x, v.y, "V", v.floor, "H", v.right, "V", v.y, "Z")
    feels = words("dim-text", 2, _WORDS + _TEXT, sketch.vessel_text)
    return slurry + wall + _under(v.middle, "vessel") + feels


def _main(sealed: bool) -> str:
    """Draw the pipe; it ends over the seal where the gas has to bubble through one."""
    end = _SEAL if sealed else _HOLDER
    first = path("pipe", "M", _VESSEL.middle, _VESSEL.y, "V", _HIGH, "L", _TRAP, _LOW,
                 "L", end, _HIGH)  # fmt: skip
    return first + words("sketch-word", 6, 60, "pipe, falling to the trap")


def _along(x: float) -> float:
    """Give the height of the falling pipe at a place."""
    return _HIGH + (_LOW - _HIGH) * (x - _VESSEL.middle) / (_TRAP - _VESSEL.middle)


def _tube(x: float, depth: Depth, scale: float, *names: str) -> str:
    """Draw a tube in a jar of water with its depth; dashed where it is not there yet."""
    end = _SURFACE + depth.metres * scale
    floor = end + 12
    left, right = x - _JAR / 2, x + _JAR / 2
    top = _LOW if x == _TRAP else (_along(x) if x < _TRAP else _HIGH)
    kind = "pipe pipe-wanted" if depth.advised else "pipe"
    text = f"{depth.text} or more" if depth.advised else depth.text
    return "".join(
        (
            box("water", left, _SURFACE, _JAR, floor - _SURFACE),
            path("wall", "M", left, _SURFACE - 14, "V", floor, "H", right, "V", _SURFACE - 14),
            line(kind, x, top, x, end),
            dimension(right + 20, _SURFACE, right + 20, end, text),
            _under(x, *names),
        )
    )


def _under(x: float, *lines: str) -> str:
    return "".join(
        words("sketch-word", x, _WORDS + _TEXT * i, text, anchor="middle")
        for i, text in enumerate(lines)
    )


def _relief(depth: Depth, scale: float) -> str:
    left = _RELIEF - _JAR / 2
    y = _SURFACE - 22
    lid = line("wall", left, _SURFACE - 14, left + _JAR, _SURFACE - 14)
    out = path("pipe", "M", left + 5, _SURFACE - 14, "V", y, "H", left - 24)
    head = path("sketch-head", "M", left - 30, y, "L", left - 22, y - 4, "V", y + 4, "Z")
    said = words("sketch-word", left - 20, y - 7, "outdoors", anchor="middle")
    return _tube(_RELIEF, depth, scale, "relief") + lid + out + head + said


def _seal(depth: Depth, scale: float) -> str:
    """Draw the seals as one, as deep as all of them; the gas goes on over the water."""
    right = _SEAL + _JAR / 2
    lid = line("wall", _SEAL - _JAR / 2, _SURFACE - 14, right, _SURFACE - 14)
    on = path("pipe", "M", right - 4, _SURFACE - 14, "V", _HIGH, "H", _HOLDER)
    return _tube(_SEAL, depth, scale, "seals") + lid + on


def _holder_and_burner(sketch: GasTrainSketch) -> str:
    x, top = _HOLDER, 38.0
    to_holder = line("pipe", x, _HIGH, x, 160)
    body = box("bag", x - 16, 160, 32, 92, rx=6)
    trap = box("tube", x - 7, top, 14, 14)
    bars = "".join(line("hatch", x - 4 + 4 * i, top, x - 4 + 4 * i, top + 14) for i in range(3))
    to_burner = line("pipe", x, _HIGH, x, top + 14) + line("pipe", x, top, x, 32)
    name = words("sketch-word", x - 12, top + 10, "flame trap", anchor="end")
    burner = words("sketch-word", x - 12, 22, "burner", anchor="end")
    under = words("sketch-word", WIDTH - 2, _WORDS, "holder", anchor="end") + words(
        "dim-text", WIDTH - 2, _WORDS + _TEXT, sketch.holder_text, anchor="end"
    )
    return (
        to_holder + body + to_burner + trap + bars + flame(x, 24, "holds") + name + burner + under
    )
