"""The run drawn as a vessel in section, at true proportions, from its own numbers."""

from collections.abc import Callable
from html import escape

from marshlight.answers.picture import VesselPicture
from marshlight.errors import require
from marshlight.server.drawing.fittings import heater, jacket, pipe_and_flame, thermometer
from marshlight.server.drawing.layout import SIZES, Frame, Sheet, lay_out
from marshlight.server.drawing.outline import (
    clip,
    heater_place,
    shell,
    thermometer_place,
)
from marshlight.server.drawing.shapes import box, dimension, element, line, number, path, words


def length_in_metric(metres: float) -> str:
    """Write a length for a dimension line: centimetres for small things, metres for large."""
    return f"{metres * 100:.0f} cm" if metres < 2 else f"{metres:.2f} m"


def draw_vessel(
    picture: VesselPicture,
    *,
    variant: str = "run",
    ident: str = "vessel",
    length: Callable[[float], str] = length_in_metric,
) -> str:
    """Draw one digester in section.

    Parameters
    ----------
    picture : VesselPicture
        The numbers; what is not known is drawn as not known.
    variant : str
        "small" for a list, "run" with live numbers, "card" with dimensions.
    ident : str
        A word that is unique on the page; titles and patterns are named after it.
    length : callable
        Writes a length given in [m] for dimension lines, in the reader's units.

    Returns
    -------
    str
        An SVG element with title and description. Colours come from classes.

    Raises
    ------
    InputError
        When the variant is not one of the three.
    """
    require(
        variant in SIZES,
        field="variant",
        value=variant,
        allowed=", ".join(SIZES),
        remedy="Choose one of these drawings",
    )
    sheet = lay_out(picture, variant)
    ident = escape(ident)
    parts = [
        element("title", "", escape(f"{picture.name} in section"), id=f"{ident}-title"),
        element("desc", "", escape(picture.in_words), id=f"{ident}-desc"),
        _hatching(ident),
        jacket(sheet, picture.form),
        _inside(sheet, picture, ident),
        _holder(sheet, picture, ident),
        pipe_and_flame(sheet, picture),
        thermometer(sheet.vessel, picture.temperature_c, across=thermometer_place(picture.form)),
        heater(heater_place(picture.form, sheet.vessel), picture.heater),
        _shell(sheet.vessel, picture),
    ]
    if variant == "run":
        parts.append(_live_numbers(sheet, picture))
    if variant == "card":
        parts.append(_live_numbers(sheet, picture) + _dimensions(sheet, picture, length))
    kind = f"vessel vessel-{variant}" + (" vessel-trouble" if picture.in_trouble else "")
    return (
        f'<svg class="{kind}" role="img" viewBox="0 0 {number(sheet.width)} '
        f'{number(sheet.height)}" aria-labelledby="{ident}-title {ident}-desc">'
        f"{''.join(parts)}</svg>"
    )


def _hatching(ident: str) -> str:
    stroke = element("path", "hatch", d="M0 6 L6 0")
    pattern = element(
        "pattern",
        "",
        stroke,
        id=f"{ident}-hatch",
        width=6,
        height=6,
        patternUnits="userSpaceOnUse",
    )
    return element("defs", "", pattern)


def _inside(sheet: Sheet, picture: VesselPicture, ident: str) -> str:
    """Draw what the vessel holds, cut to its outline where that is not a rectangle."""
    contents = _contents(sheet, picture, ident)
    if picture.form == "upright":
        return contents
    cut = clip(picture.form, sheet.vessel, ident)
    return cut + element("g", "", contents, clip_path=f"url(#{ident}-inside)")


def _contents(sheet: Sheet, picture: VesselPicture, ident: str) -> str:
    v, out = sheet.vessel, picture.bulge_m * sheet.scale
    v = Frame(v.x - out, v.y, v.width + 2 * out, v.height)
    if picture.fill is None:
        return box("unknown", v.x, v.y, v.width, v.height, fill=f"url(#{ident}-hatch)")
    surface = v.floor - picture.fill * v.height
    space = Frame(v.x, v.y, v.width, surface - v.y)
    slurry = box("slurry", v.x, surface, v.width, v.floor - surface)
    ripple = path(
        "ripple",
        *("M", v.x, surface, "q", v.width / 8, -3, v.width / 4, 0),
        *("t", v.width / 4, 0, "t", v.width / 4, 0, "t", v.width / 4, 0),
    )
    crust = ""
    if picture.floating_layer:
        crust = box("crust", v.x, surface, v.width, max(v.height * 0.03, 4))
    return _gas(space, picture, ident) + slurry + crust + ripple


def _gas(space: Frame, picture: VesselPicture, ident: str) -> str:
    """Tint a gas space: two washes whose depth is the methane and carbon-dioxide share."""
    x, y, width, height = space.x, space.y, space.width, space.height
    if picture.methane is None:
        return box("unknown", x, y, width, height, fill=f"url(#{ident}-hatch)")
    share = (picture.methane[0] + picture.methane[1]) / 2
    # fill-opacity needs two decimals, which `number` would cut off.
    return box("gas-co2", x, y, width, height, fill_opacity=f"{1 - share:.2f}") + box(
        "gas-methane", x, y, width, height, fill_opacity=f"{share:.2f}"
    )


def _shell(frame: Frame, picture: VesselPicture) -> str:
    if picture.form != "upright":
        return shell(picture.form, frame)
    if picture.kind in ("drum", "barrel", "bottle"):
        lid = box("lid", frame.x - 3, frame.y - 4, frame.width + 6, 5, rx=2)
    else:
        lid = line("wall", frame.x, frame.y, frame.right, frame.y)
    wall = path("wall", "M", frame.x, frame.y, "V", frame.floor, "H", frame.right, "V", frame.y)
    return wall + lid


def _holder(sheet: Sheet, picture: VesselPicture, ident: str) -> str:
    if sheet.holder is None or picture.holder is None:
        return ""
    h, lift, kind = sheet.holder, sheet.lift, picture.holder.kind
    if kind == "cylinder":
        water = box("water", h.x - 4, h.y + 3, h.width + 8, h.height - 3)
        jar = path("wall", "M", h.x - 5, h.y, "V", h.floor, "H", h.right + 5, "V", h.y)
        inside = _gas(Frame(h.x, h.y - lift, h.width, lift + 3), picture, ident)
        bell = path(
            "bell",
            "M",
            h.x,
            h.floor - lift - 4,
            "V",
            h.y - lift,
            "H",
            h.right,
            "V",
            h.floor - lift - 4,
        )
        return water + inside + bell + jar
    if kind == "bag":
        depth = max(lift, 4.0)
        full = Frame(h.x, h.floor - depth, h.width, depth)
        outline = box("bag", full.x, full.y, full.width, full.height, rx=min(depth, h.width) / 3)
        return _gas(full, picture, ident) + outline
    column = box("wall", h.x, h.y, h.width, h.height)
    if kind == "displacement":
        inside = _gas(Frame(h.x, h.y, h.width, lift), picture, ident)
        return inside + box("water", h.x, h.y + lift, h.width, h.height - lift) + column
    return column + words("label", h.middle, h.y + h.height / 2, "count", anchor="middle")


def _live_numbers(sheet: Sheet, picture: VesselPicture) -> str:
    v = sheet.vessel
    x = sheet.width - 4
    rows = [
        ("temperature", picture.temperature_text),
        ("slurry", picture.slurry_text),
        ("gas held", picture.holder.volume_text if picture.holder else ""),
        ("in the gas", picture.gas_text),
    ]
    known = [(name, text) for name, text in rows if text]
    # Beside the vessel, but never below the sheet.
    lowest = sheet.height - 24.0 - 42.0 * (len(known) - 1)
    out, y = [], min(max(v.y, 26.0), lowest)
    for name, text in known:
        out.append(words("label", x, y, name, anchor="end"))
        out.append(words("live", x, y + 17, text, anchor="end"))
        y += 42
    return "".join(out)


def _dimensions(sheet: Sheet, picture: VesselPicture, length: Callable[[float], str]) -> str:
    v = sheet.vessel
    ground = v.floor + sheet.jacket + 14
    parts = [
        dimension(v.x, ground, v.right, ground, length(picture.width_m)),
        dimension(
            v.x - sheet.jacket - 34, v.y, v.x - sheet.jacket - 34, v.floor, length(picture.height_m)
        ),
    ]
    if picture.fill is not None and picture.slurry_m is not None:
        surface = v.floor - picture.fill * v.height
        x = v.x - sheet.jacket - 12
        parts.append(dimension(x, surface, x, v.floor, length(picture.slurry_m)))
    if sheet.holder is not None and picture.holder is not None:
        h = sheet.holder
        parts.append(dimension(h.x, ground, h.right, ground, length(picture.holder.width_m)))
    return "".join(parts)
