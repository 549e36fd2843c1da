"""Reading a question to the planner as it was typed; every problem keeps the field it came from."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any, TypeVar

from marshlight.answers.vessel_typed import vessel_typed
from marshlight.apparatus import Bag, DisplacementColumn, FloatingCylinder
from marshlight.decide.plan import ChargeRequest, LotAtHand, aims, limits_for
from marshlight.errors import InputError, require
from marshlight.notebook.bridge.apparatus import holder_of
from marshlight.notebook.bridge.feedstocks import library_feedstock, lot_as_kept, own_feedstock
from marshlight.notebook.models import Feedstock as OwnFeedstock
from marshlight.notebook.models import Holder
from marshlight.notebook.models import Lot as LotRow
from marshlight.notebook.setting_up import found
from marshlight.notebook.setting_up.making import find_material
from marshlight.units import parse

MOST_LOTS = 24
T = TypeVar("T")


@dataclass(frozen=True)
class MixLot:
    """One material at hand, as typed: a lot's name or id, or a material; empty amounts are open.

    ``row`` names the row of the form it was typed in; its problems are found under it.
    """

    material: str
    at_hand: str = ""
    exactly: str = ""
    price: str = ""
    role: str = "auto"
    row: str = ""


@dataclass(frozen=True)
class MixAsk:
    """A question to the planner, as typed; bare numbers take the stated units of the page.

    ``limits`` maps a limit's key to its low and high end as typed; empty leaves an end as it is.
    """

    vessel: str
    lots: tuple[MixLot, ...]
    slurry: str = "38 degC"
    aim: str = "most_gas"
    water: str = ""
    limits: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    bucket: str = "10 L"
    holder: str = ""
    materials: str = "15 degC"
    title: str = ""


@dataclass(frozen=True)
class Held:
    """A material found in the notebook or the library, ready for the planner."""

    lot: LotAtHand
    part: Mapping[str, str]
    ageing: str


class Slips:
    """What cannot be used, by the field it was typed in."""

    def __init__(self) -> None:
        self.by_field: dict[str, InputError] = {}

    def read(self, name: str, reader: Callable[[], T]) -> T | None:
        """Run a reader; keep its error under the field's name and give None."""
        try:
            return reader()
        except InputError as problem:
            self.by_field.setdefault(name, problem)
            return None


def vessel_volume(text: str) -> float:
    """Read a vessel: a volume such as "25 L", or the name of one that is set up [m3]."""
    vessel = vessel_typed(text)
    return vessel if isinstance(vessel, float) else float(vessel.volume_m3)


def holder_volume(text: str) -> float | None:
    """Read a gas holder: a volume, or the name of one that is set up; None if it holds no gas."""
    if not text.strip():
        return None
    try:
        return parse(text, "volume", field="gas holder", unit="L", minimum=1e-7)
    except InputError as not_a_volume:
        if not Holder.objects.in_use().filter(name__icontains=text.strip()).exists():
            raise InputError(
                "gas holder",
                text,
                "a volume such as 5 L, or the name of a gas holder that is set up",
                "Give one of these, or leave it empty",
            ) from not_a_volume
    holder = holder_of(found("holder", text))
    if isinstance(holder, (Bag, DisplacementColumn, FloatingCylinder)):
        return float(holder.capacity_m3)
    return None


def read_lots(ask: MixAsk, today: date, slips: Slips) -> tuple[Held, ...]:
    """Find every material that is named, as it is on the day it is mixed."""
    named = [lot for lot in ask.lots if lot.material.strip()]
    slips.read(
        "",
        lambda: require(
            0 < len(named) <= MOST_LOTS,
            field="materials at hand",
            value=len(named),
            allowed=f"1 to {MOST_LOTS}",
            remedy="Name what there is to put in",
        ),
    )
    held = (_held(lot, i, today, slips=slips) for i, lot in enumerate(named))
    return tuple(one for one in held if one is not None)


def _held(typed: MixLot, index: int, today: date, *, slips: Slips) -> Held | None:
    row = lot_row(typed.material)
    material = slips.read(f"what-{typed.row}", lambda: _material(typed, row, today))
    if material is None:
        return None
    feedstock, part, ageing = material
    name = feedstock.name

    def mass(text: str, words: str, place: str) -> float | None:
        if not text.strip():
            return None
        given = {"field": f"{words}, {name}", "unit": "kg", "minimum": 0.0}
        return slips.read(f"{place}-{typed.row}", lambda: parse(text, "mass", **given))

    at_hand, exactly = mass(typed.at_hand, "at hand", "have"), mass(typed.exactly, "exactly", "fix")
    price = row.cost_per_kg if row is not None else None
    if typed.price.strip():
        words = f"price of {name}"
        price = slips.read(f"price-{typed.row}", lambda: parse(typed.price, "money", field=words))
    if at_hand is None and row is not None and not typed.at_hand.strip():
        at_hand = row.amount_kg
    lot = slips.read(
        f"what-{typed.row}",
        lambda: LotAtHand(
            feedstock,
            available_kg=float("inf") if at_hand is None else max(at_hand, exactly or 0.0),
            key=f"{index}:{name}",
            price_per_kg=price or 0.0,
            fixed_kg=exactly,
            role=typed.role or "auto",
        ),
    )
    return None if lot is None else Held(lot, part, ageing)


def _material(typed: MixLot, row: LotRow | None, today: date) -> tuple[Any, dict[str, str], str]:
    """Give the feedstock as it is today, what a charge calls it, and what storage did to it."""
    if row is not None:
        kept = lot_as_kept(row, today)
        aged = kept.ageing
        ageing = f"{row.name}: {aged.sentence}" if kept.age_d > 0.0 else ""
        # Two lots of one material are told apart by their own names.
        return replace(aged.feedstock, name=row.name), {"lot": str(row.pk)}, ageing
    material = find_material(typed.material)
    own = isinstance(material, OwnFeedstock)
    feedstock = own_feedstock(material) if own else library_feedstock(str(material))
    return feedstock, {"feedstock": feedstock.key}, ""


def lot_row(text: str) -> LotRow | None:
    """Find a lot that is on hand by its name or id."""
    wanted = text.strip()
    lots = LotRow.objects.in_use().select_related("site", "feedstock")
    named = lots.filter(name__iexact=wanted).first()
    if named is None and len(wanted) == 36:
        named = next((lot for lot in lots if str(lot.pk) == wanted), None)
    return named


def read_request(ask: MixAsk, held: Sequence[Held], slips: Slips) -> ChargeRequest | None:
    """Read everything but the materials; None if something cannot be used."""

    def number(name: str, text: str, quantity: str, **given: Any) -> float | None:
        if not text.strip():
            return None
        return slips.read(name, lambda: parse(text, quantity, **given))

    water = number("water", ask.water, _water_quantity(ask.water), field="water", unit=None
                   if _water_quantity(ask.water) == "mass" else "L", minimum=0.0)  # fmt: skip
    if water is not None and _water_quantity(ask.water) == "volume":
        water *= 1000.0  # litres of water weigh a kilogram each
    asked = {
        "vessel_m3": slips.read("vessel", lambda: vessel_volume(ask.vessel)),
        "slurry_c": number(
            "slurry", ask.slurry or "38 degC", "temperature",
            field="slurry temperature", unit="degC", minimum=4.0, maximum=60.0,
        ),
        "materials_c": number(
            "materials", ask.materials, "temperature",
            field="temperature of the materials", unit="degC", minimum=-5.0, maximum=60.0,
        ),
        "bucket_m3": number(
            "bucket", ask.bucket, "volume", field="bucket", unit="L", minimum=1e-6
        ),
        "holder_m3": slips.read("holder", lambda: holder_volume(ask.holder)),
        "water_fixed_kg": water,
    }  # fmt: skip
    slips.read("aim", lambda: limits_for(ask.aim))
    ends = {key: _ends(ask.aim, key, typed, slips) for key, typed in ask.limits.items()}
    if slips.by_field:
        return None
    given: dict[str, Any] = {name: value for name, value in asked.items() if value is not None}
    limits = {key: pair for key, pair in ends.items() if pair != (None, None)}
    lots = tuple(h.lot for h in held)
    return slips.read("", lambda: ChargeRequest(lots=lots, aim=ask.aim, limits=limits, **given))


def _water_quantity(text: str) -> str:
    """Tell water given by weight from water given by volume; "gal" is a volume."""
    unit = text.strip().lstrip("+-0123456789.,eE ").casefold()
    return "mass" if unit in {"kg", "g", "lb", "lbs", "oz", "t"} else "volume"


def _ends(
    aim: str, key: str, typed: tuple[str, str], slips: Slips
) -> tuple[float | None, float | None]:
    """Read the ends of a limit in its everyday unit, and refuse ends that cannot stand."""

    def read(place: str, text: str) -> float | None:
        limit = limits_for(aim if aim in aims() else "most_gas").get(key)
        if limit is None:
            raise InputError("limit", key, ", ".join(limits_for(aim)), "Use one of these names")
        if not text.strip():
            return None
        unit = {"fraction": "%", "concentration": "g/L"}.get(limit.unit)
        words = f"limit on {limit.name}"
        return parse(text, limit.unit, field=f"{words}, {place}", unit=unit, minimum=0.0)

    low = slips.read(f"low-{key}", lambda: read("low end", typed[0]))
    high = slips.read(f"high-{key}", lambda: read("high end", typed[1]))
    if (low, high) != (None, None) and aim in aims():
        side = "low" if high is None else "high"
        slips.read(f"{side}-{key}", lambda: limits_for(aim, {key: (low, high)}))
    return low, high
