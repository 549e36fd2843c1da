"""Forecasts of published series from their first half, scored against their second half."""

from collections.abc import Callable, Iterable

from benchmarks import published_batch as batch
from benchmarks.harness import BenchRow
from benchmarks.scoring import Bands, Score, pooled

SUBSTRATES = tuple(group for group in batch.GROUPS if group != "inoculum")
OURS, COMMON = "ours", "modified Gompertz, least squares"


def bottle_scores(
    method: Callable[[batch.Split], Bands], groups: Iterable[str] = SUBSTRATES
) -> dict[str, Score]:
    """Score one method on every bottle of some groups, in per cent of the gas in the end."""
    return {
        path.stem: batch.scored(path, method) for group in groups for path in batch.bottles(group)
    }


def rows() -> Iterable[BenchRow]:
    """Yield scores, ours beside the usual curve fitted by least squares."""
    for groups, name in ((SUBSTRATES, "15 bottles"), (("inoculum",), "4 blanks")):
        ours = pooled(bottle_scores(batch.METHODS[OURS], groups))
        common = pooled(bottle_scores(batch.METHODS[COMMON], groups))
        yield from _compare(f"published batch, {name}, second half", ours, common)


def _compare(name: str, ours: Score, common: Score) -> Iterable[BenchRow]:
    unit = "% of the gas in the end"
    for field, words in (("mae", "mean absolute error"), ("interval_score", "interval score")):
        value, base = getattr(ours, field), getattr(common, field)
        yield BenchRow(f"{name}: {words}", value, unit, base, value / base, "below the baseline")
    for field, share in (("hit50", "50 %"), ("hit95", "95 %")):
        value, base = getattr(ours, field), getattr(common, field)
        yield BenchRow(
            f"{name}: share of {ours.count} later readings in the {share} band",
            value,
            "1",
            base,
            value / base if base else None,
            f"near {share}",
        )
