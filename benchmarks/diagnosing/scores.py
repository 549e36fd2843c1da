"""Scores of walked cases: false alarms, naming, lead time; both watches side by side."""

import itertools
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from benchmarks.diagnosing.cases import Seen, Walked
from benchmarks.harness import BenchRow

# What a fault may rightly be called.
NAMES: Mapping[str, tuple[str, ...]] = {
    "leak": ("leak",),
    "tap left open": ("leak",),
    "air drawn in": ("air",),
    "cold": ("cold",),
    "overfed": ("souring",),
    "ammonia": ("ammonia", "souring"),
    "spent": ("spent",),
    "floating layer": ("layer",),
    "weak inoculum": ("weak",),
    "ruler or sensor": ("ruler",),
    "holder stuck": ("stuck",),
    "bicarbonate gas": ("dose_gas", "souring"),
}
NO_TROUBLE = ("healthy", "spent")
BAD, EARLY_D = 0.5, 3.0
# From here up methane formers are at their best (source `gerardi_2003`).
FAR_PH = 6.8
# Chances of souring are quoted for ten days, and looked at in these steps.
AHEAD_D = 10.0
# An overfed digester gets its second large meal this long after the first.
SECOND_FEAST_D = 1.99
QUOTED = (0.0, 0.1, 0.25, 0.5, 0.75, 1.01)


def healthy_rows(cases: Sequence[Walked]) -> Iterable[BenchRow]:
    """Alarms that began, a digester-month; what they were called."""
    called = Counter(
        _troubles(look.ranked)[0] for case in cases for look in case.looks if look.alarm
    )
    ours = [_episodes([look.alarm for look in case.looks]) for case in cases]
    asked = [case for case in cases if _asked(case)]
    theirs = [_episodes([look.signs_alarm for look in case.looks]) for case in asked]
    yield BenchRow(
        f"false alarms a digester-month (n = {len(cases)} months)",
        float(np.mean(ours)),
        "1/month",
        baseline=float(np.mean(theirs)) if theirs else None,
        target=f"under 0.2; looks in alarm were called {_listed(called)}",
    )


def fault_rows(fault: str, cases: Sequence[Walked]) -> Iterable[BenchRow]:
    """How often a fault is named first, among the first two, and alarmed of, and what else."""
    names = NAMES[fault]
    walked = [case for case in cases if case.looks]
    firsts = [_ranked(case) for case in walked]
    called = Counter(first[0] for first in firsts)
    bad = [case for case in walked if case.severity >= BAD]
    alarmed = [case for case in walked if case.looks[-1].alarm]
    days = [case.looks[-1].day for case in alarmed]
    yield _row(
        f"{fault}: named first (n = {len(walked)}, with a baseline {_count(walked)})",
        walked,
        lambda ranked: ranked[0] in names,
        target=f"called {_listed(called)}",
    )
    if bad:
        yield _row(
            f"{fault}: named first, severity 0.5 or more (n = {len(bad)})",
            bad,
            lambda ranked: ranked[0] in names,
        )
    told = [case for case in walked if case.tellable]
    if told and len(told) < len(walked):
        yield _row(
            f"{fault}: named first, where it could be told (n = {len(told)})",
            told,
            lambda ranked: ranked[0] in names,
        )
    yield _row(
        f"{fault}: among the first two", walked, lambda ranked: bool({*ranked[:2]} & {*names})
    )
    asked = [case for case in walked if _asked(case)]
    yield BenchRow(
        f"{fault}: alarm within 14 d",
        _share([case.looks[-1].alarm for case in walked]),
        "%",
        baseline=_share([any(look.signs_alarm for look in case.looks) for case in asked])
        if asked
        else None,
        target=f"middle of those alarmed: day {np.median(days):.0f}" if days else "",
    )


def whole_rows(by_fault: Mapping[str, Sequence[Walked]]) -> Iterable[BenchRow]:
    """All faults together; to be named first or among the first two."""
    groups: tuple[tuple[str, Callable[[Walked], bool]], ...] = (
        ("all severities", lambda case: True),
        ("severity 0.5 or more", lambda case: case.severity >= BAD),
        ("where it could be told", lambda case: case.tellable),
    )
    for words, counts in groups:
        for first, what in ((1, "named first"), (2, "among the first two")):
            hits: list[bool] = []
            theirs: list[bool] = []
            for fault, cases in by_fault.items():
                for case in cases:
                    if not case.looks or not counts(case):
                        continue
                    hits.append(bool({*_ranked(case)[:first]} & {*NAMES[fault]}))
                    if _asked(case):
                        theirs.append(bool({*_signs(case)[:first]} & {*NAMES[fault]}))
            if not hits:
                continue
            yield BenchRow(
                f"all faults, {words}: {what} (n = {len(hits)}, with a baseline {len(theirs)})",
                _share(hits),
                "%",
                baseline=_share(theirs) if theirs else None,
            )


def souring_rows(cases: Sequence[Walked]) -> Iterable[BenchRow]:
    """How long before its gas has halved a souring digester was warned of."""
    soured = [case for case in cases if case.half_d is not None and case.looks]
    # Where gas halves within three days of the first meal nobody can be warned three days before.
    fair = [case for case in soured if (case.half_d or 0.0) >= EARLY_D + 0.2]
    for group, words in ((soured, "all that soured"), (fair, "where there were three days")):
        if not group:
            continue
        leads = [_lead(case, signs=False) for case in group]
        theirs = [_lead(case, signs=True) for case in group if _asked(case)]
        yield BenchRow(
            f"souring warned {EARLY_D:.0f} d before gas has halved, {words} (n = {len(group)})",
            _share([lead >= EARLY_D for lead in leads]),
            "%",
            baseline=_share([lead >= EARLY_D for lead in theirs]) if theirs else None,
            target="80 %",
        )
    if soured:
        leads = [_lead(case, signs=False) for case in soured]
        yield BenchRow("souring: middle lead", float(np.median(leads)), "d")
    calm = [case for case in cases if not case.sours and case.looks]
    far = [case for case in calm if case.lowest_ph >= FAR_PH]
    for group, words in ((calm, "did no harm"), (far, f"never took the pH below {FAR_PH}")):
        if group:
            yield BenchRow(
                f"feasts that {words} but were warned of (n = {len(group)})",
                _share([any(look.warned for look in case.looks) for case in group]),
                "%",
            )


def warning_rows(feasts: Sequence[Walked], healthy: Sequence[Walked]) -> Iterable[BenchRow]:
    """Warnings before the pH shows it, quoted chances that came true, healthy months warned of."""
    soured = [case for case in feasts if case.sours and case.looks]
    if soured:
        yield BenchRow(
            f"souring warned before its pH is below 6.5 (n = {len(soured)})",
            _share([_first_warned(case) < (case.sour_d or 0.0) for case in soured]),
            "%",
        )
    warned = [case for case in feasts if any(look.warned for look in case.looks)]
    if warned:
        yield BenchRow(
            f"warnings in vain, of all feasts warned of (n = {len(warned)})",
            _share([not case.sours for case in warned]),
            "%",
        )
    # While a digester is not sour yet, does it sour in the ten days that the chance is for?
    quoted = [
        (chance, case.sour_d is not None and case.sour_d - look.day <= AHEAD_D)
        for case in feasts
        for look in case.looks
        if (chance := _chance_of_what_came(look)) is not None
        and (case.sour_d is None or look.day < case.sour_d)
    ]
    for low, high in itertools.pairwise(QUOTED):
        came = [(risk, sour) for risk, sour in quoted if low <= risk < high]
        if came:
            said = _share([risk for risk, _ in came])
            steps = f"{100 * low:.0f} to {100 * min(high, 1.0):.0f} %"
            yield BenchRow(
                f"soured within {AHEAD_D:.0f} d where {steps} were quoted (n = {len(came)} looks)",
                _share([sour for _, sour in came]),
                "%",
                target=f"{said:.0f} %, the mean quoted",
            )
    yield BenchRow(
        f"healthy months warned of souring (n = {len(healthy)})",
        _share([any(look.warned for look in case.looks) for case in healthy]),
        "%",
    )


def _row(
    name: str,
    cases: Sequence[Walked],
    hit: Callable[[tuple[str, ...]], bool],
    *,
    target: str = "",
) -> BenchRow:
    ours = [hit(_ranked(case)) for case in cases]
    theirs = [hit(_signs(case)) for case in cases if _asked(case)]
    baseline = _share(theirs) if theirs else None
    return BenchRow(name, _share(ours), "%", baseline=baseline, target=target)


def _ranked(case: Walked) -> tuple[str, ...]:
    """At our alarm, or else the last look; with an alarm, troubles only."""
    last: Seen = case.looks[-1]
    return _troubles(last.ranked) if last.alarm else last.ranked


def _signs(case: Walked) -> tuple[str, ...]:
    """The baseline's ranking at its own first alarm, or else at the last look."""
    last = case.looks[-1]
    found = next((look for look in case.looks if look.signs_alarm), last).signs
    return found or ("healthy",)


def _troubles(ranked: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(key for key in ranked if key not in NO_TROUBLE)


def _asked(case: Walked) -> bool:
    return any(look.signs is not None for look in case.looks)


def _count(cases: Sequence[Walked]) -> int:
    return sum(_asked(case) for case in cases)


def _episodes(alarms: list[bool]) -> int:
    """Alarms that began, not looks in alarm."""
    return sum(now and not before for before, now in zip([False, *alarms], alarms, strict=False))


def _lead(case: Walked, *, signs: bool) -> float:
    """Days from the first warning to half the gas; below 0 for one that came too late or never."""
    for look in case.looks:
        if look.signs_warned if signs else look.warned:
            return (case.half_d or 0.0) - look.day
    return -1.0


def _chance_of_what_came(look: Seen) -> float | None:
    """Give the chance quoted for what was really eaten: before the second feast, with another."""
    return look.again if look.day < SECOND_FEAST_D else look.risk


def _first_warned(case: Walked) -> float:
    """Day of the first warning after the fault [d], without end where there was none."""
    return next((look.day for look in case.looks if look.warned), float("inf"))


def _share(hits: Sequence[float]) -> float:
    return 100 * float(np.mean(hits))


def _listed(counts: Counter[str]) -> str:
    return ", ".join(f"{key} {n}" for key, n in counts.most_common()) or "nothing"
