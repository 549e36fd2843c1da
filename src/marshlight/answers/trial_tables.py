"""A trial's figures as tables: potentials, differences, buckets, speed, every bottle."""

import numpy as np

from marshlight.answers.series import Table
from marshlight.answers.trial_result import Assessed
from marshlight.decide.trial import (
    BUCKET_M3,
    GroupKinetics,
    Reckoning,
    TrialResult,
    compare_with,
)
from marshlight.errors import InputError
from marshlight.estimate import Range
from marshlight.process import CURVES


def nml(value: float, digits: int = 0) -> str:
    """Write m3/kg VS as NmL/g VS without its unit."""
    return f"{value * 1e3:.{digits}f}"


def potentials_table(found: Reckoning, result: TrialResult | None) -> Table:
    """Lay out each material's potential with its doubt.

    Parameters
    ----------
    found : Reckoning
        The figures.
    result : TrialResult or None
        The whole answer, for the share of theory; None where ``found`` leaves flagged bottles out.
    """
    head = (
        "material", "bottles", "potential", "scatter, blanks included",
        "instruments, all bottles alike", "NL/kg fresh",
    )  # fmt: skip
    rows = []
    for p in found.potentials:
        row: tuple[str, ...] = (
            p.group,
            str(p.n),
            f"{nml(p.mean)} ({nml(p.low)} to {nml(p.high)})",
            f"{nml(p.s_bmp, 1)} ({p.rsd * 100:.1f} %)",
            f"± {nml(2.0 * p.s4)}" if p.s4 > 0.0 else "not known",
            "" if np.isnan(p.per_fresh) else f"{p.per_fresh * 1e3:.1f}",
        )
        if result is not None:
            share = result.degradability.get(p.group)
            row = (*row, "" if share is None else f"{share * 100:.0f} %")
        rows.append(row)
    caption = "Methane potential, NmL/g VS, with the 95 % interval of its mean"
    if result is None:
        return Table(f"{caption}; bottles to look at left out", head, tuple(rows))
    return Table(caption, (*head, "of theory"), tuple(rows))


def contrasts_table(found: Reckoning) -> Table:
    """Lay out every pair's difference with its interval, and the comparison without a curve."""
    rows = [
        (
            f"{c.a} – {c.b}",
            nml(c.difference),
            f"{nml(c.low)} to {nml(c.high)}",
            _p(c.p),
            _shown(c.separated),
            f"{nml(s.median_difference)}, p {s.p:.2f} (least possible {s.smallest_p:.2f})",
        )
        for c, s in zip(found.contrasts, found.shuffled, strict=True)
    ]
    return Table(
        "Differences, NmL/g VS; all intervals hold together at 95 %",
        ("pair", "difference", "interval", "p", "a difference is", "medians, all shufflings"),
        tuple(rows),
    )


def against_table(found: Reckoning, reference: str) -> Table | None:
    """Lay out every other material's difference from one; None where there is no such material."""
    try:
        contrasts = compare_with(found, reference)
    except InputError:
        return None
    rows = [
        (c.a, nml(c.difference), f"{nml(c.low)} to {nml(c.high)}", _p(c.p), _shown(c.separated))
        for c in contrasts
    ]
    return Table(
        f"Differences from {reference}, NmL/g VS; all intervals hold together at 95 % if "
        f"{reference} was chosen before the results were seen",
        ("material", "difference", "interval", "p", "a difference is"),
        tuple(rows),
    )


def _p(value: float) -> str:
    return "below 0.001" if value < 0.001 else f"{value:.3f}"


def _shown(separated: bool) -> str:
    return "shown" if separated else "not shown"


def bucket_tables(found: Reckoning) -> tuple[Table, ...]:
    """Lay out litres of methane by the bucket, or by 10 kg where no bulk density is known."""
    if found.buckets:
        return (_buckets(found), *_bucket_pairs(found))
    if not found.per_fresh:
        return ()
    rows = [
        (
            f"{c.a} – {c.b}",
            f"{c.difference * 1e4:.0f}",
            f"{c.low * 1e4:.0f} to {c.high * 1e4:.0f}",
            _shown(c.separated),
        )
        for c in found.per_fresh
    ]
    return (
        Table(
            "The same as it is carried: litres of methane from 10 kg fresh. Give each lot's bulk "
            "density to see it by the bucket",
            ("pair", "difference", "interval", "a difference is"),
            tuple(rows),
        ),
    )


def _buckets(found: Reckoning) -> Table:
    rows = [
        (
            b.group,
            f"{b.kg:.1f}",
            f"{b.methane_m3 * 1e3:.0f}",
            f"{b.low * 1e3:.0f} to {b.high * 1e3:.0f}",
        )
        for b in found.buckets
    ]
    return Table(
        f"By the bucket of {BUCKET_M3 * 1e3:.0f} L, filled at the lot's bulk density: methane, "
        "litres dry at 0 °C and 101.325 kPa",
        ("material", "a bucket weighs, kg", "methane, L", "95 % interval"),
        tuple(rows),
    )


def _bucket_pairs(found: Reckoning) -> tuple[Table, ...]:
    if not found.per_bucket:
        return ()
    rows = [
        (
            f"{c.a} – {c.b}",
            f"{c.difference * 1e3:.0f}",
            f"{c.low * 1e3:.0f} to {c.high * 1e3:.0f}",
            _shown(c.separated),
        )
        for c in found.per_bucket
    ]
    return (
        Table(
            "Differences by the bucket, litres of methane; all intervals hold together at 95 %",
            ("pair", "difference", "interval", "a difference is"),
            tuple(rows),
        ),
    )


def other_way_table(assessed: Assessed) -> Table | None:
    """Lay the potentials by both ways of reckoning methane side by side."""
    result, other = assessed.result, assessed.other_way
    if result is None or other is None:
        return None
    theirs = {p.group: p for p in other.potentials}
    rows = [
        (
            p.group,
            f"{nml(p.mean)} ({nml(p.low)} to {nml(p.high)})",
            f"{nml(q.mean)} ({nml(q.low)} to {nml(q.high)})",
            f"{(q.mean / p.mean - 1.0) * 100:+.1f} %" if p.mean > 0.0 else "",
        )
        for p in result.result.potentials
        for q in [theirs[p.group]]
    ]
    ways = dict(type(assessed.trial).MethaneWay.choices)
    own = assessed.trial.methane_way
    second = next(words for way, words in ways.items() if way != own)
    return Table(
        "Potential, NmL/g VS, with methane reckoned both published ways",
        ("material", ways[own], second, "the second is"),
        tuple(rows),
    )


def kinetics_tables(result: TrialResult) -> tuple[Table, ...]:
    """Lay out each material's speed over its bottles, and each bottle's own."""
    tables = []
    if result.group_kinetics:
        head = (
            "material", "curve", "rate, 1/d", "lag, d", "steepest, NmL/g VS a day", "half, day",
            "80 %, day", "bottles differ by",
        )  # fmt: skip
        rows = tuple(_material(g) for g in result.group_kinetics)
        caption = "How fast, all bottles of a material together; 95 % intervals of the mean bottle"
        tables.append(Table(caption, head, rows))
    drawn = {label: x for g in result.group_kinetics for label, x in g.drawn.items()}
    bottles = [
        (
            k.label,
            CURVES[k.curve].plain_name if k.curve else "none fits",
            "–" if k.rate is None else f"{k.rate.value:.2f} ± {2 * k.rate.u:.2f}",
            f"{k.lag_d:.1f}",
            f"{k.peak_d:.1f}",
            f"{k.half_d:.1f}",
            f"{k.four_fifths_d:.1f}",
            f"{drawn[k.label][1]:.1f}" if k.label in drawn else "–",
        )
        for k in result.kinetics
    ]
    head = (
        "bottle", "best curve alone", "rate, 1/d", "lag, d", "peak, day", "half of it, day",
        "80 % of it, day", "80 % of its end, day, drawn toward the material",
    )  # fmt: skip
    tables.append(Table("How fast, each bottle by its own readings", head, tuple(bottles)))
    return tuple(tables)


def _material(g: GroupKinetics) -> tuple[str, ...]:
    rate = g.parameters.get("rate")
    spread = ", ".join(
        f"{name.replace('_', ' ')} {s * 100:.0f} %" if name != "lag" else f"lag {s:.1f} d"
        for name, s in g.between.items()
    )
    return (
        f"{g.group}, {g.bottles} bottles",
        g.plain_name,
        "–" if rate is None else _range(rate, 2),
        _range(g.lag_d, 1) if g.lag_d.high > 0.05 else "none",
        _range(g.peak_per_d, 0, 1e3),
        _range(g.half_d, 1),
        _range(g.four_fifths_d, 1),
        spread,
    )


def _range(found: Range, digits: int, scale: float = 1.0) -> str:
    low, value, high = (x * scale for x in (found.low, found.value, found.high))
    # Kept on one line: on a phone such a table is pushed sideways, not read down.
    return f"{value:.{digits}f}\u00a0({low:.{digits}f}\u00a0to\u00a0{high:.{digits}f})"


def bottles_table(assessed: Assessed) -> Table:
    """List every bottle with what went in, what came, and why it doesn't count where it doesn't."""
    known = _values(assessed.result)
    rows = []
    for read in assessed.bottles:
        row, bottle = read.row, read.bottle
        gas = f"{read.biogas_m3[-1] * 1e3:.2f}" if read.biogas_m3.size else "–"
        seen = bottle is not None and bottle.day.size
        vs = bottle.vs_kg if bottle is not None else row.substrate_kg * (row.substrate_vs or 0.0)
        rows.append(
            (
                row.name,
                f"{row.block}/{row.position}",
                f"{row.inoculum_kg * 1e3:.1f}",
                f"{vs * 1e3:.3f}",
                gas,
                f"{bottle.methane_m3[-1] * 1e3:.3f}" if bottle is not None and seen else "–",
                known.get(row.name, ""),
                f"left out: {row.left_out}" if row.left_out else read.why_not,
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
