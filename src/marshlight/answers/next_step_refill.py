"""When to draw off and refill, and how much: sections and table of the best next step."""

from marshlight.answers.next_step_feed import flow
from marshlight.answers.series import Table
from marshlight.answers.simulate_words import MODEL
from marshlight.answers.told import Section, figure
from marshlight.decide.safety import all_cautions
from marshlight.decide.watch.steps import Cycle, RefillPlan
from marshlight.decide.watch.steps.ration import SHORTEST_STAY_D
from marshlight.decide.watch.steps.refill import FLAT, LENGTHS_D, SHARES
from marshlight.units import choose_unit, from_unit, show

_MOST_DAYS = 90.0
# Where fewer of the ways tried are as good as the best, it does matter: our choice.
FEW = 0.25


def due_words(plan: RefillPlan) -> str:
    """Say when the first refill is due."""
    if plan.due_d is None:
        return ""
    low, middle, high = (round(day) for day in plan.due_d)
    if high <= 0:
        return "now"
    if middle >= _MOST_DAYS:
        return "not within three months"
    first = "now" if middle <= 0 else "tomorrow" if middle == 1 else f"in {middle} days"
    return f"{first} ({low} to {high} days from now)"


def refill_section(plan: RefillPlan, name: str, liquid_m3: float, system: str) -> Section:
    """Tell the best way of going on for good, and how little it matters."""
    title = "Draw off and refill"
    if plan.best is None:
        return Section(
            title,
            before=(
                "Every way tried, from a quarter to four fifths drawn off, once a week to every two"
                f" months, ends sour in more than {100.0 * plan.limit:.0f} in 100 lives with"
                f" {name}. Let it recover first; then draw off less, or feed a little and often.",
            ),
            warning=all_cautions()["pathogens"].text,
        )
    best = plan.best
    drawn, unit = best.share * liquid_m3, _unit(plan, system)
    figures = (
        figure(
            "next refill", due_words(plan), "where waiting longer brings less than starting anew"
        ),
        figure(
            "each time",
            f"{show(drawn, 'volume', system=system, digits=2)} ({100.0 * best.share:.0f} % of the"
            f" slurry), every {best.days:.0f} days",
            f"refilled with {name}; {_use_words(best, liquid_m3, system)}",
            by=MODEL,
        ),
        figure("methane in the long run", f"{flow(best.burnable_m3_d, unit)}", by=MODEL),
        figure(
            "until gas is back",
            show(best.lag_d, "time", digits=2)
            if best.lag_d > 0.0
            else "within a tenth of the round",
            "half the rate of the round's best day; counted in the long run",
            by=MODEL,
        ),
        figure("risk of souring", best.risk.words, "after four rounds", by=MODEL),
    )
    return Section(
        title,
        figures,
        before=(flat_words(plan),),
        after=(_work(plan),),
        warning=all_cautions()["hydrogen_sulfide"].text,
        tables=(cycles_table(plan, system),),
    )


def flat_words(plan: RefillPlan) -> str:
    """Say how far from the best it hardly matters."""
    if plan.best is None:
        return ""
    if len(plan.flat) == 1:
        return (
            "No other way tried comes within 5 % of the best: here it matters how often and how"
            " much."
        )
    if len(plan.flat) < FEW * len(plan.tried):
        ways = "; ".join(
            f"every {c.days:.0f} days {100.0 * c.share:.0f} %"
            for c in plan.flat
            if c is not plan.best
        )
        return (
            f"Within {100.0 * FLAT:.0f} % of the best comes {ways} drawn off; elsewhere it matters."
        )
    days = [cycle.days for cycle in plan.flat]
    shares = [100.0 * cycle.share for cycle in plan.flat]
    return (
        f"It hardly matters: {len(plan.flat)} of {len(plan.tried)} ways come within"
        f" {100.0 * FLAT:.0f} % of the best, from every {min(days):.0f} to every {max(days):.0f}"
        f" days and from {min(shares):.0f} to {max(shares):.0f} % drawn off. Take the one that"
        " means least work."
    )


def _use_words(cycle: Cycle, liquid_m3: float, system: str) -> str:
    """Say how much of the fresh a week takes, and what a litre of it gives."""
    a_day = cycle.share * liquid_m3 / cycle.days
    week = show(7.0 * a_day, "volume", system=system, digits=2)
    unit, name = ("gal", "gallon") if system == "us" else ("L", "litre")
    each = max(cycle.mean_m3_d, 0.0) / a_day * from_unit(1.0, unit, "volume")
    gives = show(each, "volume", system=system, digits=2)
    return f"that takes {week} of it a week and gives {gives} of methane from each {name}"


def _work(plan: RefillPlan) -> str:
    best = plan.best
    edge = best is not None and best.days == min(cycle.days for cycle in plan.tried)
    more = " The shortest round tried is the best, so feed a little and often." if edge else ""
    return (
        "Often and much takes more material: this counts gas of a day. Where material is scarce,"
        " longer rounds get more out of it. Ways that would keep the slurry less than"
        f" {SHORTEST_STAY_D:.0f} days are left out: methane formers are washed out.{more}"
    )


def cycles_table(plan: RefillPlan, system: str) -> Table:
    """Show methane of a day over how often and how much; the best and those as good in words."""
    unit = _unit(plan, system)
    by_place = {(cycle.days, cycle.share): cycle for cycle in plan.tried}
    return Table(
        "Methane of a day in the long run, by how often and how much is drawn off",
        ("every", *(f"{100.0 * share:.0f} %" for share in SHARES)),
        tuple(
            (
                f"{days:.0f} days",
                *(_cell(plan, by_place.get((days, share)), unit) for share in SHARES),
            )
            for days in LENGTHS_D
        ),
    )


def _unit(plan: RefillPlan, system: str) -> str:
    """Choose one unit for the gas of every way, to be compared at a glance."""
    most = max((cycle.mean_m3_d for cycle in plan.tried), default=0.0)
    return choose_unit(max(most, 1e-9), "flow", system=system)


def _cell(plan: RefillPlan, cycle: Cycle | None, unit: str) -> str:
    if cycle is None:
        return "too short"
    if cycle.risk.share > plan.limit:
        return "sours"
    gas = show(max(cycle.mean_m3_d, 0.0), "flow", unit=unit, digits=2)
    if cycle is plan.best:
        return f"{gas}, best"
    return f"{gas}, as good" if cycle in plan.flat else gas
