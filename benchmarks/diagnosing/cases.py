"""One invented run walked through, boiled down to what the scores need."""

from dataclasses import dataclass

import numpy as np
from benchmarks.diagnosing.tellable import could_be_told
from benchmarks.diagnosing.walk import Look, walk
from benchmarks.synthetic.digesters import KINDS
from benchmarks.synthetic.faults import Case, draw_case
from benchmarks.synthetic.logbook import write_log

from marshlight.decide.watch.diagnosis.souring import WARN

# Days after the fault's first on which the keeper looks; the run is left at our first alarm.
AFTER_D = (0.2, 2.0, 5.0, 9.0, 14.0)
# A healthy run is looked at every other day over one month.
HEALTHY_D = tuple(np.arange(4.0, 34.1, 2.0))
# Souring is named where it is likelier than not.
NAMED = 0.5
SOUR_PH = 6.5


@dataclass(frozen=True)
class Seen:
    """What both watches said on one look, ``day`` counted from the fault's first [d].

    ``ranked`` are explanations, likeliest first, as ``signs`` are of the baseline
    (None where it was not asked: a look of its own takes it three times as long); ``risk`` is the
    chance of souring that was quoted, ``again`` with another feast, None where none was.
    """

    day: float
    ranked: tuple[str, ...]
    alarm: bool
    warned: bool
    signs: tuple[str, ...] | None = None
    signs_alarm: bool = False
    signs_warned: bool = False
    risk: float | None = None
    again: float | None = None


@dataclass(frozen=True)
class Walked:
    """A case: its fault, how bad, how it was read, the looks, and when it really soured.

    ``own_trouble`` is true where the digester itself was in trouble without any fault;
    ``lowest_ph`` is the pH at its lowest since the fault, ``sour_d`` when it first went below 6.5,
    ``half_d`` when its gas had fallen by half while sour, days from the fault's first.
    ``tellable`` is whether the fault still did harm at the last look, and
    something had been read that could show it.
    """

    fault: str
    severity: float
    dense: bool
    looks: tuple[Seen, ...]
    own_trouble: bool
    lowest_ph: float
    sour_d: float | None
    half_d: float | None
    tellable: bool = True

    @property
    def sours(self) -> bool:
        """Tell whether its pH went below 6.5."""
        return self.sour_d is not None


def walk_case(
    fault: str, number: int, *, least: float = 0.0, seed: int = 1, baseline: bool = True
) -> Walked:
    """Draw a case of a fault (or none) by its number, walk through it and boil it down."""
    rng = np.random.default_rng([seed, number, sum(map(ord, fault))])
    kind, dense = tuple(KINDS)[number % len(KINDS)], bool((number + number // len(KINDS)) % 2)
    severity = least + (1.0 - least) * float(rng.random())
    case = draw_case(kind, rng, dense=dense, fault=fault, severity=severity if fault else None)
    while not fault and _in_trouble(case):
        case = draw_case(kind, rng, dense=dense)
    log = write_log(case, rng)
    since = case.truth.since if fault else 0.0
    days = [since + d for d in AFTER_D] if fault else list(HEALTHY_D)
    looks = walk(log, days, seed=number, stop=bool(fault), baseline=baseline)
    sour_d = _soured(case, since) if fault else None
    return Walked(
        fault,
        severity if fault else 0.0,
        dense,
        tuple(_seen(look, since) for look in looks),
        _in_trouble(case),
        float(case.life.run["pH"][case.life.day >= since].min()),
        sour_d,
        None if sour_d is None else _halved(case, since),
        tellable=not looks or could_be_told(case, log, looks[-1].day),
    )


def _seen(look: Look, since: float) -> Seen:
    found, signs = look.diagnosis, look.signs
    if found is None:
        ranked, alarm, warned = ("healthy",), False, False
        risk = again = None
    else:
        ranked = tuple(e.key for e in found.explanations)
        alarm = found.alarm
        sour = found["souring"].probability + found["dose_gas"].probability
        warned = found.souring.warned or sour >= NAMED
        risk, again = found.souring.either, found.souring.again
    return Seen(
        day=look.day - since,
        ranked=ranked,
        alarm=alarm,
        warned=warned,
        signs=None if signs is None else signs.ranked,
        signs_alarm=signs is not None and signs.alarm,
        signs_warned=signs is not None and signs.souring >= WARN,
        risk=risk,
        again=again,
    )


def _in_trouble(case: Case) -> bool:
    """Sour, or full of acids beyond a start, though nothing was done to it."""
    day, run = case.life.day, case.life.run
    month = (day > 2.0) & (day <= HEALTHY_D[-1])
    sour = np.any(run["pH"][month] < SOUR_PH)
    return bool(sour or np.any(run.acids_kg_m3[month & (day > 10.0)] > 3.0))


def _soured(case: Case, since: float) -> float | None:
    """Days until the pH first goes below 6.5 after the fault."""
    sour = np.flatnonzero((case.life.day >= since) & (case.life.run["pH"] < SOUR_PH))
    return float(case.life.day[sour[0]] - since) if sour.size else None


def _halved(case: Case, since: float) -> float | None:
    """Days until a day's gas is half of the week's before the fault, while it is sour."""
    day, made = case.life.day, case.life.made_m3
    before = np.interp([max(since - 7.0, 0.0), since], day, made)
    usual = (before[1] - before[0]) / min(since, 7.0)
    late = np.arange(since + 1.0, day[-1], 0.25)
    rate = np.interp(late, day, made) - np.interp(late - 1.0, day, made)
    sour = np.interp(late, day, case.life.run["pH"]) < SOUR_PH
    hit = np.flatnonzero((rate < 0.5 * usual) & sour)
    return float(late[hit[0]] - since) if hit.size else None
