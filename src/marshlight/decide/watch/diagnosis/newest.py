"""The newest stretch of a run's log: what the explanations are held against."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Counted, Read, RunLog
from marshlight.decide.watch.diagnosis.explanations import (
    ACIDS,
    ALKALINITY,
    CARBON_DIOXIDE,
    FLAME,
    GAS,
    METHANE,
    NITROGEN,
    OXYGEN,
    PH,
    WARMTH,
)
from marshlight.process.model.kernel import Reals

# Gas read more often is added up to stretches of most of a day: shorter ones say more about the
# ruler than about the digester. Our choice.
LEAST_STRETCH_D = 0.7
MOST_STRETCHES = 16


@dataclass(frozen=True)
class Newest:
    """Readings after ``since`` [d] up to ``today`` [d], by kind.

    ``gas`` holds stretches of most of a day; ``still`` tells of each whether nothing at all was
    counted; ``flame`` holds day and outcome.
    """

    since: float
    today: float
    gas: Counted | None = None
    still: tuple[bool, ...] = ()
    reads: Mapping[str, Read] = field(default_factory=dict)
    flame: tuple[tuple[float, str], ...] = ()

    @property
    def kinds(self) -> frozenset[str]:
        """Kinds of reading there are."""
        found = set(self.reads)
        if self.gas is not None:
            found.add(GAS)
        if self.flame:
            found.add(FLAME)
        return frozenset(found)

    def days(self) -> Reals:
        """Every day something was read on, and both ends [d]."""
        parts = [np.array([self.since, self.today])]
        if self.gas is not None:
            parts += [self.gas.start_d, self.gas.end_d]
        parts += [read.day for read in self.reads.values()]
        parts.append(np.array([day for day, _ in self.flame]))
        return np.unique(np.clip(np.concatenate(parts), self.since, self.today))


def newest(log: RunLog, since: float) -> Newest:
    """Take the readings of a log after a day.

    Parameters
    ----------
    log : RunLog
        The log up to today.
    since : float
        Day after which readings count as new [d].

    Returns
    -------
    Newest
        Those readings; what was not read is absent.
    """
    named = {
        PH: log.ph,
        METHANE: log.methane,
        CARBON_DIOXIDE: log.carbon_dioxide,
        OXYGEN: log.oxygen,
        ACIDS: log.acids,
        ALKALINITY: log.alkalinity,
        NITROGEN: log.ammonia,
        WARMTH: log.slurry_c,
    }
    reads: dict[str, Read] = {}
    for kind, read in named.items():
        if read is None:
            continue
        kept = np.flatnonzero((read.day > since) & (read.day <= log.today))
        kept = kept[np.argsort(read.day[kept], kind="stable")]
        if kept.size:
            reads[kind] = Read(read.day[kept], read.value[kept], read.u[kept], read.step)
    gas, still = _stretches(log.gas, since, log.today)
    flame = tuple(sorted((d, o) for d, o in log.flame if since < d <= log.today))
    return Newest(since, log.today, gas, still, reads, flame)


def spread(days: Reals, most: int) -> Reals:
    """Take no more than so many of some days, evenly spread, the first and the newest among them.

    Examples
    --------
    >>> import numpy as np
    >>> spread(np.arange(10.0), 4).tolist()
    [0.0, 3.0, 6.0, 9.0]
    """
    if days.size <= most:
        return days
    picked = np.round(np.linspace(0, days.size - 1, most)).astype(int)
    return np.asarray(days[picked], dtype=np.float64)


def _stretches(
    gas: Counted | None, since: float, today: float
) -> tuple[Counted | None, tuple[bool, ...]]:
    """Add short intervals up; one that began before ``since`` is left out."""
    if gas is None:
        return None, ()
    inside = np.flatnonzero((gas.start_d >= since - 1e-9) & (gas.end_d <= today + 1e-9))
    if not inside.size:
        return None, ()
    groups = _grouped(gas, inside, max(LEAST_STRETCH_D, (today - since) / MOST_STRETCHES))
    added = Counted(
        np.array([gas.start_d[g[0]] for g in groups]),
        np.array([gas.end_d[g[-1]] for g in groups]),
        np.array([float(gas.gas_m3[g].sum()) for g in groups]),
        np.array([_summed_u(gas, g) for g in groups]),
        np.array([bool(gas.at_least[g].any()) for g in groups]),
        np.array([bool(_linked(gas)[g[0]]) for g in groups]),
    )
    return added, tuple(bool(np.all(gas.gas_m3[g] == 0.0)) for g in groups)


def _grouped(gas: Counted, inside: NDArray[np.intp], least_d: float) -> list[list[int]]:
    """Join neighbours until a stretch is long enough; a short rest joins the last."""
    groups: list[list[int]] = []
    for i in inside[np.argsort(gas.start_d[inside], kind="stable")]:
        begun = groups[-1] if groups else []
        joins = bool(begun) and gas.start_d[i] <= gas.end_d[begun[-1]] + 1e-6
        if joins and gas.end_d[begun[-1]] - gas.start_d[begun[0]] < least_d - 1e-6:
            begun.append(int(i))
        else:
            groups.append([int(i)])
    if len(groups) > 1:
        before, rest = groups[-2:]
        short = gas.end_d[rest[-1]] - gas.start_d[rest[0]] < 0.5 * least_d
        if short and gas.start_d[rest[0]] <= gas.end_d[before[-1]] + 1e-6:
            groups[-2:] = [[*before, *rest]]
    return groups


def _linked(gas: Counted) -> NDArray[np.bool_]:
    return np.zeros(len(gas), bool) if gas.linked is None else gas.linked


def _summed_u(gas: Counted, group: list[int]) -> float:
    """Standard uncertainty of a sum: the error of a reading between two intervals falls out."""
    halves = 0.5 * gas.u_m3[group] ** 2
    both = _linked(gas)[group]
    total = halves[0] + halves[-1]
    for before, after, shared in zip(halves[:-1], halves[1:], both[1:], strict=True):
        total += 0.0 if shared else before + after
    return float(np.sqrt(total))
