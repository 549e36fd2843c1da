"""Where each part of the drawing stands: one scale for everything, so proportions stay true."""

from dataclasses import dataclass

from marshlight.answers.picture import HolderPicture, VesselPicture


@dataclass(frozen=True)
class Frame:
    """A rectangle on the sheet [px], y downward."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Give the right edge."""
        return self.x + self.width

    @property
    def floor(self) -> float:
        """Give the bottom edge."""
        return self.y + self.height

    @property
    def middle(self) -> float:
        """Give the x of the centre line."""
        return self.x + self.width / 2


@dataclass(frozen=True)
class Sheet:
    """The sheet and what stands on it [px]; ``scale`` is px per metre for all of it."""

    width: float
    height: float
    scale: float
    vessel: Frame
    jacket: float
    holder: Frame | None
    lift: float


@dataclass(frozen=True)
class Margins:
    """Room around the drawing for words, pipes and the thermometer [px]."""

    left: float
    top: float
    right: float
    bottom: float


MARGINS = {
    "small": Margins(10, 22, 34, 8),
    "run": Margins(10, 34, 146, 12),
    "card": Margins(58, 40, 150, 52),
}
SIZES = {"small": (168.0, 132.0), "run": (400.0, 260.0), "card": (560.0, 380.0)}
DETACHED = ("cylinder", "bag", "displacement", "counter")


def lay_out(picture: VesselPicture, variant: str) -> Sheet:
    """Fit the vessel, its insulation and its holder on the sheet at one scale.

    Parameters
    ----------
    picture : VesselPicture
        The numbers.
    variant : str
        "small", "run" or "card".

    Returns
    -------
    Sheet
        Frames in px; lengths divided by ``scale`` give metres back.
    """
    width, height = SIZES[variant]
    margin = MARGINS[variant]
    holder = picture.holder if picture.holder and picture.holder.kind in DETACHED else None
    gap = 0.35 * picture.width_m if holder else 0.0
    wide = picture.width_m + 2 * picture.bulge_m
    across = wide + 2 * picture.insulation_m + gap + (holder.width_m if holder else 0)
    # A floating cylinder stands in a jar as tall as itself and rises out of it.
    coats = 1 if picture.form == "upright" else 2
    tall = max(picture.height_m + coats * picture.insulation_m, _standing_height(holder))
    scale = min(
        (width - margin.left - margin.right) / across,
        (height - margin.top - margin.bottom) / tall,
    )
    jacket = picture.insulation_m * scale
    floor = height - margin.bottom - jacket
    left = margin.left + (width - margin.left - margin.right - across * scale) / 2 + jacket
    left += picture.bulge_m * scale
    vessel = Frame(
        left,
        floor - picture.height_m * scale,
        picture.width_m * scale,
        picture.height_m * scale,
    )
    return _with_holder(
        Sheet(width, height, scale, vessel, jacket, None, 0.0),
        holder,
        gap + picture.bulge_m,
        height - margin.bottom,
    )


def _standing_height(holder: HolderPicture | None) -> float:
    if holder is None:
        return 0.0
    return 2.0 * holder.height_m if holder.kind == "cylinder" else holder.height_m


def _with_holder(sheet: Sheet, holder: HolderPicture | None, gap: float, ground: float) -> Sheet:
    if holder is None:
        return sheet
    height = holder.height_m * sheet.scale
    frame = Frame(
        sheet.vessel.right + sheet.jacket + gap * sheet.scale,
        ground - height,
        holder.width_m * sheet.scale,
        height,
    )
    lift = (holder.raised or 0.0) * height
    return Sheet(sheet.width, sheet.height, sheet.scale, sheet.vessel, sheet.jacket, frame, lift)
