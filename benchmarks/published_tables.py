"""The scores of the published series as tables for docs/real-input.md.

``python -m benchmarks.published_tables`` rewrites the tables in place.
"""

from collections.abc import Callable, Iterable
from pathlib import Path

from benchmarks import published_batch as batch
from benchmarks import published_fed as fed
from benchmarks.published_recipe import recipe_prior
from benchmarks.scoring import Bands, Score, pooled, score

PAGE = Path(__file__).parents[1] / "docs" / "real-input.md"
SUBSTRATES = tuple(group for group in batch.GROUPS if group != "inoculum")
# The library can't say what these were made of.
WITHOUT_RECIPE = ("substrate_c", "inoculum")
WITH_RECIPE = "ours, recipe known"
NO_RECIPE = "ours, no recipe"
GOMPERTZ = "modified Gompertz, least squares"
Cut = Callable[[Path], Callable[[batch.Split], Bands]]


def methods() -> dict[str, Cut]:
    """List how a bottle may be forecast; a recipe differs from bottle to bottle."""
    simple = {name: method for name, method in batch.METHODS.items() if name != "ours"}

    def recipe(path: Path) -> Callable[[batch.Split], Bands]:
        prior = recipe_prior(path)
        return lambda cut: batch.ours(cut, prior)

    def same(method: Callable[[batch.Split], Bands]) -> Cut:
        return lambda _: method

    return {
        WITH_RECIPE: recipe,
        NO_RECIPE: same(batch.ours),
        **{name: same(method) for name, method in simple.items()},
    }


def bottle_scores(method: Cut, groups: Iterable[str] = SUBSTRATES) -> dict[str, Score]:
    """Score one method on every bottle of some groups, in per cent of the gas in the end."""
    paths = [path for group in groups for path in batch.bottles(group)]
    return {path.stem: batch.scored(path, method(path)) for path in paths}


def fed_scores() -> dict[str, Score]:
    """Score every method on the fed plant, in cubic metres a day."""
    data = fed.plant()
    return {name: score(data.later_gas, method(data)) for name, method in fed.METHODS.items()}


def tables() -> dict[str, list[str]]:
    """Make the lines of each table, by the mark that stands around it in the page."""
    scores = {name: bottle_scores(method, batch.GROUPS) for name, method in methods().items()}
    return {
        "methods": _table({n: pooled(_of(s, SUBSTRATES)) for n, s in scores.items()}, "method"),
        "groups": _table(
            {
                f"{group.replace('_', ' ')}, {kind}": pooled(_of(scores[method], (group,)))
                for group in batch.GROUPS
                for method, kind in ((WITH_RECIPE, "recipe known"), (NO_RECIPE, "no recipe"))
                if method == NO_RECIPE or group not in WITHOUT_RECIPE
            },
            "bottles",
        ),
        "fed": _table(fed_scores(), "method", digits=0),
    }


def _of(scores: dict[str, Score], groups: Iterable[str]) -> dict[str, Score]:
    return {n: s for n, s in scores.items() if any(g in n for g in _stems(groups))}


def _stems(groups: Iterable[str]) -> list[str]:
    return [f"justesen2019_{group}_" for group in groups]


def _table(scores: dict[str, Score], first: str, *, digits: int = 1) -> list[str]:
    lines = [
        f"| {first} | later readings | mean absolute error | interval score "
        "| in the 50 % band | in the 95 % band |",
        "|---|---|---|---|---|---|",
    ]
    for name, s in scores.items():
        bands = ("no band", "no band") if s.hit50 == s.hit95 == 0.0 else _per_cent(s)
        lines.append(
            f"| {name} | {s.count} | {s.mae:.{digits}f} | {s.interval_score:.{digits}f} "
            f"| {bands[0]} | {bands[1]} |"
        )
    return lines


def _per_cent(s: Score) -> tuple[str, str]:
    return f"{s.hit50:.0%}", f"{s.hit95:.0%}"


def between(text: str, mark: str) -> tuple[int, int]:
    """Find where a table stands in the page: after its opening mark, before its closing one."""
    opening, closing = f"<!-- {mark} -->\n", f"\n<!-- end {mark} -->"
    return text.index(opening) + len(opening), text.index(closing)


def main() -> None:
    """Write the tables into the page."""
    text = PAGE.read_text(encoding="utf-8")
    for mark, lines in tables().items():
        start, end = between(text, mark)
        text = text[:start] + "\n".join(lines) + text[end:]
    PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
