"""How much to feed, how often: sections and tables of the best next step."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from marshlight.answers.series import Table
from marshlight.answers.simulate_lives import Grounds
from marshlight.answers.simulate_past import liquid_of, thinned
from marshlight.answers.simulate_words import MODEL
from marshlight.answers.stopping import still_wanted
from marshlight.answers.told import Figure, Section, figure
from marshlight.decide.safety import all_cautions
from marshlight.decide.watch.steps import FeedingPlan, Food, Rung, feeding_plan
from marshlight.decide.watch.steps.ration import BINDS, HORIZON_D
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.mixing import Part
from marshlight.units import choose_unit, show, show_range

RHYTHMS_D = (1.0, 3.0, 7.0)
# Of rhythms that give nearly as much, the one that means least work: our choice.
NEARLY = 0.05
# An eighth of a cup and a gallon [m3].
_LEAST_BY_CUP_M3, _MOST_BY_CUP_M3 = 3e-5, 3.8e-3


@dataclass(frozen=True)
class Fed:
    """Plans for one lot, by rhythm, what a kilogram of it is poured as, and the holder [m3]."""

    name: str
    plans: tuple[FeedingPlan, ...]
    lot_m3_kg: float
    water_m3_kg: float
    holder_m3: float | None = None

    @property
    def holder_hours(self) -> float | None:
        """Give how long the best plan's methane alone takes to fill the holder [h], if known."""
        made = self.best.best.mean_m3_d
        if self.holder_m3 is None or made <= 0.0:
            return None
        return 24.0 * self.holder_m3 / made

    @property
    def best(self) -> FeedingPlan:
        """Give the rarest rhythm that gives nearly the most; the gentlest where nobody can tell."""
        if any(plan.binds == "few" for plan in self.plans):
            return min(self.plans, key=lambda plan: plan.every_d)
        most = max(plan.best.mean_m3_d for plan in self.plans)
        good = [p for p in self.plans if p.best.mean_m3_d >= (1.0 - NEARLY) * most]
        return max(good, key=lambda plan: plan.every_d)


def rations(
    grounds: Grounds,
    name: str,
    feedstock: Feedstock,
    *,
    limit: float,
    stock_kg: float | None,
    seed: int,
    done: Callable[[], None],
) -> Fed:
    """Plan each rhythm.

    Parameters
    ----------
    grounds : Grounds
        The run's lives.
    name, feedstock : str, Feedstock
        What is fed.
    limit : float
        Risk of ending sour that is borne [-].
    stock_kg : float or None
        What is at hand [kg].
    seed : int
        Luck of the strays.
    done : callable
        Told after each rhythm.
    """
    part = (Part(feedstock, 1.0),)
    poured, bare = thinned(part), liquid_of(part)
    plans = []
    for every in RHYTHMS_D:
        plans.append(
            feeding_plan(
                grounds.lives,
                grounds.log,
                Food(poured, stock_kg),
                every_d=every,
                limit=limit,
                seed=seed,
                level_m3=grounds.past.liquid_m3,
                before_each=still_wanted,
            )
        )
        done()
    return Fed(
        name,
        tuple(plans),
        bare.volume_m3,
        poured.volume_m3 - bare.volume_m3,
        grounds.log.holder_capacity_m3,
    )


def often(every_d: float) -> str:
    """Say how often.

    Examples
    --------
    >>> often(1.0), often(3.0), often(7.0)
    ('every day', 'every 3 days', 'once a week')
    """
    return {1.0: "every day", 7.0: "once a week"}.get(every_d, f"every {every_d:.0f} days")


def flow(values: tuple[float, float, float], unit: str) -> str:
    """Write burnable gas of a day with its span."""
    low, middle, high = (max(v, 0.0) for v in values)
    span = show_range(low, high, "flow", unit=unit)
    return f"{show(middle, 'flow', unit=unit, digits=2)} ({span})"


def flow_unit(fed: Fed, system: str) -> str:
    """Choose one unit for the gas of every amount and rhythm, to be compared at a glance."""
    most = max(rung.burnable_m3_d[2] for plan in fed.plans for rung in (*plan.tried, plan.best))
    return choose_unit(max(most, 1e-9), "flow", system=system)


def each_time(fed: Fed, amount_kg: float, system: str, *, of: str = "") -> str:
    """Say how much of a lot goes in each time, by weight and by volume."""
    words = show(amount_kg, "mass", system=system, digits=2)
    litres = _poured(amount_kg * fed.lot_m3_kg, system)
    water = amount_kg * fed.water_m3_kg
    thin = f" with {_poured(water, system)} of water" if water > 1e-5 else ""
    return f"{words} (about {litres}){of}{thin}"


def _poured(volume_m3: float, system: str) -> str:
    """Write what is poured; nobody counts forty spoons."""
    by_cup = system == "us" and _LEAST_BY_CUP_M3 <= volume_m3 < _MOST_BY_CUP_M3
    unit = "cup" if by_cup else None
    return show(volume_m3, "volume", system=system, unit=unit, digits=2)


def feed_section(fed: Fed, system: str) -> Section:
    """Tell every rhythm: how much, what comes, what it risks and what binds."""
    figures: list[Figure] = []
    unit = flow_unit(fed, system)
    for plan in fed.plans:
        value = each_time(fed, plan.best.amount_kg, system) if plan.best.amount_kg > 0.0 else "none"
        figures.append(
            figure(
                often(plan.every_d),
                value,
                f"methane {flow(plan.best.burnable_m3_d, unit)}; risk of souring"
                f" {plan.best.risk.words}; {BINDS[plan.binds]}",
                by=MODEL,
            )
        )
    unfed = fed.plans[0].unfed
    figures.append(
        figure(
            "unfed",
            f"methane {flow(unfed.burnable_m3_d, unit)}",
            f"risk of souring {unfed.risk.words}",
            by=MODEL,
        )
    )
    if fed.best.binds == "already":
        return Section(
            f"Feed: {fed.name}",
            (figures[-1],),
            before=("No feed: left alone it is already at more risk than you would bear.",),
            warning=all_cautions()["pathogens"].text,
        )
    return Section(
        f"Feed: {fed.name}",
        tuple(figures),
        before=(
            f"The largest even feed whose risk of souring over {HORIZON_D} days stays within"
            f" {100.0 * fed.plans[0].limit:.0f} in 100, for the most methane.",
        ),
        after=_beware(fed, unfed),
        warning=all_cautions()["pathogens"].text,
        tables=(amounts_table(fed, system),),
    )


def _beware(fed: Fed, unfed: Rung) -> tuple[str, ...]:
    """Say how to come up to it, and what the figures cannot tell."""
    after = [
        "Come up to it over two weeks and read the pH on the way: what the model calls safe has not"
        " been tried on this digester."
    ]
    told = fed.plans[0]
    if unfed.risk.count == 0 and unfed.risk.limits[1] > told.limit:
        after.append(
            f"The lives are worth too few draws to tell {100.0 * told.limit:.0f} in 100 from"
            f" {unfed.risk.words}."
        )
    if any(plan.above_usual for plan in fed.plans):
        after.append(
            "That is more than a small digester usually takes: a fortieth of its slurry a day."
        )
    if fed.best.every_d > min(plan.every_d for plan in fed.plans):
        after.append(
            f"Of rhythms that give nearly as much, the one that means least work:"
            f" {often(fed.best.every_d)}."
        )
    hours = fed.holder_hours
    if hours is not None and hours < 24.0:
        after.append(
            f"Its methane alone fills an empty holder in {max(hours, 1.0):.0f} hours, the whole gas"
            " sooner: have a use for it, or feed less."
        )
    return tuple(after)


def amounts_table(fed: Fed, system: str) -> Table:
    """Show what each amount tried gives and risks, at the best rhythm."""
    plan, unit = fed.best, flow_unit(fed, system)
    rows: Sequence[Rung] = plan.tried
    return Table(
        f"{fed.name} {often(plan.every_d)}: amount, methane and risk",
        ("each time", "methane, 95 % of lives", "risk of souring"),
        tuple(
            (
                show(rung.amount_kg, "mass", system=system, digits=2),
                flow(rung.burnable_m3_d, unit),
                rung.risk.words,
            )
            for rung in rows
        ),
    )
