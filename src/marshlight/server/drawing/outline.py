"""The outline of a vessel in section: upright, lying, a sphere, or a dome over a flat floor."""

import math

from marshlight.server.drawing.layout import Frame
from marshlight.server.drawing.shapes import element, number, path

# How wide an end of a lying cylinder is drawn, over its height, so that it is seen to be round.
_END = 0.16
# Parts of the frame in which a thermometer and a heater find slurry in every form.
_PLACES = {"upright": (0.8, 0.0), "lying": (0.7, 0.1), "sphere": (0.64, 0.26), "dome": (0.64, 0.0)}
Steps = tuple[str | float, ...]


def end_width(frame: Frame) -> float:
    """Give half the width of a lying cylinder's drawn end [px]."""
    return min(_END * frame.height, 0.2 * frame.width)


def outline(form: str, frame: Frame, out: float = 0.0) -> Steps:
    """Give the closed outline of a form, ``out`` further out on every side.

    Parameters
    ----------
    form : str
        One of ``picture.FORMS``.
    frame : Frame
        Inside of the vessel [px].
    out : float
        Thickness of a coat [px].

    Returns
    -------
    tuple
        Letters and numbers of a path.
    """
    if form == "sphere":
        return _circle(frame.middle, frame.y + frame.height / 2.0, frame.width / 2.0 + out)
    if form == "dome":
        return _cap(frame, out)
    left, right = frame.x - out, frame.right + out
    top, floor = frame.y - (out if form == "lying" else 0.0), frame.floor + out
    if form == "lying":
        rx, ry = end_width(frame), (floor - top) / 2.0
        arc = ("A", rx, ry, 0, 0, 1)
        return ("M", left + rx, top, "H", right - rx, *arc, right - rx, floor,
                "H", left + rx, *arc, left + rx, top, "Z")  # fmt: skip
    return ("M", left, top, "V", floor, "H", right, "V", top, "Z")


def _circle(x: float, y: float, radius: float) -> Steps:
    half = ("A", radius, radius, 0, 1, 1)
    return ("M", x - radius, y, *half, x + radius, y, *half, x - radius, y, "Z")


def _cap(frame: Frame, out: float) -> Steps:
    """Give a spherical cap: its sphere follows from width and height."""
    radius = ((frame.width / 2.0) ** 2 + frame.height**2) / (2.0 * frame.height)
    centre = frame.y + radius
    bottom, wide = frame.floor + out, radius + out
    half = math.sqrt(max(wide**2 - (bottom - centre) ** 2, 0.0))
    large = 1 if centre < bottom else 0
    return ("M", frame.middle - half, bottom, "A", wide, wide, 0, large, 1,
            frame.middle + half, bottom, "Z")  # fmt: skip


def clip(form: str, frame: Frame, ident: str) -> str:
    """Define the inside of a form, to which its contents are cut."""
    inside = path("", *outline(form, frame))
    return element("defs", "", element("clipPath", "", inside, id=f"{ident}-inside"))


def coat(form: str, frame: Frame, thickness: float) -> str:
    """Draw insulation as a coat of its true thickness."""
    around = (*outline(form, frame, thickness), *outline(form, frame))
    steps = " ".join(s if isinstance(s, str) else number(s) for s in around)
    return element("path", "jacket", d=steps, fill_rule="evenodd")


def shell(form: str, frame: Frame) -> str:
    """Draw the wall; a lying cylinder shows its near end and stands on two feet."""
    wall = path("wall", *outline(form, frame))
    if form != "lying":
        return wall
    rx, ry = end_width(frame), frame.height / 2.0
    end = path("wall-end", "M", frame.right - rx, frame.y,
               "A", rx, ry, 0, 0, 0, frame.right - rx, frame.floor)  # fmt: skip
    return wall + end


def thermometer_place(form: str) -> float:
    """Say where across the vessel its thermometer hangs, as a share of its width."""
    return _PLACES[form][0]


def heater_place(form: str, frame: Frame) -> Frame:
    """Give the part of a vessel along whose floor a heater is drawn."""
    if form == "upright":
        return frame
    inset = _PLACES[form][1] * frame.width
    lift = 0.1 * frame.height if form == "sphere" else 0.0
    return Frame(frame.x + inset, frame.y, frame.width - 2.0 * inset, frame.height - lift)
