"""The reactions: a rate for each, and a stoichiometry that closes in carbon, nitrogen, sulfur, COD.

A reaction lists what it takes and makes; what is missing of carbon and nitrogen comes from or goes
to the inorganic pools, so no set of parameters can break a balance. COD closes because the last
product of every list gets what the others leave.
"""

from dataclasses import dataclass

from .expression import Graph, Node, exp, maximum, minimum
from .species import Contents
from .variant import BIOMASS, Variant


@dataclass(frozen=True)
class Reaction:
    """A rate [kg COD/(m3 d), or kmol/(m3 d)] and what it changes per unit."""

    name: str
    rate: Node
    changes: dict[str, Node]


@dataclass(frozen=True)
class Setting:
    """What the rates need to know about the liquid."""

    variant: Variant
    graph: Graph
    concentration: dict[str, Node]
    species: dict[str, Node]
    ln_proton: Node

    def c(self, name: str) -> Node:
        """Give a concentration."""
        return self.concentration[name]

    def p(self, name: str) -> Node:
        """Give a parameter."""
        return self.graph.setting(name)

    def monod(self, name: str, half: str) -> Node:
        """Give S/(K + S)."""
        amount = self.concentration[name]
        return amount / (amount + self.p(half))


def reactions(at: Setting, contents: Contents) -> list[Reaction]:
    """Write every reaction of the variant, closed."""
    raw = [*_breakdown(at), *_uptakes(at), *_decay(at)]
    if at.variant.small:
        raw += [_sulfate_reduction(at), _respiration(at)]
    return [_closed(reaction, at, contents) for reaction in raw]


def _closed(reaction: Reaction, at: Setting, contents: Contents) -> Reaction:
    changes = dict(reaction.changes)
    for element, pool in (("carbon", "inorganic_carbon"), ("nitrogen", "inorganic_nitrogen")):
        missing = at.graph.number(0.0)
        for name, amount in reaction.changes.items():
            missing = missing - amount * contents[element][name]
        changes[pool] = missing
    return Reaction(reaction.name, reaction.rate, changes)


def _breakdown(at: Setting) -> list[Reaction]:
    one = at.graph.number(1.0)
    p, c = at.p, at.c
    found = []
    speed = one
    solids = {"carbohydrate": "ch", "protein": "pr", "lipid": "li"}
    if at.variant.small:
        solids["fibre"] = "fi"
        speed = hydrolysis_factor(at) * p("access") * _ph_factor(at, "hyd")
    else:
        shares = {
            "soluble_inert": p("f_sI"),
            "particulate_inert": p("f_xI"),
            "carbohydrate": p("f_ch"),
            "protein": p("f_pr"),
        }
        found.append(
            Reaction(
                "disintegration",
                p("k_dis") * c("composite"),
                {"composite": -one, **shares, "lipid": _rest(one, shares)},
            )
        )
    for name, short in solids.items():
        made = {"amino_acids" if name == "protein" else "sugars": one}
        if name == "lipid":
            made = {"lcfa": p("f_fa_li"), "sugars": one - p("f_fa_li")}
        rate = p(f"k_hyd_{short}") * speed * c(name)
        found.append(Reaction(f"hydrolysis of {name}", rate, {name: -one, **made}))
    if at.variant.small:
        rate = p("k_hyd_pr") * speed * c("organic_sulfur")
        made = {"organic_sulfur": -one, "sulfide": one}
        found.append(Reaction("release of organic sulfur", rate, made))
    return found


def _rest(whole: Node, parts: dict[str, Node]) -> Node:
    for part in parts.values():
        whole = whole - part
    return whole


def hydrolysis_factor(at: Setting) -> Node:
    """Temperature factor of breakdown relative to 35 degC, an exponential that ends somewhere."""
    warm = minimum(at.p("temperature_c"), at.p("hydrolysis_t_max"))
    return exp(at.p("hydrolysis_theta") * (warm - 35.0))


def cardinal_factor(at: Setting) -> Node:
    """Temperature factor of growth relative to 35 degC (Rosso, Lobry & Flandrois 1993)."""
    low, best, high = (at.p(f"growth_t_{w}") for w in ("min", "opt", "max"))

    def factor(celsius: Node) -> Node:
        t = maximum(minimum(celsius, high), low)
        below = (best - low) * (t - best) - (best - high) * (best + low - 2.0 * t)
        return (t - high) * (t - low) * (t - low) / ((best - low) * below)

    return factor(at.p("temperature_c")) / factor(at.graph.number(35.0))


def _ph_factor(at: Setting, group: str) -> Node:
    """Hill form: K^n/(h^n + K^n) with ln K = -ln10 (UL + LL)/2, n = 3/(UL - LL)."""
    upper, lower = at.p(f"pH_UL_{group}"), at.p(f"pH_LL_{group}")
    steep = 3.0 / (upper - lower)
    centre = -1.151292546497023 * (upper + lower)
    return 1.0 / (1.0 + exp(steep * (at.ln_proton - centre)))


def factors(at: Setting) -> dict[str, Node]:
    """Inhibition factors, 1 = none, shared by the reactions and shown as observables."""
    hydrogen = at.c("hydrogen")
    groups = ("aa", "ac", "h2", "hyd") if at.variant.small else ("aa", "ac", "h2")
    found = {f"I_pH_{group}": _ph_factor(at, group) for group in groups}
    found["I_IN"] = at.monod("inorganic_nitrogen", "K_S_IN")
    for group in ("fa", "c4", "pro"):
        # K/(K + S) rather than 1/(1 + S/K): one reciprocal, no division.
        limit = at.p(f"K_Ih2_{group}")
        found[f"I_h2_{group}"] = limit / (limit + hydrogen)
    limit = at.p("K_I_nh3")
    found["I_nh3"] = limit / (limit + at.species["ammonia"])
    if at.variant.small:
        found["warmth_growth"] = cardinal_factor(at)
        found["warmth_breakdown"] = hydrolysis_factor(at)
        limit = at.p("K_I_lcfa")
        found["I_lcfa"] = limit / (limit + at.c("lcfa"))
        limit = at.p("K_I_h2s")
        found["I_h2s"] = limit / (limit + at.species["hydrogen_sulfide"])
        # Third-order: little effect at half the limit, half at the limit, almost full at twice.
        ratio = at.c("sodium") / at.p("K_I_na")
        found["I_na"] = 1.0 / (1.0 + ratio * ratio * ratio)
    return found


def _uptakes(at: Setting) -> list[Reaction]:
    p, c, one = at.p, at.c, at.graph.number(1.0)
    f = factors(at)
    acid = f["I_pH_aa"] * f["I_IN"]
    methane = f["I_IN"]
    if at.variant.small:
        acid = acid * cardinal_factor(at)
        methane = methane * cardinal_factor(at) * f["I_lcfa"] * f["I_h2s"] * f["I_na"]
        syntrophic = acid * f["I_h2s"]
    else:
        syntrophic = acid
    both = c("valerate") + c("butyrate") + 1e-6
    c4 = p("k_m_c4") * c("x_c4") * syntrophic * f["I_h2_c4"]
    su = {"hydrogen": p("f_h2_su"), "butyrate": p("f_bu_su"), "propionate": p("f_pro_su")}
    su["acetate"] = _rest(one, su)
    aa = {"hydrogen": p("f_h2_aa"), "valerate": p("f_va_aa"), "butyrate": p("f_bu_aa")}
    aa["propionate"] = p("f_pro_aa")
    aa["acetate"] = _rest(one, aa)
    table = [
        ("sugars", "su", "x_sugar", acid, su),
        ("amino_acids", "aa", "x_amino", acid, aa),
        ("lcfa", "fa", "x_lcfa", syntrophic * f["I_h2_fa"], _split(at.graph, 0.7, 0.3)),
        (
            "propionate",
            "pro",
            "x_propionate",
            syntrophic * f["I_h2_pro"],
            _split(at.graph, 0.57, 0.43),
        ),
        ("acetate", "ac", "x_acetate", methane * f["I_pH_ac"] * f["I_nh3"], {"methane": one}),
        ("hydrogen", "h2", "x_hydrogen", methane * f["I_pH_h2"], {"methane": one}),
    ]
    found = []
    for food, short, group, factor, products in table:
        rate = p(f"k_m_{short}") * at.monod(food, f"K_S_{short}") * c(group) * factor
        found.append(_uptake(at, food, group, rate, products))
    for food, products in (
        ("valerate", {"propionate": at.graph.number(0.54), **_split(at.graph, 0.31, 0.15)}),
        ("butyrate", _split(at.graph, 0.8, 0.2)),
    ):
        rate = c4 * at.monod(food, "K_S_c4") * c(food) / both
        found.append(_uptake(at, food, "x_c4", rate, products))
    return found


def _split(graph: Graph, acetate: float, hydrogen: float) -> dict[str, Node]:
    return {"acetate": graph.number(acetate), "hydrogen": graph.number(hydrogen)}


YIELDS = {
    "x_sugar": "Y_su",
    "x_amino": "Y_aa",
    "x_lcfa": "Y_fa",
    "x_c4": "Y_c4",
    "x_propionate": "Y_pro",
    "x_acetate": "Y_ac",
    "x_hydrogen": "Y_h2",
    "x_sulfate": "Y_srb",
}


def _uptake(at: Setting, food: str, group: str, rate: Node, products: dict[str, Node]) -> Reaction:
    growth = at.p(YIELDS[group])
    changes = {food: at.graph.number(-1.0), group: growth}
    for name, share in products.items():
        changes[name] = (1.0 - growth) * share
    return Reaction(f"uptake of {food}", rate, changes)


def _decay(at: Setting) -> list[Reaction]:
    one = at.graph.number(1.0)
    rate = at.p("k_dec")
    products: dict[str, Node] = {"composite": one}
    groups: tuple[str, ...] = BIOMASS
    if at.variant.small:
        groups = (*BIOMASS, "x_sulfate")
        # Decay keeps rising with warmth, also beyond what growth endures.
        rate = rate * exp(at.p("decay_theta") * (at.p("temperature_c") - 35.0))
        products = {
            "carbohydrate": at.p("f_ch_bac"),
            "lipid": at.p("f_li_bac"),
            "particulate_inert": at.p("f_xI_bac"),
        }
        products["protein"] = _rest(one, products)
    speeds = {}
    if at.variant.small:
        # Acid kills methane formers; 6 and 5 are the pH limits of those that live on hydrogen.
        killed = 1.0 + (at.p("acid_decay") - 1.0) * (1.0 - factors(at)["I_pH_h2"])
        speeds = dict.fromkeys(("x_acetate", "x_hydrogen"), killed)
    return [
        Reaction(
            f"decay of {group}",
            rate * speeds.get(group, one) * at.c(group),
            {group: -one, **products},
        )
        for group in groups
    ]


def _sulfate_reduction(at: Setting) -> Reaction:
    f = factors(at)
    rate = at.p("k_m_srb") * at.monod("hydrogen", "K_S_h2_srb") * at.c("x_sulfate")
    rate = rate * at.monod("sulfate", "K_S_so4") * f["I_pH_h2"] * f["I_h2s"] * f["I_IN"]
    growth = at.p("Y_srb")
    reduced = (1.0 - growth) * (1.0 / 64.0)
    changes = {
        "hydrogen": at.graph.number(-1.0),
        "x_sulfate": growth,
        "sulfate": -reduced,
        "sulfide": reduced,
    }
    return Reaction("sulfate reduction", rate * cardinal_factor(at), changes)


def _respiration(at: Setting) -> Reaction:
    """Oxygen that dissolves burns sugars, without growth: 32 kg COD a kmol."""
    rate = at.p("k_o2") * at.c("oxygen") * at.monod("sugars", "K_S_su_o2")
    changes = {"oxygen": at.graph.number(-1.0), "sugars": at.graph.number(-32.0)}
    return Reaction("respiration", rate, changes)
