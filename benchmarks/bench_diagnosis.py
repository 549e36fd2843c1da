"""How well troubles are told apart: invented digesters with and without a fault, both watches.

Runs are invented by benchmarks/synthetic: four kinds of digester, half read daily with meters, half
every few days with strips and a flame, truths that stray from the model. Each fault's severity is
drawn evenly from hardly noticeable to as bad as it comes. A keeper looks 0.2, 2, 4, 7, 10 and 14
days after the fault began, until our first alarm; healthy runs every other day for a month. A
healthy run that is in trouble of its own making (pH below 6.5, acids above 3 kg/m3 past day 10) is
drawn again. The baseline is the signs-based watch on the same looks.

The number of cases is thinned so that it takes some minutes on two cores; set the environment
variable DIAGNOSIS_CASES to 30 for the full study (and MARSH_SEED-like repeats by DIAGNOSIS_SEED).
"""

import os
from collections import Counter
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor
from functools import partial

import numpy as np
from benchmarks.diagnosing.cases import Seen, Walked, walk_case
from benchmarks.harness import BenchRow
from benchmarks.synthetic.faults import FAULTS

CASES = int(os.environ.get("DIAGNOSIS_CASES", "8"))
SEED = int(os.environ.get("DIAGNOSIS_SEED", "1"))
# What a fault may rightly be called.
NAMES = {
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
_BAD = 0.5
_EARLY_D = 3.0


def rows() -> Iterable[BenchRow]:
    """Walk through every case on two cores and score both watches."""
    with ProcessPoolExecutor(2) as pool:
        healthy = list(pool.map(partial(_one, ""), range(2 * CASES)))
        by_fault = {f: list(pool.map(partial(_one, f), range(CASES))) for f in FAULTS}
        feasts = list(pool.map(_feast, range(CASES, 2 * CASES + CASES // 2)))
    yield from _healthy_rows(healthy)
    for fault, cases in by_fault.items():
        yield from _fault_rows(fault, cases)
    yield from _all_rows(by_fault)
    yield from _souring_rows([*by_fault["overfed"], *feasts])


def _one(fault: str, number: int) -> Walked:
    return walk_case(fault, number, seed=SEED)


def _feast(number: int) -> Walked:
    return walk_case("overfed", number, least=_BAD, seed=SEED)


def _healthy_rows(cases: list[Walked]) -> Iterable[BenchRow]:
    ours = sum(_episodes([look.alarm for look in case.looks]) for case in cases)
    theirs = sum(_episodes([look.signs_alarm for look in case.looks]) for case in cases)
    called = Counter(
        next(key for key in look.ranked if key not in ("healthy", "spent"))
        for case in cases
        for look in case.looks
        if look.alarm
    )
    yield BenchRow(
        f"false alarms a digester-month (n = {len(cases)} months)",
        ours / len(cases),
        "1/month",
        baseline=theirs / len(cases),
        target=f"under 0.2; looks in alarm were called {_listed(called)}",
    )


def _episodes(alarms: list[bool]) -> int:
    """Alarms that began, not looks in alarm."""
    return sum(now and not before for before, now in zip([False, *alarms], alarms, strict=False))


def _fault_rows(fault: str, cases: list[Walked]) -> Iterable[BenchRow]:
    names = NAMES[fault]
    judged = [_judged(case) for case in cases if case.looks]
    called = Counter(first[0] for _, first, _ in judged)
    found = [alarm for alarm, _, _ in judged]
    yield BenchRow(
        f"{fault}: named first (n = {len(judged)})",
        _share([first[0] in names for _, first, _ in judged]),
        "%",
        baseline=_share([signs[0] in names for _, _, signs in judged]),
        target=f"called {_listed(called)}",
    )
    yield BenchRow(
        f"{fault}: among the first two",
        _share([bool({*first[:2]} & {*names}) for _, first, _ in judged]),
        "%",
        baseline=_share([bool({*signs[:2]} & {*names}) for _, _, signs in judged]),
    )
    days = [case.looks[-1].day for case, alarm in zip(cases, found, strict=False) if alarm]
    yield BenchRow(
        f"{fault}: alarm within 14 d",
        _share(found),
        "%",
        baseline=_share([any(look.signs_alarm for look in case.looks) for case in cases]),
        target=f"middle of those alarmed: day {np.median(days):.0f}" if days else "",
    )


def _judged(case: Walked) -> tuple[bool, tuple[str, ...], tuple[str, ...]]:
    """At our first alarm, or the last look: whether alarmed, our ranking, the baseline's.

    Where there is no alarm, a healthy or spent top stays; with one, troubles only are ranked.
    """
    last: Seen = case.looks[-1]
    ranked = last.ranked
    if last.alarm:
        ranked = tuple(key for key in ranked if key not in ("healthy", "spent"))
    sign = next((look for look in case.looks if look.signs_alarm), last)
    return last.alarm, ranked, sign.signs


def _all_rows(by_fault: dict[str, list[Walked]]) -> Iterable[BenchRow]:
    for least, words in ((0.0, "all severities"), (_BAD, "severity 0.5 or more")):
        pairs = [
            (NAMES[fault], _judged(case))
            for fault, cases in by_fault.items()
            for case in cases
            if case.looks and case.severity >= least
        ]
        yield BenchRow(
            f"all faults, {words}: named first (n = {len(pairs)})",
            _share([first[0] in names for names, (_, first, _) in pairs]),
            "%",
            baseline=_share([signs[0] in names for names, (_, _, signs) in pairs]),
        )
        yield BenchRow(
            f"all faults, {words}: among the first two",
            _share([bool({*first[:2]} & {*names}) for names, (_, first, _) in pairs]),
            "%",
            baseline=_share([bool({*signs[:2]} & {*names}) for names, (_, _, signs) in pairs]),
        )


def _souring_rows(cases: list[Walked]) -> Iterable[BenchRow]:
    soured = [case for case in cases if case.half_d is not None]
    ours = [_lead(case, signs=False) for case in soured]
    theirs = [_lead(case, signs=True) for case in soured]
    yield BenchRow(
        f"souring warned 3 d before gas has halved (n = {len(soured)} that soured)",
        _share([lead >= _EARLY_D for lead in ours]),
        "%",
        baseline=_share([lead >= _EARLY_D for lead in theirs]),
        target="80 %",
    )
    yield BenchRow(
        "souring: middle lead before gas has halved",
        float(np.median(ours)),
        "d",
        baseline=float(np.median(theirs)),
    )
    calm = [case for case in cases if not case.sours]
    yield BenchRow(
        f"feasts that did no harm but were warned of (n = {len(calm)})",
        _share([any(look.warned for look in case.looks) for case in calm]),
        "%",
        baseline=_share([any(look.signs_warned for look in case.looks) for case in calm]),
    )


def _lead(case: Walked, *, signs: bool) -> float:
    """Days from the first warning to half the gas; below 0 for one that came too late or never."""
    assert case.half_d is not None
    for look in case.looks:
        if look.signs_warned if signs else look.warned:
            return case.half_d - look.day
    return -1.0


def _share(hits: list[bool]) -> float:
    return 100 * float(np.mean(hits)) if hits else float("nan")


def _listed(counts: Counter[str]) -> str:
    return ", ".join(f"{key} {n}" for key, n in counts.most_common()) or "nothing"
