"""Simulation studies of trials: how often a difference is claimed wrongly, missed, or flagged.

Synthetic trials with declared scatter (bottles 3 %, blanks 4 %, readings 0.2 % of each step
unless a row says otherwise), seed 20261125. They show that the arithmetic keeps its promises
when scatter is normal; they say nothing about any real gear.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from benchmarks.harness import BenchRow, seconds

from marshlight.decide.trial import (
    Bottle,
    Group,
    MeasuredSolids,
    SharedError,
    TrialFacts,
    assess_trial,
    bottle_kinetics,
    common_day,
    compare_pairs,
    flags,
    group_kinetics,
    inoculum_gas,
    potential,
    vs_content,
    welch_power,
)
from trials import USUAL, Made, exchanged, leaking, made_trial

SEED = 20261125
TRIALS = 2000
SPEEDS = 200
EQUAL = tuple(Made(name, "sample", 0.40, 0.3) for name in ("one", "two", "three"))
METHODS = ("welch_sidak", "games_howell", "tukey")


def _groups(bottles: Sequence[Bottle]) -> tuple[list[Group], SharedError]:
    day = common_day(bottles)
    inoculum = inoculum_gas([b for b in bottles if b.role == "blank"], day)
    names = dict.fromkeys(b.group for b in bottles if b.role == "sample")
    made = [potential([b for b in bottles if b.group == n], inoculum, day) for n in names]
    shared = SharedError(inoculum.standard_error, inoculum.n - 1.0)
    groups = [Group(p.group, p.values, p.inoculum_ratio, p.s3, p.s3_df) for p in made]
    return groups, shared


def _errors(n: int, scatters: tuple[float, float, float]) -> dict[str, tuple[float, float]]:
    """Share of trials with any wrong claim, and of single intervals that hold the truth."""
    rng = np.random.default_rng((SEED, n, int(1000 * sum(scatters))))
    wrong, held, count = dict.fromkeys(METHODS, 0), dict.fromkeys(METHODS, 0), 0
    for _ in range(TRIALS):
        bottles: list[Bottle] = []
        for kind, scatter in zip(EQUAL, scatters, strict=True):
            made = made_trial(rng, kinds=(kind,), n=n, scatter=scatter)
            bottles += made if not bottles else [b for b in made if b.role != "blank"]
        groups, shared = _groups(bottles)
        count += 3
        for method in METHODS:
            found = compare_pairs(groups, method=method, shared=shared)
            misses = sum(c.separated for c in found)
            wrong[method] += misses > 0
            held[method] += 3 - misses
    return {m: (wrong[m] / TRIALS, held[m] / count) for m in METHODS}


def _alone() -> float:
    """Share of potentials whose own 95 % interval holds the truth."""
    rng = np.random.default_rng((SEED, 5))
    held = count = 0
    for _ in range(TRIALS):
        bottles = made_trial(rng, kinds=EQUAL)
        day = common_day(bottles)
        inoculum = inoculum_gas([b for b in bottles if b.role == "blank"], day)
        for kind in EQUAL:
            true = kind.potential * -np.expm1(-kind.rate * day)
            found = potential([b for b in bottles if b.group == kind.name], inoculum, day)
            held += found.low <= true <= found.high
            count += 1
    return held / count


def _with_crucibles(counted: bool) -> tuple[float, float]:
    """Wrong claims and intervals holding the truth where VS is known from three crucibles only.

    Crucibles scatter by 4 %; their error is one for all bottles of a material.
    """
    rng = np.random.default_rng((SEED, 11))
    wrong = held = count = 0
    for _ in range(TRIALS):
        bottles = made_trial(rng, kinds=EQUAL)
        for kind in EQUAL:
            seen = tuple(float(v) for v in 0.20 * (1.0 + rng.normal(0.0, 0.04, 3)))
            found = vs_content(MeasuredSolids(seen, (0.9, 0.9, 0.9)))
            bottles = [
                replace(
                    b, vs_kg=b.vs_kg * found.mean / 0.18, vs_relative_u=found.relative_u,
                    vs_df=found.df,
                )
                if b.group == kind.name
                else b
                for b in bottles
            ]  # fmt: skip
        groups, shared = _groups(bottles)
        if not counted:
            groups = [replace(g, own_u=0.0) for g in groups]
        misses = sum(c.separated for c in compare_pairs(groups, shared=shared))
        wrong += misses > 0
        held += 3 - misses
        count += 3
    return wrong / TRIALS, held / count


def _speed() -> dict[str, float]:
    """Share of pooled speeds whose 95 % interval holds that of the middle bottle.

    Three bottles, rate and end scattering by 10 and 5 % between them, each interval's gas read
    within 1 %, a lag of a day in half of the materials.
    """
    rng = np.random.default_rng((SEED, 13))
    day = np.array([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 21, 24, 27, 30], dtype=float)
    held = dict.fromkeys(("rate", "days to half", "days to four fifths", "lag"), 0)
    asked = dict.fromkeys(held, 0)
    for i in range(SPEEDS):
        lag = float(i % 2)
        each = []
        for j in range(3):
            rate = 0.25 * float(np.exp(rng.normal(0.0, 0.10)))
            end = 0.40 * float(np.exp(rng.normal(0.0, 0.05)))
            curve = end * -np.expm1(-rate * np.maximum(day - lag, 0.0))
            steps = np.diff(curve, prepend=0.0) * (1.0 + rng.normal(0.0, 0.01, day.size))
            each.append(bottle_kinetics(str(j), "one", day, np.cumsum(steps)))
        pooled = group_kinetics(each)
        if pooled is None:
            continue
        true = {
            "rate": 0.25, "lag": lag,
            "days to half": lag + np.log(2.0) / 0.25,
            "days to four fifths": lag + np.log(5.0) / 0.25,
        }  # fmt: skip
        said = {
            "lag": pooled.lag_d, "days to half": pooled.half_d,
            "days to four fifths": pooled.four_fifths_d,
        }  # fmt: skip
        if pooled.curve in ("first_order", "first_order_lag"):
            said["rate"] = pooled.parameters["rate"]
        if lag == 0.0:
            said.pop("lag")
        for name, found in said.items():
            asked[name] += 1
            held[name] += int(found.low <= true[name] <= found.high)
    return {name: held[name] / max(asked[name], 1) for name in held}


def _power(n: int, times: float, of: int) -> tuple[float, float]:
    """Share of simulated trials that show a difference of so many standard deviations."""
    rng = np.random.default_rng((SEED, n, of))
    sd = 0.03 * 0.40
    shown = 0
    for _ in range(TRIALS):
        values = rng.normal(0.40, sd, (3 if of == 3 else 2, n))
        values[0] += times * sd
        groups = [Group(str(i), tuple(row)) for i, row in enumerate(values)]
        found = compare_pairs(groups)
        shown += next(c for c in found if {c.a, c.b} == {"0", "1"}).separated
    return shown / TRIALS, welch_power(times, (1.0, 1.0), (n, n), of=of)


def _flag_rates() -> Iterable[BenchRow]:
    rng = np.random.default_rng((SEED, 9))
    few = 500
    clean = {"any": 0, "leaking": 0, "swapped": 0, "odd": 0}
    leak = swap = 0
    for _ in range(few):
        bottles = made_trial(rng)
        day = common_day(bottles)
        kinds = {f.kind for f in flags(bottles, day)}
        clean["any"] += bool(kinds)
        for kind in kinds:
            clean[kind] += 1
        lost = [leaking(b, since=6.0, keeps=0.5) if b.label == "pomace 3" else b for b in bottles]
        leak += any(f.labels == ("pomace 3",) for f in flags(lost, day))
        mixed = exchanged(bottles, "bread 1", "pomace 2")
        pair = {"bread 1", "pomace 2"}
        swap += any(f.kind == "swapped" and set(f.labels) == pair for f in flags(mixed, day))
    for kind, times in clean.items():
        yield BenchRow(f"clean trials with a flag, {kind}", times / few * 100, "%", target="few")
    yield BenchRow("bottle losing half its gas from day 6, named", leak / few * 100, "%")
    yield BenchRow("pair of 430 and 300 NmL/g VS exchanged, named", swap / few * 100, "%")


def rows() -> Iterable[BenchRow]:
    """Yield every figure; a few minutes."""
    for n, scatters, words in (
        (3, (0.03, 0.03, 0.03), "3 bottles, equal scatter"),
        (4, (0.03, 0.03, 0.03), "4 bottles, equal scatter"),
        (3, (0.02, 0.03, 0.08), "3 bottles, scatter 2, 3 and 8 %"),
    ):
        for method, (wrong, held) in _errors(n, scatters).items():
            name = f"{method}, {words}"
            yield BenchRow(f"any wrong claim among 3 pairs: {name}", wrong * 100, "%", 5.0)
            yield BenchRow(f"intervals that hold the truth: {name}", held * 100, "%", 95.0)
    yield BenchRow("potential's own 95 % interval holds the truth", _alone() * 100, "%", 95.0)
    for counted, words in ((True, "their error in the interval"), (False, "left out of it")):
        wrong, held = _with_crucibles(counted)
        name = f"VS from three crucibles that scatter by 4 %, {words}"
        yield BenchRow(f"any wrong claim among 3 pairs: {name}", wrong * 100, "%", 5.0)
        yield BenchRow(f"intervals that hold the truth: {name}", held * 100, "%", 95.0)
    for name, held in _speed().items():
        yield BenchRow(f"pooled {name}, 95 % interval holds the truth", held * 100, "%", 95.0)
    for n, times, of in ((3, 3.5, 1), (3, 5.2, 3), (4, 2.5, 1), (5, 3.0, 3), (6, 1.8, 1)):
        simulated, predicted = _power(n, times, of)
        yield BenchRow(
            f"power, {n} bottles, {times:g} sd, {of} comparison(s): simulated",
            simulated * 100,
            "%",
            predicted * 100,
            simulated / predicted,
            "within 3 points of the prediction (baseline)",
        )
    yield from _flag_rates()
    rng = np.random.default_rng(SEED)
    facts = TrialFacts(tuple(made_trial(rng, kinds=USUAL)))
    yield BenchRow(
        "a trial of 15 bottles assessed", seconds(lambda: assess_trial(facts)) * 1e3, "ms"
    )
    only = replace(facts, bottles=tuple(b for b in facts.bottles if b.group != "whey"))
    yield BenchRow(
        "a trial of 12 bottles assessed", seconds(lambda: assess_trial(only)) * 1e3, "ms"
    )
