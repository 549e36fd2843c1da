"""Which is better, and can I say so? A whole trial, ready for page and terminal."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.answers.series import Chart, Points, Table, View
from marshlight.answers.trial_axis import Axis, axis_of
from marshlight.answers.trial_mixture import materials_of
from marshlight.answers.trial_result import Assessed, trial_result
from marshlight.answers.trial_solids import SolidsLine, solids_form
from marshlight.answers.trial_tables import (
    against_table,
    bottles_table,
    bucket_tables,
    contrasts_table,
    kinetics_tables,
    nml,
    other_way_table,
    potentials_table,
)
from marshlight.decide.safety import Caution, cautions_at
from marshlight.decide.trial import Criterion, Flag, TrialResult
from marshlight.notebook.models import Trial
from marshlight.sources import Source, source


@dataclass(frozen=True)
class TeamLine:
    """One group's bottles beside the whole."""

    team: str
    table: Table


@dataclass(frozen=True)
class TrialPage:
    """Everything a trial's page says."""

    ident: str
    name: str
    sentence: str
    standing: str
    accepted: bool
    what: str
    axis: Axis | None
    potentials: Table | None
    contrasts: Table | None
    compared: tuple[str, ...]
    against: Table | None
    buckets: tuple[Table, ...]
    other_way: Table | None
    without: Table | None
    without_sentence: str
    criteria: tuple[Criterion, ...]
    flags: tuple[Flag, ...]
    kinetics: tuple[Table, ...]
    bottles: Table
    mixtures: tuple[str, ...]
    materials: tuple[str, ...]
    solids: tuple[SolidsLine, ...]
    chart: Chart | None
    teams: tuple[TeamLine, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[Source, ...]


def trial_page(trial: Trial, *, against: str = "") -> TrialPage:
    """Gather one trial whole.

    Parameters
    ----------
    trial : Trial
        The trial.
    against : str
        A material that all others are compared with as well.

    Returns
    -------
    TrialPage
        Words and tables; potentials in NmL CH4 per g VS.
    """
    assessed = trial_result(trial)
    result = assessed.result
    without = None if result is None else result.without_flagged
    return TrialPage(
        ident=str(trial.pk),
        name=trial.name,
        sentence=result.verdict if result else "Nothing can be said yet.",
        standing=result.standing if result else assessed.why_not,
        accepted=bool(result and result.accepted),
        what=_what(assessed),
        axis=axis_of(result) if result else None,
        potentials=potentials_table(result.result, result) if result else None,
        contrasts=contrasts_table(result.result) if result else None,
        compared=tuple(p.group for p in result.result.potentials if p.n >= 2) if result else (),
        against=against_table(result.result, against) if result and against else None,
        buckets=bucket_tables(result.result) if result else (),
        other_way=other_way_table(assessed),
        without=potentials_table(without, None) if without else None,
        without_sentence=without.sentence if without else "",
        criteria=result.criteria if result else (),
        flags=result.flags if result else (),
        kinetics=kinetics_tables(result) if result else (),
        bottles=bottles_table(assessed),
        mixtures=_mixtures(result) if result else (),
        materials=materials_of(trial),
        solids=solids_form(trial),
        chart=_chart(result) if result else None,
        teams=_teams(assessed) if trial.class_mode else (),
        notes=_notes(assessed),
        cautions=cautions_at("log:pressure"),
        sources=tuple(source(key) for key in result.sources) if result else (),
    )


def _what(assessed: Assessed) -> str:
    counts: dict[str, int] = {}
    for row in assessed.rows:
        name = row.material or "blank"
        counts[name] = counts.get(name, 0) + 1
    listed = ", ".join(f"{n} × {name}" for name, n in counts.items())
    day = f", compared on day {assessed.result.day:.0f}" if assessed.result else ""
    return f"{listed}{day}"


def _mixtures(result: TrialResult) -> tuple[str, ...]:
    return tuple(
        f"{s.name}: {nml(s.measured)} where its parts alone would give {nml(s.expected)} "
        f"NmL/g VS, a difference of {nml(s.low)} to {nml(s.high)}: {s.word}."
        for s in result.result.synergies
    )


def _chart(result: TrialResult) -> Chart:
    points = []
    for p in result.result.potentials:
        curves = [result.net[b.label] for b in p.bottles]
        days = [t for t, _ in min(curves, key=len)]
        each = np.array(
            [
                np.interp(days, [t for t, _ in c], [v / b.vs_kg * 1e3 for _, v in c])
                for c, b in zip(curves, p.bottles, strict=True)
            ]
        )
        points.append(
            Points(
                p.group,
                [round(t, 2) for t in days],
                [round(float(v), 1) for v in each.mean(axis=0)],
                [round(float(v), 1) for v in each.min(axis=0)],
                [round(float(v), 1) for v in each.max(axis=0)],
            )
        )
    ends = ", ".join(f"{p.group} {nml(p.mean)}" for p in result.result.potentials)
    table = Table(
        "Net methane, NmL/g VS: mean of the bottles",
        ("day", *(p.label for p in points)),
        _rows(points),
    )
    view = View(
        "net",
        "Net methane",
        "NmL/g VS",
        f"By day {result.day:.0f}: {ends} NmL/g VS. Bars reach from lowest to highest bottle.",
        table,
        points=tuple(points),
        digits=0,
    )
    return Chart("trial", "Methane over the days, the inoculum's taken off", (view,))


def _rows(points: Sequence[Points]) -> tuple[tuple[str, ...], ...]:
    most = max(points, key=lambda p: len(p.day))
    return tuple(
        (f"{t:.0f}", *(f"{p.value[i]:.0f}" if i < len(p.value) else "" for p in points))
        for i, t in enumerate(most.day)
    )


def _teams(assessed: Assessed) -> tuple[TeamLine, ...]:
    """Give each group its own bottles beside the mean of all bottles of that material."""
    result = assessed.result
    if result is None:
        return ()
    own = {b.label: b.value for p in result.result.potentials for b in p.bottles}
    whole = {p.group: p.mean for p in result.result.potentials}
    lines = []
    for team in dict.fromkeys(r.team for r in assessed.rows if r.team):
        rows = [
            (r.material, r.name, nml(own[r.name]), nml(whole[r.material]))
            for r in assessed.rows
            if r.team == team and r.name in own
        ]
        table = Table(
            f"{team}, NmL/g VS", ("material", "bottle", "own", "all bottles"), tuple(rows)
        )
        lines.append(TeamLine(team, table))
    return tuple(lines)


def _notes(assessed: Assessed) -> tuple[str, ...]:
    counts: dict[str, list[int]] = {}
    for r in assessed.bottles:
        if r.methane is not None:
            counts.setdefault(r.methane.words, []).append(r.methane.analyses)
    notes = []
    for words, times in sorted(counts.items()):
        spell = f"{min(times)}" if min(times) == max(times) else f"{min(times)} to {max(times)}"
        often = f" {spell} times a bottle" if max(times) else ""
        notes.append(f"Methane in the gas: {words}{often}.")
    if assessed.result is not None and assessed.why_one_way:
        notes.append(f"Methane is reckoned one way only. {assessed.why_one_way}.")
    notes += [f"{r.row.name}: {r.why_not}" for r in assessed.bottles if r.why_not]
    if assessed.result is not None:
        notes += [f"{k.label}: {text}" for k in assessed.result.kinetics for text in k.doubts][:6]
    return tuple(notes)
