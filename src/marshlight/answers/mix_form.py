"""The form of the mixing page: what is at hand, the vessel, the aim and the limits, as typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from marshlight.answers.mix_reading import MixAsk, MixLot
from marshlight.decide.plan import Aim, aims, limits_for
from marshlight.decide.plan.words import allowed
from marshlight.matter.library import library
from marshlight.notebook.models import Feedstock, Heater, Holder, Lot, Vessel
from marshlight.units import show

EMPTY_ROWS = 3
MOST_ROWS = 16
ROLES = (("auto", "told from the material"), ("food", "food"), ("inoculum", "living inoculum"))
_PLAIN = ("vessel", "volume", "aim", "slurry", "water", "holder", "bucket", "materials")
_ROW_FIELDS = ("what", "have", "fix", "price")
_USUAL = {"aim": "most_gas", "slurry": "38 °C", "bucket": "10 L", "materials": "15 °C"}


@dataclass(frozen=True)
class MixRow:
    """One row: a lot on hand to tick, or a line to name any material in."""

    key: str
    lot: str
    name: str
    about: str
    used: bool
    have: str
    have_known: str
    fix: str
    price: str
    price_known: str
    role: str
    sent: bool = True
    """Whether the page that asks has this row already."""


@dataclass(frozen=True)
class MixLimit:
    """One limit that may be moved: what it allows as shipped, and the ends as typed."""

    key: str
    name: str
    meaning: str
    allowed: str
    low: str
    high: str


@dataclass(frozen=True)
class MixForm:
    """The whole form with what was typed; ``query`` is the same as part of an address."""

    vessel: str
    volume: str
    aim: str
    slurry: str
    water: str
    holder: str
    bucket: str
    materials: str
    lots: tuple[MixRow, ...]
    more: tuple[MixRow, ...]
    limits: tuple[MixLimit, ...]
    aims: tuple[Aim, ...]
    vessels: tuple[str, ...]
    holders: tuple[str, ...]
    heaters: tuple[str, ...]
    shelf: tuple[str, ...]
    query: str

    @property
    def limits_changed(self) -> bool:
        """Say whether any limit was moved."""
        return any(limit.low or limit.high for limit in self.limits)

    @property
    def names_something(self) -> bool:
        """Say whether there is anything to put in."""
        return any(r.used for r in self.lots) or any(r.name.strip() for r in self.more)

    @property
    def fields(self) -> tuple[str, ...]:
        """Name every field of the asking page beside which a problem can stand."""
        kept = (row for row in (*self.lots, *self.more) if row.sent)
        rows = [f"{name}-{row.key}" for row in kept for name in _ROW_FIELDS]
        ends = [f"{side}-{limit.key}" for limit in self.limits for side in ("low", "high")]
        plain = [name for name in _PLAIN if name != "volume"]
        return (*plain, *rows, *ends)


def mix_form(typed: Mapping[str, str], *, today: date, system: str = "metric") -> MixForm:
    """Build the form; with nothing typed yet, all lots on hand are in and usual values stand.

    Parameters
    ----------
    typed : Mapping[str, str]
        Field name to text: the plain fields, ``what-ROW``, ``have-ROW``, ``fix-ROW``,
        ``price-ROW``, ``role-ROW`` and ``low-LIMIT``, ``high-LIMIT``.
    today : date
        The day of asking, for the age of lots.
    system : str
        "metric" or "us".
    """
    fresh = not ({"vessel", "volume"} & set(typed))
    vessels = tuple(Vessel.objects.in_use().values_list("name", flat=True))
    plain = {name: typed.get(name, _USUAL.get(name, "") if fresh else "") for name in _PLAIN}
    if fresh and vessels:
        plain["vessel"] = vessels[0]
    if plain["aim"] not in aims():
        plain["aim"] = "most_gas"
    on_hand = Lot.objects.in_use().select_related("feedstock").order_by("name")
    lots = tuple(_lot(lot, typed, fresh=fresh, today=today, system=system) for lot in on_hand)
    more = _more_rows(typed)
    limits = tuple(
        MixLimit(
            key,
            limit.name,
            limit.meaning,
            allowed(limit),
            typed.get(f"low-{key}", ""),
            typed.get(f"high-{key}", ""),
        )
        for key, limit in limits_for(plain["aim"]).items()
        if key != "peak_gas"
    )
    return MixForm(
        **plain,
        lots=lots,
        more=more,
        limits=limits,
        aims=tuple(aims().values()),
        vessels=vessels,
        holders=tuple(Holder.objects.in_use().values_list("name", flat=True)),
        heaters=tuple(Heater.objects.in_use().values_list("name", flat=True)),
        shelf=_shelf(),
        query=_query(plain, lots, more, limits),
    )


def ask_of(form: MixForm) -> MixAsk:
    """Put the form's question to the planner."""
    rows = [(row, row.lot) for row in form.lots if row.used]
    rows += [(row, row.name) for row in form.more if row.name.strip()]
    return MixAsk(
        vessel=form.vessel or form.volume,
        lots=tuple(
            MixLot(what, row.have, row.fix, row.price, row.role, row.key) for row, what in rows
        ),
        slurry=form.slurry,
        aim=form.aim,
        water=form.water,
        limits={limit.key: (limit.low, limit.high) for limit in form.limits},
        bucket=form.bucket,
        holder=form.holder,
        materials=form.materials,
        title=form.vessel,
    )


def _lot(lot: Lot, typed: Mapping[str, str], *, fresh: bool, today: date, system: str) -> MixRow:
    key = lot.pk.hex[:12]
    feedstock = lot.feedstock.name if lot.feedstock else _library_name(lot.library_key)
    age = None if lot.gathered_on is None else (today - lot.gathered_on).days
    about = [
        feedstock if feedstock.casefold() != lot.name.casefold() else "",
        "" if age is None else "gathered today" if age <= 0 else f"{age} days old",
        "" if age is None else lot.get_storage_display(),
    ]
    return MixRow(
        key=key,
        lot=str(lot.pk),
        name=lot.name,
        about=", ".join(filter(None, about)),
        used=fresh or f"what-{key}" in typed,
        have_known="" if lot.amount_kg is None else show(lot.amount_kg, "mass", system=system),
        price_known="" if lot.cost_per_kg is None else f"{lot.cost_per_kg:g}",
        **_amounts(key, typed),
    )


def _library_name(key: str) -> str:
    stock = library().get(key)
    return stock.name if stock else key


def _amounts(key: str, typed: Mapping[str, str]) -> dict[str, str]:
    named = {name: typed.get(f"{name}-{key}", "").strip() for name in ("have", "fix", "price")}
    role = typed.get(f"role-{key}", "auto")
    return named | {"role": role if role in dict(ROLES) else "auto"}


def _more_rows(typed: Mapping[str, str]) -> tuple[MixRow, ...]:
    """Keep the filled rows in their order and end with empty ones."""

    def row(key: str) -> MixRow:
        name = typed.get(f"what-{key}", "")
        amounts = _amounts(key, typed)
        return MixRow(
            key, "", name, "", bool(name),
            have_known="", price_known="", sent=f"what-{key}" in typed, **amounts,
        )  # fmt: skip

    filled = [key for key in map(str, range(1, MOST_ROWS + 1)) if typed.get(f"what-{key}")]
    free = [key for key in map(str, range(1, MOST_ROWS + 1)) if key not in filled]
    shown = sorted([*filled, *free[: EMPTY_ROWS if len(filled) < 2 else 2]], key=int)
    return tuple(row(key) for key in shown)


def _shelf() -> tuple[str, ...]:
    """Name everything that could go in: one's own materials first, then the library."""
    own = Feedstock.objects.in_use().values_list("name", flat=True)
    return tuple(dict.fromkeys([*own, *(stock.name for stock in library().values())]))


def _query(
    plain: Mapping[str, str],
    lots: tuple[MixRow, ...],
    more: tuple[MixRow, ...],
    limits: tuple[MixLimit, ...],
) -> str:
    """Write all that was typed as part of an address, nothing empty in it."""
    pairs = dict(plain)
    for row in (*lots, *more):
        if row.used:
            pairs |= {f"what-{row.key}": row.lot or row.name, f"have-{row.key}": row.have}
            pairs |= {f"fix-{row.key}": row.fix, f"price-{row.key}": row.price}
            pairs[f"role-{row.key}"] = "" if row.role == "auto" else row.role
    for limit in limits:
        pairs |= {f"low-{limit.key}": limit.low, f"high-{limit.key}": limit.high}
    kept = {name: text for name, text in pairs.items() if text or name == "volume"}
    return urlencode(kept)
