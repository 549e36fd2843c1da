"""Reading a question about heat as it was typed: vessel, wraps, surroundings, heater, aims."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from marshlight.answers.asked import Asked, Question, ask, attempt
from marshlight.answers.heat_air import AIR_LOGGED, AIR_TYPED, AIRS, air_of
from marshlight.answers.vessel_typed import vessel_typed
from marshlight.apparatus import Vessel
from marshlight.apparatus.heat import (
    KINDS,
    SAFEGUARDS,
    STANDS,
    Body,
    Flows,
    Heater,
    Outside,
    Stand,
    Weather,
    Wrap,
    body_of,
    coil,
    layer_of,
    materials,
    usual_stand,
    usual_wrap,
)
from marshlight.apparatus.storage import USUAL_FILL
from marshlight.errors import require
from marshlight.notebook.bridge import Series, vessel_of
from marshlight.notebook.setting_up.choices import AROUND, WRAPPED, YES_NO
from marshlight.units import parse

CHANGES: dict[str, str] = {
    "double": "twice the insulation",
    "lid_and_base": "insulation all round, base too",
    "cooler": "thermostat 3 °C (5 °F) lower",
    "none": "no heater",
    "bare": "no insulation",
    "colder": "10 °C (18 °F) colder around it",
}
# Films on both sides of a wall in a water bath, each as in `slurry_film`.
_BATH_FILMS_M2KW = 2.0 / 300.0
_IN_BATH = ("side", "base", "ends")

_INSULATION = (
    ("none", "none"),
    *((m.key, m.name) for m in materials().values() if m.use == "insulation"),
)
QUESTIONS = (
    Question("vessel", "vessel", usual="25 L", hint="A vessel's name, or its whole volume."),
    Question("slurry", "slurry in it", "volume", "L", hint="Empty: two thirds full.", low=1e-5),
    Question("insulation", "insulation", choices=_INSULATION, usual="eps"),
    Question("thickness", "insulation thickness", "length", "mm", "40 mm", low=0.0, high=1.0),
    Question("wrapped", "insulated", choices=tuple(WRAPPED.items()), usual="all"),
    Question("stand", "stands", choices=tuple(STANDS.items()), usual="table"),
    Question("around", "around it", choices=tuple(AROUND.items()), usual="still"),
    Question("air", "temperature of the air", choices=tuple(AIRS.items()), usual="usual"),
    Question(
        "series",
        "temperatures read",
        hint="0 12; 6 9; 12 18: hours, then °C; or one reading a line, as a table with commas.",
        long=True,
    ),
    Question("low", "coldest of a usual day", "temperature", "degC", "16 °C", low=-50, high=50),
    Question("high", "warmest of a usual day", "temperature", "degC", "22 °C", low=-50, high=60),
    Question("heater", "heater", choices=tuple(KINDS.items()), usual="cable"),
    Question("power", "rated power", "power", "W", "25 W", low=0.0, high=1e6),
    Question(
        "set_point", "thermostat set to", "temperature", "degC", hint="Empty: no thermostat.",
        low=-10.0, high=120.0,
    ),
    Question(
        "protection", "mains protection", choices=tuple(SAFEGUARDS.items()), usual="unknown"
    ),
    Question(
        "cut_out",
        "second, independent cut-out",
        choices=(("no", "no, or not known"), ("yes", "yes, one that needs a hand to reset")),
        usual="no",
    ),
    Question(
        "liquids",
        "made and sold for liquids",
        choices=tuple(YES_NO.items()),
        usual="yes",
        hint="Only for a heater in the slurry.",
    ),
    Question(
        "water", "water of the bath or coil at", "temperature", "degC", low=0.0, high=95.0,
        hint="Only for a bath or coil.",
    ),
    Question(
        "tube", "outside of the coil's tube in the slurry", "area", "m2", low=1e-4,
        hint="Only for a coil.",
    ),
    Question("wanted", "slurry wanted at", "temperature", "degC", "37 °C", low=5.0, high=60.0),
    Question("start", "slurry now at", "temperature", "degC", hint="Empty: as its surroundings.",
             low=-5.0, high=80.0),
    Question("feed", "fed a day", "mass", "kg", hint="Empty: a batch.", low=0.0),
    Question("feed_at", "feed at", "temperature", "degC", hint="Empty: as its surroundings.",
             low=-5.0, high=95.0),
    Question("gas", "gas a day at 38 °C (100 °F)", "flow", "L/d", hint="Dry; empty: not counted.",
             low=0.0),
    Question("methane", "methane in it", "fraction", "%", "58 %", low=0.0, high=1.0),
    Question("price", "price of a kilowatt-hour", "money", hint="Empty: no cost.", low=0.0),
    Question("days", "look ahead", "time", "d", "7 d", low=1.0, high=31.0),
    Question("months", "monthly means of the air", hint="Twelve numbers in °C, January first."),
    Question("change", "one change", choices=tuple(CHANGES.items()), usual="double"),
)  # fmt: skip
NAMES = tuple(question.name for question in QUESTIONS)


@dataclass(frozen=True)
class HeatSetUp:
    """All that is known of a vessel and its heat, in base units."""

    vessel: Vessel
    vessel_name: str
    slurry_m3: float
    wrap: Wrap
    stand: Stand
    heater: Heater
    air: Weather
    flows: Flows
    wanted_c: float
    start_c: float
    gas_m3_per_d: float
    methane: float
    price: float | None
    days: float
    months_c: tuple[float, ...]
    safeguard: str
    made_for_liquids: bool
    cut_out: bool = False

    @property
    def body(self) -> Body:
        """Lay out the ways for heat; in a bath only what stands out of it meets the air."""
        body = body_of(
            self.vessel,
            slurry_m3=self.slurry_m3,
            wrap=self.wrap,
            stand=self.stand,
            heater_place=self.heater.place,
        )
        if self.heater.kind != "bath":
            return body
        return replace(body, ways=tuple(way for way in body.ways if way.name not in _IN_BATH))

    @property
    def usual(self) -> Outside:
        """Give the mean outside."""
        return Outside(self.air.mean_c, self.air.mean_c)

    @property
    def coldest(self) -> Outside:
        """Give the coldest air of a usual day, over ground at the mean."""
        return Outside(self.air.coldest_c, self.air.mean_c)

    def insulated(self, thickness_m: float) -> "HeatSetUp":
        """Give the same with another thickness of the same insulation."""
        first = next((x for x in (self.wrap.side, self.wrap.lid) if x), (layer_of("eps", 0.0),))
        layer = replace(first[0], thickness_m=thickness_m)
        wrap = replace(
            self.wrap,
            side=(layer,),
            lid=(layer,) if self.wrap.lid else (),
            base=(layer,) if self.wrap.base else (),
        )
        return replace(self, wrap=wrap)

    def changed(self, change: str) -> "HeatSetUp":
        """Give the same with one change made: a key of ``CHANGES``."""
        side = self.wrap.side or (layer_of("eps", 0.0),)
        thickness = side[0].thickness_m
        if change == "double":
            return self.insulated(2.0 * thickness if thickness > 0.0 else 0.04)
        if change == "lid_and_base":
            return replace(self, wrap=replace(self.wrap, lid=side, base=side))
        if change == "cooler" and self.heater.set_point_c is not None:
            return replace(
                self, heater=replace(self.heater, set_point_c=self.heater.set_point_c - 3.0)
            )
        if change == "none":
            return replace(self, heater=Heater())
        if change == "bare":
            return replace(self, wrap=replace(self.wrap, side=(), lid=(), base=()))
        if change == "colder":
            return replace(self, air=self.air.shifted(-10.0))
        return self


def heat_form(
    typed: Mapping[str, str],
    *,
    known: Mapping[str, str] | None = None,
    logged: Series | None = None,
    start_h: float = 0.0,
    system: str = "metric",
) -> tuple[Asked, HeatSetUp | None]:
    """Read the form.

    Parameters
    ----------
    typed : mapping
        Field name to text.
    known : mapping, optional
        What a run's records say, as it would be typed.
    logged : Series, optional
        Room temperatures of a run's own log.
    start_h : float
        Time of day at which its days begin [h].
    system : str
        "metric" or "us".

    Returns
    -------
    Asked
        Fields with what stands in them, and each problem beside its field.
    HeatSetUp or None
        None while something cannot be used.
    """
    asked = ask(QUESTIONS, typed, known=known, system=system)
    problems = dict(asked.problems)
    values = asked.values
    named = attempt(problems, "vessel", lambda: _vessel(str(values.get("vessel") or "")))
    months = attempt(problems, "months", lambda: _months(str(values.get("months") or "")))
    air = None
    if not {"low", "high"} & set(problems):
        name = {AIR_LOGGED: "air", AIR_TYPED: "series"}.get(str(values.get("air")), "low")
        air = attempt(problems, name, lambda: air_of(asked, logged, start_h).seen_from(start_h))
    heater = None
    if not {"heater", "power", "set_point", "water", "tube"} & set(problems):
        heater = attempt(problems, "heater", lambda: _heater(asked))
    if named is None or months is None or air is None or heater is None or problems:
        return replace(asked, problems=problems), None
    set_up = attempt(
        problems, "slurry", lambda: _set_up(asked, named, months, air=air, heater=heater)
    )
    return replace(asked, problems=problems), set_up


def _vessel(text: str) -> tuple[Vessel, str]:
    """Find a vessel by name, or take a volume."""
    vessel = vessel_typed(text)
    if isinstance(vessel, float):
        return Vessel.given(volume_m3=vessel), ""
    return vessel_of(vessel), vessel.name


def _months(text: str) -> tuple[float, ...]:
    words = [word for word in text.replace(";", " ").replace(",", " ").split() if word]
    require(
        len(words) in (0, 12),
        field="monthly means",
        value=text,
        allowed="twelve numbers, January first, or nothing",
        remedy="Write 2 3 6 9 13 16 18 18 15 11 6 3 for example",
    )
    return tuple(
        parse(word, "temperature", field="monthly means", unit="degC", minimum=-50, maximum=50)
        for word in words
    )


def _heater(asked: Asked) -> Heater:
    values = asked.values
    kind, wanted = str(values["heater"]), values["set_point"]
    set_point = None if wanted is None else float(wanted)
    if kind == "none":
        return Heater()
    if kind not in ("bath", "coil"):
        return Heater(kind, asked.number("power"), set_point)
    require(
        values["water"] is not None,
        field="water of the bath or coil",
        value="",
        allowed="its temperature",
        remedy="Give the temperature of the water",
    )
    if kind == "bath":
        # The bath's own thermostat holds the water, so the vessel needs none.
        return Heater("bath", supply_c=asked.number("water"), conductance_w_k=1.0)
    require(
        values["tube"] is not None,
        field="outside of the coil's tube",
        value="",
        allowed="its area, such as 0.2 m2",
        remedy="Multiply the tube's outside circumference by its length in the slurry",
    )
    made = coil(asked.number("water"), asked.number("tube"))
    return replace(made, set_point_c=set_point)


def _set_up(
    asked: Asked,
    named: tuple[Vessel, str],
    months: tuple[float, ...],
    *,
    air: Weather,
    heater: Heater,
) -> HeatSetUp:
    values, (vessel, name) = asked.values, named
    slurry = values["slurry"]
    volume = USUAL_FILL * vessel.total_m3 if slurry is None else float(slurry)
    vessel.gas_space_m3(volume)

    def given(key: str, otherwise: float) -> float:
        return otherwise if values[key] is None else float(values[key])

    wrap = _wrap(asked)
    if heater.kind == "bath":
        bare = body_of(vessel, slurry_m3=volume, wrap=wrap, stand=Stand(), heater_place="wall")
        wall = sum(layer.thickness_m / layer.k_w_mk for layer in wrap.wall)
        heater = replace(heater, conductance_w_k=bare.heated_m2 / (_BATH_FILMS_M2KW + wall))
    return HeatSetUp(
        vessel=vessel,
        vessel_name=name,
        slurry_m3=volume,
        wrap=wrap,
        stand=usual_stand(str(values["stand"])),
        heater=heater,
        air=air,
        flows=Flows(given("feed", 0.0), given("feed_at", air.mean_c)),
        wanted_c=asked.number("wanted"),
        start_c=given("start", air.mean_c),
        gas_m3_per_d=given("gas", 0.0),
        methane=asked.number("methane"),
        price=None if values["price"] is None else float(values["price"]),
        days=asked.number("days"),
        months_c=months,
        safeguard=str(values["protection"]),
        made_for_liquids=values["liquids"] == "yes",
        cut_out=values["cut_out"] == "yes",
    )


def _wrap(asked: Asked) -> Wrap:
    return usual_wrap(
        str(asked.values["insulation"]),
        asked.number("thickness"),
        wrapped=str(asked.values["wrapped"]),
        wind=asked.values["around"] == "wind",
    )
