"""The triangle of methane, carbon dioxide and air: regions, paths, points; whole or enlarged."""

from collections.abc import Sequence
from itertools import pairwise

from marshlight.answers.triangle import Spot, Track, TrianglePicture
from marshlight.server.drawing.shapes import element, line, number, words

WIDTH, HEIGHT = 340.0, 300.0
LEFT, TOP, RIGHT, BOTTOM = 46.0, 14.0, 12.0, 44.0
_WHOLE, _CORNER = 1.0, 0.36
_STEPS = {_WHOLE: 0.2, _CORNER: 0.1}
_ARROW = 7.0
# Points nearer than this would write over each other.
_LABEL = 24.0


class _Scale:
    """Places carbon dioxide to the right and methane upward; air is at the lower left."""

    def __init__(self, most: float) -> None:
        self.most = most

    def x(self, co2: float) -> float:
        return LEFT + (WIDTH - LEFT - RIGHT) * co2 / self.most

    def y(self, methane: float) -> float:
        return HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * methane / self.most

    def inside(self, point: tuple[float, float]) -> bool:
        return point[0] <= self.most and point[1] <= self.most


def draw_triangle(picture: TrianglePicture, *, enlarged: bool = False, ident: str) -> str:
    """Draw the triangle, or its corner near air.

    Parameters
    ----------
    picture : TrianglePicture
        What it shows.
    enlarged : bool
        Only the corner where mixtures can burn.
    ident : str
        Prefix of the ids in it, unique on a page.

    Returns
    -------
    str
        An SVG element with title and description.
    """
    scale = _Scale(_CORNER if enlarged else _WHOLE)
    title = "Corner near air, enlarged" if enlarged else "Methane, carbon dioxide and air"
    body = [
        element("title", body=title, id=f"{ident}-title"),
        element("desc", body=picture.sentence, id=f"{ident}-desc"),
        _frame(scale),
        _region("triangle-doubtful", picture.doubtful, scale),
        _region("triangle-explosive", picture.explosive, scale),
        *(_track(track.points, scale, i) for i, track in enumerate(picture.tracks)),
        *(_end(track, scale, i) for i, track in enumerate(picture.tracks) if enlarged),
        *_spots(picture.spots, scale),
    ]
    if enlarged:
        body.append(words("triangle-word", scale.x(0.035), scale.y(0.095), "explosive"))
        body.append(words("triangle-word", scale.x(0.215), scale.y(0.088), "uncertain"))
    return element(
        "svg",
        "triangle",
        "".join(body),
        viewBox=f"0 0 {number(WIDTH)} {number(HEIGHT)}",
        role="img",
        aria_labelledby=f"{ident}-title {ident}-desc",
    )


def _frame(scale: _Scale) -> str:
    parts = [line("triangle-edge", scale.x(0), scale.y(0), scale.x(scale.most), scale.y(0))]
    parts.append(line("triangle-edge", scale.x(0), scale.y(0), scale.x(0), scale.y(scale.most)))
    if scale.most == _WHOLE:
        parts.append(line("triangle-edge", scale.x(1), scale.y(0), scale.x(0), scale.y(1)))
    step = _STEPS[scale.most]
    for i in range(1, int(scale.most / step + 1e-9) + 1):
        share = i * step
        text = f"{100 * share:.0f}"
        parts.append(
            line("triangle-tick", scale.x(share), scale.y(0), scale.x(share), scale.y(0) + 4)
        )
        parts.append(
            line("triangle-tick", scale.x(0) - 4, scale.y(share), scale.x(0), scale.y(share))
        )
        parts.append(words("triangle-text", scale.x(share), scale.y(0) + 17, text, anchor="middle"))
        parts.append(words("triangle-text", scale.x(0) - 7, scale.y(share) + 4, text, anchor="end"))
    middle = (scale.x(0) + scale.x(scale.most)) / 2
    parts.append(
        words(
            "triangle-text",
            middle,
            HEIGHT - 8,
            "carbon dioxide, %; the rest is air",
            anchor="middle",
        )
    )
    upright = (scale.y(0) + scale.y(scale.most)) / 2
    parts.append(
        element(
            "text",
            "triangle-text",
            "methane, %",
            x=13.0,
            y=upright,
            text_anchor="middle",
            transform=f"rotate(-90 13 {number(upright)})",
        )
    )
    return "".join(parts)


def _region(kind: str, corners: Sequence[tuple[float, float]], scale: _Scale) -> str:
    points = " ".join(f"{number(scale.x(c))},{number(scale.y(m))}" for c, m in corners)
    return element("polygon", kind, points=points)


def _track(points: Sequence[tuple[float, float]], scale: _Scale, which: int) -> str:
    """Draw a path up to the edge of the window, the middle one stronger."""
    kept = [point for point in points if scale.inside(point)]
    if len(kept) < 2:
        return ""
    text = " ".join(f"{number(scale.x(c))},{number(scale.y(m))}" for c, m in kept)
    drawn = element("polyline", f"triangle-path triangle-path-{which}", points=text)
    return drawn + _arrow([(scale.x(c), scale.y(m)) for c, m in kept])


def _end(track: Track, scale: _Scale, which: int) -> str:
    """Write what a path stands for beside its end; the likely one needs no words."""
    kept = [point for point in track.points if scale.inside(point)]
    if which == 1 or len(kept) < 2:
        return ""
    x, y = scale.x(kept[-1][0]), scale.y(kept[-1][1])
    if which == 0:
        return words("triangle-text", min(x - 50, WIDTH - 52), y + 62, track.label)
    return words("triangle-text", max(x - 8, LEFT + 2), y + 10, track.label, anchor="end")


def _arrow(points: list[tuple[float, float]]) -> str:
    """Put a head on the end of a path, so that its direction is seen."""
    end = points[-1]
    start = next(
        (a for a, _ in reversed(list(pairwise(points))) if _apart(a, end) > _ARROW), points[0]
    )
    far = _apart(start, end)
    if far < _ARROW:
        return ""
    ux, uy = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    base = (end[0] - _ARROW * ux, end[1] - _ARROW * uy)
    sides = ((base[0] - 3.5 * uy, base[1] + 3.5 * ux), (base[0] + 3.5 * uy, base[1] - 3.5 * ux))
    shape = " ".join(f"{number(x)},{number(y)}" for x, y in (end, *sides))
    return element("polygon", "triangle-head", points=shape)


def _apart(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def _spots(spots: Sequence[Spot], scale: _Scale) -> list[str]:
    """Draw the points; the words of one close to another stand below it, clear of the other's."""
    drawn, placed = [], list[tuple[float, float]]()
    for spot in spots:
        at = scale.x(spot.co2), scale.y(spot.methane)
        below = any(_apart(at, other) < _LABEL for other in placed)
        placed.append(at)
        drawn.append(_spot(spot.label, (spot.co2, spot.methane), scale, below=below))
    return drawn


def _spot(label: str, point: tuple[float, float], scale: _Scale, *, below: bool) -> str:
    if not scale.inside(point):
        return ""
    x, y = scale.x(point[0]), scale.y(point[1])
    shape = element("circle", "triangle-spot", cx=x, cy=y, r=5.0)
    if point == (0.0, 0.0):
        # In the corner its words stand below, clear of the regions.
        return shape + words("triangle-word", x - 4, y + 17, label)
    near_right = x > WIDTH - 60
    anchor = "end" if near_right else "start"
    side = x + (-9 if near_right else 9)
    return shape + words("triangle-word", side, y + (19 if below else -8), label, anchor=anchor)
