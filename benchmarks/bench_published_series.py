"""Forecasts of published series from their first half, scored against their second half."""

from collections.abc import Iterable

from benchmarks.harness import BenchRow
from benchmarks.published_tables import (
    GOMPERTZ,
    NO_RECIPE,
    SUBSTRATES,
    WITH_RECIPE,
    bottle_scores,
    fed_scores,
    methods,
)
from benchmarks.scoring import Score, pooled


def rows() -> Iterable[BenchRow]:
    """Yield scores; the baseline is the usual curve by least squares, or the last week's mean."""
    how = methods()
    for groups, name, tried in (
        (SUBSTRATES, "15 bottles", (WITH_RECIPE, NO_RECIPE)),
        (("inoculum",), "4 blanks", (NO_RECIPE,)),
    ):
        common = pooled(bottle_scores(how[GOMPERTZ], groups))
        for method in tried:
            ours = pooled(bottle_scores(how[method], groups))
            yield from _compare(f"published {name}, {method}", ours, common, "% of all its gas")
    plant = fed_scores()
    yield from _compare(
        "published fed plant, daily gas", plant["ours"], plant["the last week goes on"], "m3/d"
    )


def _compare(name: str, ours: Score, common: Score, unit: str) -> Iterable[BenchRow]:
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
