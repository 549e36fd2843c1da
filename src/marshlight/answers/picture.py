"""What a drawing of one digester shows, as plain numbers."""

from dataclasses import dataclass

from marshlight.errors import require

FLAME_WORDS = {
    "unknown": "flame not tried yet",
    "none": "gas does not light",
    "dies": "gas lights, then dies",
    "holds": "gas holds a flame",
}
HOLDER_KINDS = ("cylinder", "bag", "displacement", "counter", "sealed", "none")
# How a vessel's section looks, and what it is called where its form says more than its size.
FORMS = {"upright": "", "lying": "lying cylinder", "sphere": "sphere", "dome": "dome"}
VESSEL_KINDS = ("drum", "barrel", "bottle", "tank", "box", "bag")


@dataclass(frozen=True)
class HolderPicture:
    """The gas holder beside (or on) the vessel.

    Parameters
    ----------
    kind : str
        One of ``HOLDER_KINDS``.
    width_m, height_m : float
        Outer size of the moving or filling part [m], above 0.
    level_m : float or None
        How far a floating cylinder stands out of its water [m]; None if not read.
    fill : float or None
        Share of a bag or displacement column that holds gas [-], 0 to 1; None if not known.
    volume_text : str
        The gas held, as words.
    """

    kind: str
    width_m: float
    height_m: float
    level_m: float | None = None
    fill: float | None = None
    volume_text: str = ""

    def __post_init__(self) -> None:
        require(
            self.kind in HOLDER_KINDS,
            field="kind",
            value=self.kind,
            allowed=", ".join(HOLDER_KINDS),
            remedy="Choose one of these holder kinds",
        )

    @property
    def raised(self) -> float | None:
        """Share of the holder's height that stands full of gas [-], 0 to 1."""
        if self.fill is not None:
            return min(max(self.fill, 0.0), 1.0)
        if self.level_m is None or self.height_m <= 0:
            return None
        return min(max(self.level_m / self.height_m, 0.0), 1.0)


@dataclass(frozen=True)
class VesselPicture:
    """A digester in section: every length true to the run's own numbers.

    Parameters
    ----------
    name : str
        The run's name, for the text alternative.
    kind : str
        One of ``VESSEL_KINDS``.
    width_m, height_m : float
        Inside size of the vessel in section [m], above 0.
    slurry_m : float or None
        Height of slurry above the floor [m]; None if not known.
    holder : HolderPicture or None
        The gas holder, if there is one.
    temperature_c : float or None
        Latest slurry temperature [degC].
    methane : tuple of float, or None
        Low and high share of methane in the dry gas [-]; None if not known.
    flame : str
        One of the keys of ``FLAME_WORDS``.
    insulation_m : float
        Insulation thickness [m], 0 or more.
    heater : str
        "none", "off", "on" or "unknown".
    floating_layer : bool
        Whether a crust or foam is suspected.
    in_trouble : bool
        Whether the state asks for action; the word itself is shown beside the drawing.
    form : str
        One of ``FORMS``.
    size_text, slurry_text, temperature_text, gas_text : str
        The same numbers as words, in the reader's units.
    """

    name: str
    kind: str
    width_m: float
    height_m: float
    slurry_m: float | None = None
    holder: HolderPicture | None = None
    temperature_c: float | None = None
    methane: tuple[float, float] | None = None
    flame: str = "unknown"
    insulation_m: float = 0.0
    heater: str = "unknown"
    floating_layer: bool = False
    in_trouble: bool = False
    form: str = "upright"
    size_text: str = ""
    slurry_text: str = ""
    temperature_text: str = ""
    gas_text: str = ""

    def __post_init__(self) -> None:
        for field, value in (("width_m", self.width_m), ("height_m", self.height_m)):
            require(
                value > 0,
                field=field,
                value=value,
                allowed="above 0 m",
                remedy="Give the vessel's inside size",
            )
        require(
            self.form in FORMS,
            field="form",
            value=self.form,
            allowed=", ".join(FORMS),
            remedy="Choose one of these forms",
        )
        require(
            self.flame in FLAME_WORDS,
            field="flame",
            value=self.flame,
            allowed=", ".join(FLAME_WORDS),
            remedy="Choose one of these flame states",
        )

    @property
    def bulge_m(self) -> float:
        """How far a dome taller than half a sphere stands out over its floor, on each side [m]."""
        half = self.width_m / 2.0
        if self.form != "dome" or self.height_m <= half:
            return 0.0
        return (half**2 + self.height_m**2) / (2.0 * self.height_m) - half

    @property
    def fill(self) -> float | None:
        """Share of the vessel's height that is slurry [-], 0 to 1."""
        if self.slurry_m is None:
            return None
        return min(max(self.slurry_m / self.height_m, 0.0), 1.0)

    @property
    def in_words(self) -> str:
        """Return one sentence per part: the drawing for those who cannot see it."""
        words = [f"{FORMS[self.form] or self.kind} {self.size_text}".strip()]
        if self.slurry_text:
            words.append(f"slurry {self.slurry_text}")
        elif self.fill is not None:
            words.append(f"slurry to {self.fill:.0%} of its height")
        else:
            words.append("slurry level not known")
        if self.holder is not None and self.holder.kind not in ("none", "sealed"):
            words.append(_holder_words(self.holder))
        words.append(self.temperature_text or "temperature not read")
        words.append(self.gas_text or "gas composition not known")
        words.append(FLAME_WORDS[self.flame])
        if self.floating_layer:
            words.append("a floating layer is suspected")
        sentence = "; ".join(words)
        return sentence[0].upper() + sentence[1:] + "."


def _holder_words(holder: HolderPicture) -> str:
    name = {
        "cylinder": "floating cylinder",
        "bag": "gas bag",
        "displacement": "displacement column",
        "counter": "gas counter",
    }[holder.kind]
    if holder.volume_text:
        return f"{name} holding {holder.volume_text}"
    if holder.raised is None:
        return f"{name}, level not read"
    return f"{name} at {holder.raised:.0%} of its height"
