"""A whole trial assessed: potentials, differences, criteria, flags, and the sentence on top."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from marshlight.decide.trial.bottles import Bottle, common_day, grouped
from marshlight.decide.trial.comparing import Contrast, Group, SharedError, compare_pairs
from marshlight.decide.trial.criteria import Known, criteria
from marshlight.decide.trial.facts import Reckoning, TrialFacts, TrialResult
from marshlight.decide.trial.flags import Flag, flags
from marshlight.decide.trial.kinetics import (
    BottleKinetics,
    GroupKinetics,
    bottle_kinetics,
    group_kinetics,
)
from marshlight.decide.trial.mixture import Synergy, synergy
from marshlight.decide.trial.potential import inoculum_gas, potential
from marshlight.decide.trial.power import smallest_difference
from marshlight.decide.trial.robust import shuffled
from marshlight.decide.trial.stopping import Stopping, stopping
from marshlight.decide.trial.verdict import standing_sentence, verdict_sentence
from marshlight.errors import InputError

SOURCES = (
    "hafner_2020_calculation",
    "holliger_2020_requirements",
    "bmp_protocol_draft",
    "hafner_2018_leakage",
    "welch_1947",
    "satterthwaite_1946",
    "sidak_1967",
    "janssen_1997",
    "kinetic_review_2020",
)


def assess_trial(facts: TrialFacts) -> TrialResult:
    """Assess a trial.

    Parameters
    ----------
    facts : TrialFacts
        Bottles with their methane, and what is known beside them.

    Returns
    -------
    TrialResult
        Verdict, figures, criteria, flags.

    Raises
    ------
    InputError
        If there are fewer than two blanks, or a bottle was never read.

    Notes
    -----
    Bottles that a person left out, with a reason, stay out; flagged bottles stay in, and the
    figures without them stand beside.

    References
    ----------
    hafner_2020_calculation, holliger_2020_requirements
    """
    kept = [b for b in facts.bottles if b.label not in facts.left_out]
    day = common_day(kept)
    found = flags(kept, day)
    result = _reckon(kept, facts, day)
    odd = {label for flag in found for label in flag.labels}
    without = None
    if odd:
        try:
            without = _reckon([b for b in kept if b.label not in odd], facts, day)
        except InputError:
            # Too few bottles would be left: there is then only one analysis to show.
            without = None
    net = _net_curves(kept, [b for b in kept if b.role == "blank"])
    stops = tuple(_stop(b, net[b.label]) for b in kept if b.role != "blank")
    lines = criteria(
        kept, result.inoculum, result.potentials, stops, known=_with_leaks(facts.known, found)
    )
    each = tuple(_kinetics(b, net[b.label]) for b in kept if b.role != "blank")
    return TrialResult(
        day=day,
        verdict=result.sentence,
        standing=standing_sentence(lines, found),
        result=result,
        without_flagged=without,
        criteria=lines,
        flags=found,
        stops=stops,
        kinetics=each,
        group_kinetics=_grouped_kinetics(each),
        degradability={
            p.group: p.mean / facts.theory[p.group]
            for p in result.potentials
            if facts.theory.get(p.group)
        },
        smallest_seen=_smallest_seen(result),
        net=net,
        sources=SOURCES,
    )


def _reckon(bottles: Sequence[Bottle], facts: TrialFacts, day: float) -> Reckoning:
    groups = grouped(bottles)
    inoculum = inoculum_gas(groups.pop("", []), day)
    found = tuple(
        potential(members, inoculum, day, level=facts.level) for members in groups.values()
    )
    samples = [p for p in found if p.role == "sample" and p.n >= 2]
    shared = SharedError(inoculum.standard_error, inoculum.n - 1.0)
    compared = [Group(p.group, p.values, p.inoculum_ratio) for p in samples]
    contrasts: tuple[Contrast, ...] = ()
    fresh: tuple[Contrast, ...] = ()
    if len(compared) >= 2:
        contrasts = compare_pairs(compared, method=facts.method, shared=shared, level=facts.level)
        known = [(g, p.vs_per_fresh) for g, p in zip(compared, samples, strict=True)]
        if all(np.isfinite(share) for _, share in known):
            scaled = [Group(g.name, tuple(v * s for v in g.values), g.lever * s) for g, s in known]
            fresh = compare_pairs(scaled, method=facts.method, shared=shared, level=facts.level)
    by_name = {g.name: g for g in compared}
    partial = Reckoning(
        tuple(b.label for b in bottles),
        inoculum,
        found,
        contrasts,
        tuple(shuffled(by_name[c.a].values, by_name[c.b].values) for c in contrasts),
        fresh,
        _synergies(facts, by_name, shared),
        "",
    )
    return replace(
        partial, sentence=verdict_sentence(contrasts, smallest_seen=_smallest_seen(partial))
    )


def _synergies(
    facts: TrialFacts, groups: dict[str, Group], shared: SharedError
) -> tuple[Synergy, ...]:
    found = []
    for name, parts in facts.mixtures.items():
        if name in groups and all(part in groups for part in parts):
            listed = [(groups[part], share) for part, share in parts.items()]
            found.append(synergy(groups[name], listed, shared=shared, level=facts.level))
    return tuple(found)


def _smallest_seen(result: Reckoning) -> float | None:
    """Smallest difference [m3/kg VS] that shows with 80 % power, from this trial's own scatter."""
    samples = [p for p in result.potentials if p.role == "sample" and p.n >= 2]
    if len(samples) < 2:
        return None
    df = sum(p.n - 1 for p in samples)
    sd = float(np.sqrt(sum(p.sd**2 * (p.n - 1) for p in samples) / df))
    n = min(p.n for p in samples)
    pairs = len(samples) * (len(samples) - 1) // 2
    return smallest_difference(sd, n, of=pairs) if sd > 0.0 else None


def _net_curves(
    bottles: Sequence[Bottle], blanks: Sequence[Bottle]
) -> dict[str, tuple[tuple[float, float], ...]]:
    """Net methane of each bottle at its own reading days [d, m3], as far as blanks were read."""
    until = min(b.last_day for b in blanks)
    found = {}
    for bottle in bottles:
        points = []
        for t, gross in zip(bottle.day, bottle.methane_m3, strict=True):
            if t > until + 0.5:
                break
            alone = float(np.mean([b.methane_at(float(t)) / b.inoculum_kg for b in blanks]))
            points.append((float(t), float(gross) - alone * bottle.inoculum_kg))
        found[bottle.label] = tuple(points)
    return found


def _stop(bottle: Bottle, net: Sequence[tuple[float, float]]) -> Stopping:
    return stopping([t for t, _ in net], [v for _, v in net], label=bottle.label)


def _kinetics(bottle: Bottle, net: Sequence[tuple[float, float]]) -> BottleKinetics:
    values = [v / bottle.vs_kg for _, v in net]
    u = [max(bottle.u_at(t) / bottle.vs_kg, 1e-6) for t, _ in net] if bottle.u_m3.size else None
    return bottle_kinetics(bottle.label, bottle.group, [t for t, _ in net], values, u=u)


def _grouped_kinetics(each: Sequence[BottleKinetics]) -> tuple[GroupKinetics, ...]:
    names = list(dict.fromkeys(k.group for k in each))
    pooled = (group_kinetics([k for k in each if k.group == name]) for name in names)
    return tuple(found for found in pooled if found is not None)


def _with_leaks(known: Known | None, found: Sequence[Flag]) -> Known:
    leaks = {f.labels[0]: f.lost_share for f in found if f.kind == "leaking"}
    return replace(known or Known(), leaks=leaks)
