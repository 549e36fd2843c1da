"""Ranks of the truth and bands ahead of the calibrated process model, on invented runs.

Takes some minutes on two cores; a line of progress goes to the screen. `calibration_study` says
how the runs are made.
"""

import sys
from collections.abc import Iterable, Sequence

import numpy as np
from benchmarks.calibration_study import AHEAD_D, QUANTITIES, Held, Scored, study, tasks
from benchmarks.evenness import evenness
from benchmarks.harness import BenchRow
from benchmarks.synthetic import KINDS

BELIEVED, STRAYED = 320, 320
# Never used while the method was being built.
SEED_BELIEVED, SEED_STRAYED = 61_000, 62_000
PROCESSES = 2


def rows() -> Iterable[BenchRow]:
    """Yield evenness of ranks by parameter, and how often bands held, by kind of run."""
    believed, strayed = both_worlds()
    yield from rank_rows(believed)
    for world, scored in (("believed", believed), ("strayed", strayed)):
        yield from band_rows(world, scored)
        yield from cost_rows(world, scored)


def both_worlds() -> tuple[list[Scored], list[Scored]]:
    """Score the runs of both worlds."""
    believed, strayed = (
        study(tasks(count, seed, believed=world), processes=PROCESSES, progress=_tell)
        for count, seed, world in (
            (BELIEVED, SEED_BELIEVED, True),
            (STRAYED, SEED_STRAYED, False),
        )
    )
    return believed, strayed


def rank_rows(scored: Sequence[Scored]) -> Iterable[BenchRow]:
    """Judge the ranks of each parameter, and of the daily gas ten days ahead."""
    done = [one for one in scored if not one.failed]
    for name in done[0].ranks:
        even = evenness([one.ranks[name] for one in done])
        yield BenchRow(
            f"ranks of {name}, {even.count} runs: spread against even",
            even.width,
            "1",
            1.0,
            even.width,
            f"chance of such bins {even.chance_bins:.2g}, of such a curve "
            f"{even.chance_curve:.2g}, truth off centre {even.centre:+.3f}; "
            "aimed at: chances above 0.005",
        )


def band_rows(world: str, scored: Sequence[Scored]) -> Iterable[BenchRow]:
    """Tell how often bands held, all runs and by kind, sparse and dense."""
    done = [one for one in scored if not one.failed]
    parts = {"all": done}
    parts |= {kind: [one for one in done if one.task.kind == kind] for kind in KINDS}
    parts["dense"] = [one for one in done if one.task.dense]
    parts["sparse"] = [one for one in done if not one.task.dense]
    for part, runs in parts.items():
        for quantity in QUANTITIES:
            for span in AHEAD_D:
                held = [one.held[quantity, span] for one in runs]
                if held:
                    yield _band_row(f"{world}, {part}, {quantity} {span:.0f} d ahead", held)


def _band_row(name: str, held: Sequence[Held]) -> BenchRow:
    in95 = float(np.mean([one.in95 for one in held]))
    in50 = float(np.mean([one.in50 for one in held]))
    places = np.array([one.place for one in held])
    return BenchRow(
        f"{name}: in the 95 % band",
        100.0 * in95,
        "%",
        95.0,
        in95 / 0.95,
        f"in the 50 % band {in50:.0%}, below it {np.mean(places < 0.25):.0%}, "
        f"{len(held)} runs; aimed at: 90 % or more",
    )


def cost_rows(world: str, scored: Sequence[Scored]) -> Iterable[BenchRow]:
    """Tell what calibrating took, and how often it did not trust itself."""
    done = [one for one in scored if not one.failed]
    seconds = np.array([one.seconds for one in done])
    yield BenchRow(
        f"{world}: one calibration, median",
        float(np.median(seconds)),
        "s",
        target=f"95 % of them below {np.quantile(seconds, 0.95):.2g} s; aimed at: 2 s",
    )
    yield BenchRow(
        f"{world}: calibrations that ran through",
        100.0 * len(done) / len(scored),
        "%",
        target=f"trusted by itself {np.mean([one.trusted for one in done]):.0%}, "
        f"worth {np.median([one.effective for one in done]):.0f} draws in the middle",
    )


def _tell(done: int, whole: int) -> None:
    if done % 20 == 0 or done == whole:
        print(f"  {done} of {whole} invented runs", file=sys.stderr, flush=True)
