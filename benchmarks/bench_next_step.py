"""Does the feeding plan keep its promise? On invented drums whose truth it cannot see.

Each drum is fed as its keeper likes for 25 days, its log is fitted, and a plan is made for the 30
days that follow at a risk of 5 in 100. Then the truth, which strays from the model in ways that
the fit does not know, is fed so; beside it by the usual rule, a fortieth of the slurry a day. Takes
a minute or two on two cores.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from time import perf_counter

import numpy as np
from benchmarks.harness import BenchRow
from benchmarks.synthetic import Case, draw_case, live, write_log

from marshlight.decide.watch.calibration import Lives, RunLog, calibrate, lives_from_prior
from marshlight.decide.watch.steps import SOUR_PH, FeedingPlan, Food, Risk, feeding, feeding_plan
from marshlight.errors import MarshlightError
from marshlight.matter import find
from marshlight.process.model import DrawOff, Event, Feed, liquid_from_feedstock, water

CASES, SEED = 40, 71_000
LOOK_D, AHEAD_D, EVERY_D, LIMIT = 25.0, 30, 3.0, 0.05
# The trade's rule for a small digester, in slurry a day (source `feed_limit_practice`).
RULE = 1.0 / 40.0
MEAL = "food waste from a canteen or household"


@dataclass(frozen=True)
class Fate:
    """What came of one drum under one way of feeding: its end's pH, methane of a day [m3]."""

    sour: bool
    methane_m3_d: float


@dataclass(frozen=True)
class Scored:
    """One drum: its fate by the plan, by the plan without its readings, by the rule, and unfed."""

    fates: dict[str, Fate]
    took_s: float


def rows() -> Iterable[BenchRow]:
    """Yield how often truths sour, and their methane, by way of feeding."""
    scored = [one for seed in range(CASES) if (one := score(SEED + seed)) is not None]
    rule = _fates(scored, "rule")
    for way, name in (
        ("plan", "plan at 5 in 100, fitted"),
        ("recipe", "plan at 5 in 100, by the recipe alone"),
        ("rule", "a fortieth of the slurry a day"),
        ("unfed", "unfed"),
    ):
        yield from _rows_of(name, _fates(scored, way), rule)
    took = float(np.median([one.took_s for one in scored]))
    yield BenchRow("one feeding plan, every 3 days", took, "s", target="a page shows its progress")


def _rows_of(name: str, fates: list[Fate], rule: list[Fate]) -> Iterable[BenchRow]:
    risk = Risk(sum(fate.sour for fate in fates), len(fates))
    base = sum(fate.sour for fate in rule) / len(rule)
    yield BenchRow(
        f"{name}: truths that end sour", risk.share, "1", base, None,
        f"{risk.words} of {len(fates)}; aimed at for a plan: 5 in 100 within the luck of the draw",
    )  # fmt: skip
    gas, usual = (float(np.mean([f.methane_m3_d for f in each])) for each in (fates, rule))
    yield BenchRow(f"{name}: methane of a day", 1000.0 * gas, "L/d", 1000.0 * usual, gas / usual)


def _fates(scored: list[Scored], way: str) -> list[Fate]:
    return [one.fates[way] for one in scored]


def score(seed: int) -> Scored | None:
    """Plan for one drum and see what comes of its truth; None where it is sour already."""
    rng = np.random.default_rng(seed)
    case = draw_case("fed drum", rng, dense=False)
    log = write_log(case, rng).until(LOOK_D)
    if case.life.at(case.life.run["pH"], np.array([LOOK_D]))[0] < SOUR_PH:
        return None
    food = Food(liquid_from_feedstock(find(MEAL), 1.0) + water(0.002))
    level = _level(case)
    fitted = calibrate(log, rng=rng)
    start = perf_counter()
    plan = _planned(fitted, log, food, level)
    took = perf_counter() - start
    recipe = _planned(lives_from_prior(log, rng=rng, members=200), log, food, level)
    by_rule = RULE * EVERY_D * level / food.a_kilogram.volume_m3
    amounts = {
        "plan": plan.best.amount_kg,
        "recipe": recipe.best.amount_kg,
        "rule": by_rule,
        "unfed": 0.0,
    }
    return Scored({way: _fate(case, food, kg, level) for way, kg in amounts.items()}, took)


def _planned(lives: Lives, log: RunLog, food: Food, level_m3: float) -> FeedingPlan:
    return feeding_plan(
        lives, log, food, every_d=EVERY_D, limit=LIMIT, seed=1, level_m3=level_m3,
        horizon_d=AHEAD_D,
    )  # fmt: skip


def _level(case: Case) -> float:
    level = case.setup.charge.volume_m3
    for event in case.setup.events:
        if event.day > LOOK_D:
            break
        level += event.liquid.volume_m3 if isinstance(event, Feed) else 0.0
        level -= event.volume_m3 if isinstance(event, DrawOff) else 0.0
    return level


def _fate(case: Case, food: Food, amount_kg: float, level_m3: float) -> Fate:
    """Feed the truth so; what was fed before stays as it was."""
    before = tuple(event for event in case.setup.events if event.day <= LOOK_D)
    fed: tuple[Event, ...] = ()
    if amount_kg > 0.0:
        days = LOOK_D + np.arange(0.01, AHEAD_D, EVERY_D)
        fed = feeding(
            food.a_kilogram.scaled(amount_kg), days, level_m3=level_m3,
            vessel_m3=case.setup.digester.vessel_m3,
        )  # fmt: skip
    meals = sum(isinstance(event, Feed) for event in (*before, *fed))
    known = np.asarray(case.truth.fed_food, dtype=np.float64)
    strays = np.resize(known if known.size else np.ones(1), meals)
    setup = replace(case.setup, events=(*before, *fed), length_d=LOOK_D + AHEAD_D)
    looks = setup.looks
    kept = {
        name: getattr(looks, name)[getattr(looks, name) <= setup.length_d]
        for name in ("gas", "ph", "methane", "titration", "flame", "temperature")
    }
    setup = replace(setup, looks=replace(looks, **kept))
    truth = replace(
        case.truth,
        fed_food=strays,
        hidden=tuple(e for e in case.truth.hidden if e.day <= setup.length_d),
    )
    try:
        life = live(setup, truth)
    except MarshlightError:
        return Fate(True, 0.0)
    methane = life.at(life.run.methane_m3, np.array([LOOK_D, setup.length_d]))
    return Fate(bool(life.run["pH"][-1] < SOUR_PH), float(np.diff(methane)[0]) / AHEAD_D)
