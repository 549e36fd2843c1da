"""Which is better, and can I say so? A whole trial, ready for page and terminal."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.answers.series import Chart, Points, Table, View
from marshlight.answers.trial_axis import Axis, axis_of
from marshlight.answers.trial_mixture import materials_of
from marshlight.answers.trial_result import Assessed, trial_result
from marshlight.decide.safety import Caution, cautions_at
from marshlight.decide.trial import Contrast, Criterion, Flag, Reckoning, TrialResult
from marshlight.notebook.models import Trial
from marshlight.sources import Source, source

# What a kitchen or stable calls a bucket; common practice, no source.
BUCKET_KG = 10.0


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
    buckets: Table | None
    without: Table | None
    without_sentence: str
    criteria: tuple[Criterion, ...]
    flags: tuple[Flag, ...]
    kinetics: Table | None
    bottles: Table
    mixtures: tuple[str, ...]
    materials: tuple[str, ...]
    chart: Chart | None
    teams: tuple[TeamLine, ...]
    notes: tuple[str, ...]
    cautions: tuple[Caution, ...]
    sources: tuple[Source, ...]


def trial_page(trial: Trial) -> TrialPage:
    """Gather one trial whole.

    Parameters
    ----------
    trial : Trial
        The trial.

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
        potentials=_potentials(result.result, result) if result else None,
        contrasts=_contrasts(result.result) if result else None,
        buckets=_buckets(result.result) if result else None,
        without=_potentials(without, None) if without else None,
        without_sentence=without.sentence if without else "",
        criteria=result.criteria if result else (),
        flags=result.flags if result else (),
        kinetics=_kinetics(result) if result else None,
        bottles=_bottles(assessed),
        mixtures=_mixtures(result) if result else (),
        materials=materials_of(trial),
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


def nml(value: float, digits: int = 0) -> str:
    """Write m3/kg VS as NmL/g VS without its unit."""
    return f"{value * 1e3:.{digits}f}"


def _potentials(found: Reckoning, result: TrialResult | None) -> Table:
    rows = []
    for p in found.potentials:
        share = result.degradability.get(p.group) if result else None
        rows.append(
            (
                p.group,
                str(p.n),
                f"{nml(p.mean)} ({nml(p.low)} to {nml(p.high)})",
                f"{nml(p.s_bmp, 1)} ({p.rsd * 100:.1f} %)",
                "" if np.isnan(p.per_fresh) else f"{p.per_fresh * 1e3:.1f}",
                "" if share is None else f"{share * 100:.0f} %",
            )
        )
    return Table(
        "Methane potential, NmL/g VS, with the 95 % interval of its mean",
        (
            "material",
            "bottles",
            "potential",
            "scatter, blanks included",
            "NL/kg fresh",
            "of theory",
        ),
        tuple(rows),
    )


def _contrasts(found: Reckoning) -> Table:
    rows = [
        (
            f"{c.a} – {c.b}",
            nml(c.difference),
            f"{nml(c.low)} to {nml(c.high)}",
            _p(c.p),
            "shown" if c.separated else "not shown",
            f"{nml(s.median_difference)}, p {s.p:.2f} (least possible {s.smallest_p:.2f})",
        )
        for c, s in zip(found.contrasts, found.shuffled, strict=True)
    ]
    return Table(
        "Differences, NmL/g VS; all intervals hold together at 95 %",
        ("pair", "difference", "interval", "p", "a difference is", "medians, all shufflings"),
        tuple(rows),
    )


def _p(value: float) -> str:
    return "below 0.001" if value < 0.001 else f"{value:.3f}"


def _buckets(found: Reckoning) -> Table | None:
    if not found.per_fresh:
        return None

    def litres(value: float) -> str:
        return f"{value * BUCKET_KG * 1e3:.0f}"

    def row(c: Contrast) -> tuple[str, ...]:
        shown = "shown" if c.separated else "not shown"
        return (
            f"{c.a} – {c.b}", litres(c.difference), f"{litres(c.low)} to {litres(c.high)}", shown
        )  # fmt: skip

    return Table(
        f"The same by the bucket: litres of methane from {BUCKET_KG:.0f} kg as it comes",
        ("pair", "difference", "interval", "a difference is"),
        tuple(row(c) for c in found.per_fresh),
    )


def _kinetics(result: TrialResult) -> Table:
    rows = [
        (
            k.label,
            "–" if k.rate is None else f"{k.rate.value:.2f} ± {2 * k.rate.u:.2f}",
            f"{k.lag_d:.1f}",
            f"{k.peak_d:.1f}",
            f"{k.half_d:.1f}",
            f"{k.four_fifths_d:.1f}",
        )
        for k in result.kinetics
    ]
    rows += [
        (
            f"{g.group}, {g.bottles} bottles",
            f"{g.rate.value:.2f} ± {2 * g.rate.u:.2f}",
            "",
            "",
            f"{g.half_d:.1f}",
            f"{g.four_fifths_d:.1f}",
        )
        for g in result.group_kinetics
    ]
    head = ("bottle", "rate, 1/d", "lag, d", "peak, day", "half of it, day", "80 % of it, day")
    return Table("How fast: first order after a lag, for each bottle and pooled", head, tuple(rows))


def _bottles(assessed: Assessed) -> Table:
    known = _values(assessed.result)
    rows = []
    for read in assessed.bottles:
        row = read.row
        gas = f"{read.biogas_m3[-1] * 1e3:.2f}" if read.biogas_m3.size else "–"
        methane = (
            f"{read.bottle.methane_m3[-1] * 1e3:.3f}"
            if read.bottle is not None and read.bottle.day.size
            else "–"
        )
        state = row.left_out or read.why_not or ""
        rows.append(
            (
                row.name,
                f"{row.block}/{row.position}",
                f"{row.inoculum_kg * 1e3:.1f}",
                f"{row.substrate_kg * (row.substrate_vs or 0.0) * 1e3:.3f}",
                gas,
                methane,
                known.get(row.name, ""),
                f"left out: {state}" if row.left_out else state,
            )
        )
    head = (
        "bottle", "block/place", "inoculum, g", "VS, g", "gas, NL", "methane, NL", "NmL/g VS", "",
    )  # fmt: skip
    return Table("Every bottle", head, tuple(rows))


def _values(result: TrialResult | None) -> dict[str, str]:
    if result is None:
        return {}
    return {b.label: nml(b.value) for p in result.result.potentials for b in p.bottles}


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
    words = {r.share_words for r in assessed.bottles if r.share_words}
    notes = [f"Methane in the gas: {text}." for text in sorted(words)]
    notes += [f"{r.row.name}: {r.why_not}" for r in assessed.bottles if r.why_not]
    if assessed.result is not None:
        notes += [f"{k.label}: {text}" for k in assessed.result.kinetics for text in k.doubts][:6]
    return tuple(notes)
