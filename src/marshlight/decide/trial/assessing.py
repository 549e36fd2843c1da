"""A whole trial assessed: potentials, differences, criteria, flags, and the sentence on top."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from marshlight.decide.trial.bottles import Bottle, common_day, grouped
from marshlight.decide.trial.bucket import bucket_gas, bucket_groups
from marshlight.decide.trial.comparing import (
    Contrast,
    Group,
    SharedError,
    compare_pairs,
    compare_with_control,
)
from marshlight.decide.trial.criteria import Known, criteria
from marshlight.decide.trial.facts import Reckoning, TrialFacts, TrialResult
from marshlight.decide.trial.flags import Flag, flags
from marshlight.decide.trial.kinetics import BottleKinetics, bottle_kinetics
from marshlight.decide.trial.mixture import Synergy, synergy
from marshlight.decide.trial.pooled_kinetics import GroupKinetics, group_kinetics
from marshlight.decide.trial.potential import Potential, inoculum_gas, potential
from marshlight.decide.trial.power import smallest_difference
from marshlight.decide.trial.robust import shuffled
from marshlight.decide.trial.stopping import Stopping, stopping
from marshlight.decide.trial.verdict import standing_sentence, verdict_sentence
from marshlight.errors import InputError, require

SOURCES = (
    "hafner_2020_calculation",
    "hafner_2020_doc_201",
    "hafner_2020_doc_202",
    "hafner_2020_doc_203",
    "holliger_2020_requirements",
    "bmp_protocol_draft",
    "hafner_2018_leakage",
    "welch_1947",
    "satterthwaite_1946",
    "sidak_1967",
    "janssen_1997",
    "kinetic_review_2020",
    "patterson_thompson_1971",
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
        kinetics=tuple(replace(k, fits={}) for k in each),
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


def reckon_anew(facts: TrialFacts) -> Reckoning:
    """Work out potentials and differences alone, as for methane reckoned by another way.

    Parameters
    ----------
    facts : TrialFacts
        Bottles with their methane.

    Returns
    -------
    Reckoning
        Of all bottles that were not left out.

    Raises
    ------
    InputError
        If there are fewer than two blanks, or a bottle was never read.

    References
    ----------
    hafner_2020_calculation
    """
    kept = [b for b in facts.bottles if b.label not in facts.left_out]
    return _reckon(kept, facts, common_day(kept))


def _reckon(bottles: Sequence[Bottle], facts: TrialFacts, day: float) -> Reckoning:
    groups = grouped(bottles)
    inoculum = inoculum_gas(groups.pop("", []), day)
    found = tuple(
        potential(members, inoculum, day, level=facts.level) for members in groups.values()
    )
    samples = [p for p in found if p.role == "sample" and p.n >= 2]
    shared = SharedError(inoculum.standard_error, inoculum.n - 1.0)
    compared = [_group(p) for p in samples]
    fresh = [_by_fresh(p) for p in samples if np.isfinite(p.vs_per_fresh)]
    buckets = bucket_groups(samples, facts.bulk_density)

    def pairs(groups: Sequence[Group]) -> tuple[Contrast, ...]:
        # One figure by fresh mass or bucket for some of the materials would compare nothing.
        if len(groups) < max(2, len(compared)):
            return ()
        return compare_pairs(groups, method=facts.method, shared=shared, level=facts.level)

    contrasts = pairs(compared)
    by_name = {g.name: g for g in compared}
    blanks = (shared.u, shared.df)
    partial = Reckoning(
        tuple(b.label for b in bottles),
        inoculum,
        found,
        contrasts,
        tuple(shuffled(by_name[c.a].values, by_name[c.b].values) for c in contrasts),
        pairs(fresh),
        bucket_gas(buckets, facts.bulk_density, blanks, level=facts.level),
        pairs(buckets),
        _synergies(facts, by_name, shared),
        "",
    )
    return replace(
        partial, sentence=verdict_sentence(contrasts, smallest_seen=_smallest_seen(partial))
    )


def compare_with(found: Reckoning, reference: str, *, level: float = 0.95) -> tuple[Contrast, ...]:
    """Compare every other sample with one that was chosen beforehand.

    Parameters
    ----------
    found : Reckoning
        Potentials of a trial.
    reference : str
        The material that the others are held against.
    level : float
        That all intervals hold together [1].

    Returns
    -------
    tuple of Contrast
        Other minus reference [m3/kg VS].

    Raises
    ------
    InputError
        If the reference is none of the materials with two bottles or more.

    Notes
    -----
    Fewer comparisons than all pairs, so narrower intervals; they hold only for a reference that
    was chosen before the results were seen.

    References
    ----------
    sidak_1967
    """
    groups = {p.group: _group(p) for p in found.potentials if p.n >= 2 and p.role != "blank"}
    require(
        reference in groups and len(groups) >= 2,
        field="reference",
        value=reference,
        allowed=", ".join(groups),
        remedy="Choose one of these materials",
    )
    shared = SharedError(found.inoculum.standard_error, found.inoculum.n - 1.0)
    others = [g for name, g in groups.items() if name != reference]
    return compare_with_control(others, groups[reference], shared=shared, level=level)


def _group(p: Potential) -> Group:
    return Group(p.group, p.values, p.inoculum_ratio, p.s3, p.s3_df)


def _by_fresh(p: Potential) -> Group:
    """Methane per kg fresh: the VS content and its doubt cancel."""
    share = p.vs_per_fresh
    return Group(p.group, tuple(v * share for v in p.values), p.inoculum_ratio * share)


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
