"""Figures of the calibrated process model as tables for docs/watch-figures.md.

``python -m benchmarks.watch_tables`` runs the studies, some ten minutes on two cores, and rewrites
the tables in place; ``python -m benchmarks.watch_tables published`` only those of published series.
"""

import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path

import numpy as np
from benchmarks import bench_calibration as invented
from benchmarks import bench_watch_published as published
from benchmarks.calibration_study import AHEAD_D, QUANTITIES, Scored
from benchmarks.evenness import evenness
from benchmarks.published_tables import between
from benchmarks.published_watch import SHARES
from benchmarks.synthetic import KINDS

PAGE = Path(__file__).parents[1] / "docs" / "watch-figures.md"


def invented_tables() -> dict[str, list[str]]:
    """Make the tables of invented runs, by the mark that stands around each in the page."""
    return tables_of(*invented.both_worlds())


def tables_of(believed: Sequence[Scored], strayed: Sequence[Scored]) -> dict[str, list[str]]:
    """Make the tables of runs scored already."""
    return {
        "ranks": _ranks(believed),
        "believed": _bands(believed),
        "strayed": _bands(strayed),
        "cost": _cost({"as believed": believed, "strayed": strayed}),
    }


def published_tables() -> dict[str, list[str]]:
    """Make the tables of published series."""
    return tables_of_casts(
        published.all_bottles() + [c for k in published.FED_DAYS for c in published.fed_casts(k)]
    )


def tables_of_casts(casts: Sequence[published.Cast]) -> dict[str, list[str]]:
    """Make the tables of forecasts scored already."""
    lines = [
        "| bottles | visits known | method | CRPS, % | mean abs. error, % | in 50 % | in 95 % |"
    ]
    lines.append("|---|---|---|---|---|---|---|")
    for where, groups in published.WHERE.items():
        for share in SHARES:
            found = [c for c in casts if c.group in groups and c.share == share]
            lines += _cast_lines(f"{where} | {_words(share)}", published.pool(found), 1)
    fed = ["| days known | method | CRPS, m3/d | mean abs. error, m3/d | in 50 % | in 95 % |"]
    fed.append("|---|---|---|---|---|---|")
    for known in published.FED_DAYS:
        found = [c for c in casts if c.group == "fed" and round(150 * c.share) == known]
        fed += _cast_lines(f"{known} of 150", published.pool(found), 0)
    return {"bottles": lines, "plant": fed}


def _words(share: float) -> str:
    return {0: "a third", 1: "a half", 2: "two thirds"}[SHARES.index(share)]


def _cast_lines(start: str, pooled: Mapping[str, published.Cast], digits: int) -> Iterable[str]:
    best = min(one.crps for one in pooled.values())
    for method, one in pooled.items():
        shown = f"{one.crps:.{digits}f}"
        yield (
            f"| {start} | {method} | {f'**{shown}**' if one.crps == best else shown} "
            f"| {one.mae:.{digits}f} | {one.hit50:.0%} | {one.hit95:.0%} |"
        )


def _ranks(scored: Sequence[Scored]) -> list[str]:
    done = [one for one in scored if not one.failed]
    lines = [
        "| parameter | runs | chance, bins | chance, curve | truth off centre | spread |",
        "|---|---|---|---|---|---|",
    ]
    for name in done[0].ranks:
        even = evenness([one.ranks[name] for one in done])
        lines.append(
            f"| {name} | {even.count} | {even.chance_bins:.2g} | {even.chance_curve:.2g} "
            f"| {even.centre:+.3f} | {even.width:.2f} |"
        )
    return lines


def _bands(scored: Sequence[Scored]) -> list[str]:
    columns = [f"{name}, {span:.0f} d" for name in QUANTITIES for span in AHEAD_D]
    lines = ["| runs | " + " | ".join(columns) + " |", "|---" * (len(columns) + 1) + "|"]
    parts: dict[str, Callable[[Scored], bool]] = {"all": lambda _: True}
    parts |= {kind: lambda one, kind=kind: one.task.kind == kind for kind in KINDS}
    parts |= {
        "dense logs": lambda one: one.task.dense,
        "sparse logs": lambda one: not one.task.dense,
    }
    for part, belongs in parts.items():
        runs = [one for one in scored if not one.failed and belongs(one)]
        cells = []
        for name in QUANTITIES:
            for span in AHEAD_D:
                held = [one.held[name, span] for one in runs]
                in50 = np.mean([one.in50 for one in held])
                in95 = np.mean([one.in95 for one in held])
                cells.append(f"{100 * in95:.0f} / {100 * in50:.0f}")
        lines.append(f"| {part} ({len(runs)}) | " + " | ".join(cells) + " |")
    return lines


def _cost(worlds: Mapping[str, Sequence[Scored]]) -> list[str]:
    lines = [
        "| runs | ran through | trusted by itself | median time | 95 % below | worth draws |",
        "|---|---|---|---|---|---|",
    ]
    for world, scored in worlds.items():
        done = [one for one in scored if not one.failed]
        seconds = np.array([one.seconds for one in done])
        lines.append(
            f"| {world} | {len(done)} of {len(scored)} | {np.mean([o.trusted for o in done]):.0%} "
            f"| {np.median(seconds):.1f} s | {np.quantile(seconds, 0.95):.1f} s "
            f"| {np.median([one.effective for one in done]):.0f} |"
        )
    return lines


def main(wanted: Sequence[str]) -> None:
    """Write the tables into the page."""
    tables = {} if "published" in wanted else invented_tables()
    if "invented" not in wanted:
        tables |= published_tables()
    write(tables)


def write(tables: Mapping[str, Sequence[str]]) -> None:
    """Put tables between their marks."""
    text = PAGE.read_text(encoding="utf-8")
    for mark, lines in tables.items():
        start, end = between(text, mark)
        text = text[:start] + "\n".join(lines) + text[end:]
    PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
