"""Published series forecast by the calibrated process model, by curves, and by both together.

From a third, a half and two thirds of the visits; scored on what came after, whichever wins.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from benchmarks import published_batch as batch
from benchmarks import published_watch as bottles
from benchmarks import published_watch_fed as plant
from benchmarks.harness import BenchRow
from benchmarks.published_recipe import recipe_prior
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MODEL, RECIPE, CURVES, GOMPERTZ, MIXED = (
    "process model",
    "curves with recipe",
    "curves, no recipe",
    "modified Gompertz",
    "model and curves, half each",
)
LAST_WEEK = "the last week goes on"
FED_DAYS = (50, 75, 100)
# Bottles whose material the library knows, those of an unnamed one, those of inoculum alone.
WHERE: Mapping[str, tuple[str, ...]] = {
    "named material": ("cellulose", "wheat_straw", "preheated_sludge", "raw_sludge"),
    "unknown material": ("substrate_c",),
    "blanks": ("inoculum",),
}


@dataclass(frozen=True)
class Cast:
    """One forecast scored: CRPS and distance, per cent of the bottle's gas or m3/d; hits 0 to 1."""

    group: str
    share: float
    method: str
    count: int
    crps: float
    mae: float
    hit50: float
    hit95: float


def rows() -> Iterable[BenchRow]:
    """Yield scores by method and share known; the baseline is the better set of curves."""
    casts = all_bottles()
    for where, groups in WHERE.items():
        for share in bottles.SHARES:
            yield from _rows(
                f"bottles, {where}, {share:.0%} of visits known",
                [c for c in casts if c.group in groups and c.share == share],
                "%",
            )
    for known in FED_DAYS:
        yield from _rows(f"fed plant, {known} of 150 d known", fed_casts(known), "m3/d")


def _rows(where: str, casts: list[Cast], unit: str) -> Iterable[BenchRow]:
    pooled = pool(casts)
    base = pooled.get(RECIPE, pooled.get(CURVES))
    for method, one in pooled.items():
        beside = base.crps if base is not None and one is not base else None
        words = (
            f"mean absolute error {one.mae:.3g} {unit}, in the 50 % band {one.hit50:.0%}, "
            f"in the 95 % band {one.hit95:.0%}, {one.count} readings"
        )
        yield BenchRow(
            f"{where}: {method}: CRPS",
            one.crps,
            unit,
            beside,
            one.crps / beside if beside else None,
            words,
        )


def pool(casts: Iterable[Cast]) -> dict[str, Cast]:
    """Pool casts by method, each later reading counting once."""
    found: dict[str, list[Cast]] = {}
    for one in casts:
        found.setdefault(one.method, []).append(one)
    return {method: _pooled(parts) for method, parts in found.items()}


def _pooled(parts: list[Cast]) -> Cast:
    weight = np.array([part.count for part in parts], dtype=np.float64)
    fields = ("crps", "mae", "hit50", "hit95")
    means = {f: float(weight @ [getattr(p, f) for p in parts] / weight.sum()) for f in fields}
    return Cast("", float("nan"), parts[0].method, int(weight.sum()), **means)


def all_bottles() -> list[Cast]:
    """Forecast every bottle from every share by every method."""
    found: list[Cast] = []
    for group in batch.GROUPS:
        for path in batch.bottles(group):
            for share in bottles.SHARES:
                found += bottle_casts(group, path, share)
    return found


def bottle_casts(group: str, path: Path, share: float) -> list[Cast]:
    """Forecast one bottle from the first visits by every method that can."""
    cut = batch.split(batch.ledger_of(path), share)
    prior = recipe_prior(path)
    drawn = {MODEL: bottles.by_model(path, cut), CURVES: bottles.by_curves(cut, None)}
    best = drawn[CURVES]
    if prior is not None:
        drawn[RECIPE] = best = bottles.by_curves(cut, prior)
    drawn[GOMPERTZ] = bottles.by_gompertz(cut)
    drawn[MIXED] = bottles.mixed(drawn[MODEL], best)
    whole = 100.0 / float(cut.ledger.cumulative_m3[-1])
    return list(_scored(drawn, cut.later_gas, group, share, scale=whole))


def fed_casts(known: int) -> list[Cast]:
    """Forecast the plant's later days from the first ``known``."""
    watched = plant.watched()
    drawn = {MODEL: plant.by_model(watched, known), RECIPE: plant.by_curves(known)}
    drawn[LAST_WEEK] = plant.last_week(known)
    drawn[MIXED] = bottles.mixed(drawn[MODEL], drawn[RECIPE])
    share = known / watched.gas_m3.size
    return list(_scored(drawn, watched.gas_m3[known:], "fed", share, scale=1.0))


def _scored(
    drawn: Mapping[str, Floats], truth: Floats, group: str, share: float, *, scale: float
) -> Iterable[Cast]:
    for method, draws in drawn.items():
        low95, low50, middle, high50, high95 = np.quantile(
            draws, [0.025, 0.25, 0.5, 0.75, 0.975], axis=0
        )
        yield Cast(
            group,
            share,
            method,
            truth.size,
            scale * float(np.mean(bottles.crps(draws, truth))),
            scale * float(np.mean(np.abs(truth - middle))),
            float(np.mean((low50 <= truth) & (truth <= high50))),
            float(np.mean((low95 <= truth) & (truth <= high95))),
        )
