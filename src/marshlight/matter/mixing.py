"""A blend of lots and water: composition, volume and gas, each with its doubt carried through."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from math import isfinite

from marshlight.errors import require
from marshlight.estimate import Estimate
from marshlight.matter.content import ORGANIC_VOLUME, Content, content, unknown_organic_volume
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.propagation import Inputs, Uncertain
from marshlight.matter.properties import PROPERTIES, SPLIT, Property
from marshlight.matter.stoichiometry import METHANE_PER_COD
from marshlight.matter.water import water_density_kg_m3

_MASS = "mass"
# Taken as none where a lot does not state them; the blend says which lots those were.
TAKEN_AS_NONE = ("TAN", "alkalinity", "methanogenic_activity")


@dataclass(frozen=True)
class Part:
    """A lot and how much of it goes in [kg], with the standard uncertainty of the weighing."""

    feedstock: Feedstock
    mass_kg: float
    mass_u_kg: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a mass that cannot be weighed out.

        Raises
        ------
        InputError
            When the mass is negative or not finite.
        """
        require(
            isfinite(self.mass_kg) and self.mass_kg >= 0.0,
            field=f"mass of {self.feedstock.name}",
            value=self.mass_kg,
            allowed="zero or more kilograms",
            remedy="Give the mass weighed out",
        )


@dataclass(frozen=True)
class Blend:
    """What the mix is; None where a lot in it does not say enough (``unknown`` names which).

    Units: masses [kg]; ``volume_m3`` of slurry and ``bulk_m3`` of each part as heaped [m3];
    ``density`` [kg/m3]; TS, TAN, alkalinity [kg/kg of the mix]; VS, TKN, P, K [kg/kg TS];
    lipid, easily_degraded and the make-up ``split`` [kg/kg VS]; ``methane_m3`` in the end, dry
    normal [m3]; ``rate`` [1/d] at about 35 degC, weighted by potential; ``methane_share`` of the
    gas in the end [m3/m3], its doubt reaching from no carbon dioxide held by ammonia to all that
    can be; ``methanogenic_activity`` [kg COD/(kg VS d)]; ``ammonia_in_the_end`` [kg N/kg].
    """

    parts: tuple[Part, ...]
    water_kg: float
    temperature_c: float
    mass_kg: Estimate
    volume_m3: Estimate
    density: Estimate
    ts_kg: Estimate
    vs_kg: Estimate
    TS: Estimate
    VS: Estimate | None
    cod_kg: Estimate | None
    methane_m3: Estimate | None
    methane_potential: Estimate | None
    theoretical_methane_m3: Estimate | None
    digestible_share: Estimate | None
    methane_share: Estimate | None
    rate: Estimate | None
    carbon_kg: Estimate | None
    nitrogen_kg: Estimate | None
    C_to_N: Estimate | None
    TKN: Estimate | None
    TAN: Estimate
    ammonia_in_the_end: Estimate | None
    split: Mapping[str, Estimate] | None
    lipid: Estimate | None
    easily_degraded: Estimate | None
    alkalinity: Estimate
    methanogenic_activity: Estimate | None
    P: Estimate | None
    K: Estimate | None
    bulk_m3: tuple[Estimate | None, ...]
    unknown: Mapping[str, tuple[str, ...]]
    taken_as_none: Mapping[str, tuple[str, ...]]

    def as_feedstock(self, key: str, name: str) -> Feedstock:
        """Give the blend as a feedstock of its own, to store, age or mix again.

        Parameters
        ----------
        key, name : str
            What to call it.

        Returns
        -------
        Feedstock
            Values as blended; ranges are 95 % intervals. How properties lean on each other is
            lost, so mixing once is a little sharper than mixing in two steps.

        Raises
        ------
        InputError
            When there is no dry matter in the blend.
        """
        require(
            self.VS is not None,
            field="blend",
            value=self.TS.value,
            allowed="a mix with some dry matter",
            remedy="Add a material to the water",
        )
        found: dict[str, Estimate | None] = {
            prop: getattr(self, prop)
            for prop in PROPERTIES
            if prop not in SPLIT and prop != "bulk_density"
        }
        found |= dict(self.split or {}) | {"bulk_density": self.density}
        return Feedstock(
            key=key,
            name=name,
            group="own",
            properties={
                prop: _property(prop, estimate)
                for prop, estimate in found.items()
                if estimate is not None
            },
        )


def blend(
    parts: Iterable[Part],
    water_kg: float = 0.0,
    *,
    temperature_c: float = 20.0,
    correlations: Mapping[tuple[str, str], float] | None = None,
) -> Blend:
    """Mix lots and water.

    Parameters
    ----------
    parts : Iterable[Part]
        Lots and masses; the same feedstock twice counts as one lot, with one set of doubts.
    water_kg : float
        Water added [kg], zero or more.
    temperature_c : float
        Temperature at which volumes are wanted [degC], 0 to 70; water at 38 takes 0.5 % more
        room than at 20.
    correlations : Mapping[tuple[str, str], float], optional
        Correlation of two properties of one lot, -1 to 1, for example ``("TS", "VS")``; none if
        not given. Different lots are independent.

    Returns
    -------
    Blend
        Masses, shares, volume, gas, each an ``Estimate`` [units in Blend].

    Raises
    ------
    InputError
        When nothing at all is mixed, a mass is negative, or a lot lacks TS or VS.

    Notes
    -----
    Everything that adds up is added up; ratios are taken last, so C:N weighs carbon and nitrogen,
    not ratios. Uncertainty to first order, each lot's properties as inputs, so that a share of
    two sums of the same inputs is as sharp as it should be.

    References
    ----------
    Sources ``first_order_propagation``, ``choi_okos_1986``, ``buswell_boyle_1977``.

    Examples
    --------
    >>> from marshlight.matter.library import find
    >>> mix = blend([Part(find("goat manure"), 3.0), Part(find("stale bread"), 0.4)], 12.0)
    >>> round(mix.mass_kg.value, 1), mix.TS.value < 0.10
    (15.4, True)
    """
    held = tuple(parts)
    require(
        isfinite(water_kg) and water_kg >= 0.0 and water_kg + sum(p.mass_kg for p in held) > 0.0,
        field="water and materials",
        value=water_kg,
        allowed="zero or more kilograms, something altogether",
        remedy="Put in at least one material or some water",
    )
    lots = _distinct_lots(held)
    inputs = _inputs(held, lots, temperature_c, correlations or {})
    used = [(i, part) for i, part in enumerate(held) if part.mass_kg > 0.0]
    contents = [
        content(_lookup(inputs, lots.index(part.feedstock)), inputs.constant(0.0), temperature_c)
        for _, part in used
    ]
    masses = [inputs[i, _MASS] for i, _ in used]
    mixer = _Mixer(inputs, [part for _, part in used], masses, contents)
    return mixer.blend(held, water_kg, temperature_c)


class _Mixer:
    """Sums over the parts, kept together so that each sum is written once."""

    def __init__(
        self,
        inputs: Inputs,
        parts: Sequence[Part],
        masses: Sequence[Uncertain],
        contents: Sequence[Content[Uncertain]],
    ) -> None:
        self.inputs, self.parts, self.masses, self.contents = inputs, parts, masses, contents
        self.unknown: dict[str, tuple[str, ...]] = {}

    def sum(
        self, get: Callable[[Content[Uncertain]], Uncertain | None], name: str
    ) -> Uncertain | None:
        terms = [get(c) for c in self.contents]
        lacking = tuple(
            p.feedstock.name for p, term in zip(self.parts, terms, strict=True) if term is None
        )
        if lacking:
            self.unknown[name] = lacking
            return None
        return self.inputs.total(
            m * t for m, t in zip(self.masses, terms, strict=True) if t is not None
        )

    def known(self, get: Callable[[Content[Uncertain]], Uncertain]) -> Uncertain:
        return self.inputs.total(
            m * get(c) for m, c in zip(self.masses, self.contents, strict=True)
        )

    def estimate(self, over: Uncertain | None, under: Uncertain | float = 1.0) -> Estimate | None:
        if over is None:
            return None
        if isinstance(under, Uncertain) and under.value == 0.0:
            return None
        return self.inputs.estimate(over / under)

    def sure(self, over: Uncertain, under: Uncertain | float = 1.0) -> Estimate:
        return self.inputs.estimate(over / under)

    def blend(self, held: tuple[Part, ...], water_kg: float, temperature_c: float) -> Blend:
        mass = self.inputs.total(self.masses) + water_kg
        volume = self.known(lambda c: c.volume) + water_kg / water_density_kg_m3(temperature_c)
        ts, vs = self.known(lambda c: c.ts), self.known(lambda c: c.vs)
        cod = self.sum(lambda c: c.cod, "oxygen demand")
        methane = self.sum(lambda c: c.methane, "methane potential")
        theoretical = None if cod is None else cod * METHANE_PER_COD
        nitrogen = self.sum(lambda c: c.nitrogen, "nitrogen")
        carbon = self.sum(lambda c: c.carbon, "carbon")
        easy = self.sum(lambda c: c.easily_degraded, "easily degraded share")
        activity = self.known(lambda c: c.activity)
        split = self._split(vs)
        return Blend(
            parts=held,
            water_kg=water_kg,
            temperature_c=temperature_c,
            mass_kg=self.sure(mass),
            volume_m3=self.sure(volume),
            density=self.sure(mass, volume),
            ts_kg=self.sure(ts),
            vs_kg=self.sure(vs),
            TS=self.sure(ts, mass),
            VS=self.estimate(vs, ts),
            cod_kg=self.estimate(cod),
            methane_m3=self.estimate(methane),
            methane_potential=self.estimate(methane, vs),
            theoretical_methane_m3=self.estimate(theoretical),
            digestible_share=None if theoretical is None else self.estimate(methane, theoretical),
            methane_share=self._methane_share(methane),
            rate=self._rate(methane),
            carbon_kg=self.estimate(carbon),
            nitrogen_kg=self.estimate(nitrogen),
            C_to_N=None if nitrogen is None else self.estimate(carbon, nitrogen),
            TKN=self.estimate(nitrogen, ts),
            TAN=self.sure(self.known(lambda c: c.ammonia), mass),
            ammonia_in_the_end=self.estimate(
                self.sum(lambda c: c.ammonia_in_the_end, "ammonia in the end"), mass
            ),
            split=split,
            lipid=None if split is None else split["lipid"],
            easily_degraded=self.estimate(easy, vs),
            alkalinity=self.sure(self.known(lambda c: c.alkalinity), mass),
            methanogenic_activity=self.estimate(activity, vs),
            P=self.estimate(self.sum(lambda c: c.phosphorus, "phosphorus"), ts),
            K=self.estimate(self.sum(lambda c: c.potassium, "potassium"), ts),
            bulk_m3=tuple(_bulk(part) for part in held),
            unknown=self.unknown,
            taken_as_none=_taken_as_none(self.parts),
        )

    def _rate(self, methane: Uncertain | None) -> Estimate | None:
        weighted = self.sum(lambda c: c.methane_rate, "rate")
        return None if methane is None else self.estimate(weighted, methane)

    def _methane_share(self, methane: Uncertain | None) -> Estimate | None:
        free = self.sum(lambda c: c.carbon_dioxide_free, "methane share of the gas")
        held = self.sum(lambda c: c.carbon_dioxide_held, "methane share of the gas")
        if methane is None or free is None or held is None or methane.value <= 0.0:
            return None
        low = methane.value / (methane + free).value
        high = methane.value / (methane + held).value
        middle = self.inputs.estimate(methane / (methane + (free + held) * 0.5))
        return Estimate(middle.value, (middle.u**2 + ((high - low) / 4.0) ** 2) ** 0.5)

    def _split(self, vs: Uncertain) -> dict[str, Estimate] | None:
        if vs.value <= 0.0:
            return None
        found: dict[str, Estimate] = {}
        for name in SPLIT:
            amount = self.sum(partial(_organic_part, name), "make-up")
            if amount is None:
                return None
            found[name] = self.sure(amount, vs)
        return found


def _organic_part(name: str, held: Content[Uncertain]) -> Uncertain | None:
    return None if held.parts is None else held.parts[name]


def _distinct_lots(parts: Sequence[Part]) -> list[Feedstock]:
    lots: list[Feedstock] = []
    for part in parts:
        if part.feedstock not in lots:
            lots.append(part.feedstock)
            # Both are needed whatever is asked; the feedstock's own error says so best.
            part.feedstock.value("TS")
            part.feedstock.value("VS")
    return lots


def _inputs(
    parts: Sequence[Part],
    lots: Sequence[Feedstock],
    temperature_c: float,
    correlations: Mapping[tuple[str, str], float],
) -> Inputs:
    # Owners: parts for their weighing, lots (counted on after the parts) for their properties.
    estimates: dict[tuple[int, str], Estimate] = {
        (i, _MASS): Estimate(part.mass_kg, part.mass_u_kg) for i, part in enumerate(parts)
    }
    low, usual, high = unknown_organic_volume(temperature_c)
    for i, lot in enumerate(lots):
        owner = -1 - i
        estimates |= {(owner, name): held.estimate for name, held in lot.properties.items()}
        estimates[owner, ORGANIC_VOLUME] = Estimate.from_range(usual, low, high)
    return Inputs(estimates, correlations)


def _lookup(inputs: Inputs, lot: int) -> Callable[[str], Uncertain | None]:
    def prop(name: str) -> Uncertain | None:
        return inputs.get((-1 - lot, name))

    return prop


def _bulk(part: Part) -> Estimate | None:
    density = part.feedstock.get("bulk_density")
    if density is None:
        return None
    volume = part.mass_kg / density.value
    spread = (density.estimate.relative_u * volume, part.mass_u_kg / density.value)
    return Estimate(volume, (spread[0] ** 2 + spread[1] ** 2) ** 0.5)


def _taken_as_none(parts: Sequence[Part]) -> dict[str, tuple[str, ...]]:
    lacking = {
        name: tuple(p.feedstock.name for p in parts if p.feedstock.get(name) is None)
        for name in TAKEN_AS_NONE
    }
    return {name: lots for name, lots in lacking.items() if lots}


def _property(name: str, estimate: Estimate) -> Property:
    kind = PROPERTIES[name]
    value = min(max(estimate.value, kind.minimum), kind.maximum)
    low, high = estimate.interval(0.95)
    return Property(
        value, min(max(low, kind.minimum), value), max(min(high, kind.maximum), value), "blended"
    )
