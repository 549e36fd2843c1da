"""The parts around a vessel: thermometer, heater, flame and gas pipe."""

from marshlight.answers.picture import VesselPicture
from marshlight.server.drawing.layout import Frame, Sheet
from marshlight.server.drawing.outline import coat
from marshlight.server.drawing.shapes import box, element, line, path, words

COLDEST_C, HOTTEST_C = 0.0, 60.0


def thermometer(frame: Frame, temperature_c: float | None, *, across: float = 0.8) -> str:
    """Hang a thermometer in the slurry; its column runs from 0 to 60 degC over the vessel."""
    x = frame.x + frame.width * across
    top, bulb = frame.y - 10, frame.floor - max(frame.height * 0.08, 6)
    tube = box("tube", x - 3, top, 6, bulb - top, rx=3)
    glass = element("circle", "tube", cx=x, cy=bulb, r=5)
    if temperature_c is None:
        return tube + glass
    share = (temperature_c - COLDEST_C) / (HOTTEST_C - COLDEST_C)
    column = (bulb - top) * min(max(share, 0.0), 1.0)
    mercury = box("mercury", x - 1.5, bulb - column, 3, column)
    return tube + glass + mercury + element("circle", "mercury", cx=x, cy=bulb, r=3.5)


def jacket(sheet: Sheet, form: str = "upright") -> str:
    """Draw insulation as a hatched coat of its true thickness round walls and floor."""
    if sheet.jacket <= 0:
        return ""
    if form != "upright":
        return coat(form, sheet.vessel, sheet.jacket)
    v, t = sheet.vessel, sheet.jacket
    return path(
        "jacket",
        *("M", v.x - t, v.y, "V", v.floor + t, "H", v.right + t, "V", v.y),
        *("H", v.right, "V", v.floor, "H", v.x, "V", v.y, "Z"),
    )


def heater(frame: Frame, state: str) -> str:
    """Draw a heating cable under the floor line; nothing when there is no heater."""
    if state in ("none", "unknown"):
        return ""
    steps: list[str | float] = ["M", frame.x + 4, frame.floor - 3]
    count = 8
    stride = (frame.width - 8) / count
    for i in range(1, count + 1):
        steps += ["L", frame.x + 4 + stride * i, frame.floor - (9 if i % 2 else 3)]
    return path("heater-on" if state == "on" else "heater-off", *steps)


def flame(x: float, y: float, state: str) -> str:
    """Draw the flame test at a burner tip; the word for it always stands in the text too."""
    tip = line("pipe", x, y, x, y + 8) + line("pipe", x - 5, y, x + 5, y)
    if state == "unknown":
        return tip + words("flame-word", x, y - 5, "?", anchor="middle")
    outline: tuple[str | float, ...] = (
        *("M", x, y - 2, "C", x - 9, y - 8, x - 3, y - 14, x, y - 21),
        *("C", x + 3, y - 14, x + 9, y - 8, x, y - 2, "Z"),
    )
    if state == "holds":
        return tip + path("flame-holds", *outline)
    strike = line("flame-strike", x - 8, y - 4, x + 8, y - 18) if state == "none" else ""
    return tip + path("flame-dies", *outline) + strike


def pipe_and_flame(sheet: Sheet, picture: VesselPicture) -> str:
    """Lead the gas from the lid to the holder, and draw the flame where it was tried."""
    v = sheet.vessel
    # A sphere's or dome's gas is led off at its top.
    start = v.x + v.width * (0.5 if picture.form in ("sphere", "dome") else 0.35)
    top = max(v.y - 12, 4)
    if sheet.holder is None:
        return line("pipe", start, v.y, start, top) + flame(start, top - 6, picture.flame)
    h = sheet.holder
    inlet = h.middle
    kind = picture.holder.kind if picture.holder else ""
    # A cylinder stands out of its jar; a bag lies as high as it is full.
    down = {"cylinder": h.y - sheet.lift, "bag": h.floor - max(sheet.lift, 4.0)}.get(kind, h.y)
    top = min(top, down - 8)
    route = path("pipe", "M", start, v.y, "V", top, "H", inlet, "V", down)
    burner = (v.right + sheet.jacket + h.x) / 2
    return route + flame(burner, max(top - 8, 24), picture.flame)
