"""Suppositions that need no new run: gas lost on its way, a stuck holder, readings gone wrong."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import Counted
from marshlight.decide.watch.diagnosis.branches import Branch
from marshlight.decide.watch.diagnosis.explanations import (
    GAS,
    HEALTHY,
    LEAK,
    PH,
    RULER,
    STUCK,
)
from marshlight.decide.watch.diagnosis.foreseen import WITHIN, WITHIN_U, Shown, doubt_of, one_log
from marshlight.decide.watch.diagnosis.likelihood import gas_log
from marshlight.decide.watch.diagnosis.newest import Newest, spread
from marshlight.process.model.kernel import Reals

# How bad each may be: our choice, source `diagnosis_grid`.
# Both go in like steps, so that neither fits better for being tried more finely.
_LOST = (0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.92, 0.97, 1.0, 1.5)  # above 1 it sinks
_RULED = (0.1, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 1.15, 1.25, 1.35, 1.5, 2.0, 2.54, 10.0)
_PH_OFF = (-1.0, -0.8, -0.65, -0.5, -0.35, -0.2, 0.2, 0.35, 0.5, 0.65, 0.8, 1.0)
# A hole lets by not quite the same share each day.
_BREATHES = 0.03
# A holder that jams lets most gas by, and now and then moves: share counted, and its scatter.
_JAMMED = ((0.15, 0.1), (0.35, 0.35))
# Nothing at all is so much likelier of a jammed holder than of gas that comes and goes, log odds.
_STANDS_STILL = 2.3
# One misread level may be off by two days' gas, one misread pH by one.
_SLIP_DAYS, _SLIP_PH = 2.0, 1.0
_MOST_STARTS = 12


@dataclass(frozen=True)
class Supposed:
    """One thing wrong with gas line or instruments: its log likelihoods replace the base's.

    ``share`` is its part of the explanation's prior, ``once`` true for a single wrong reading.
    """

    key: str
    start: float
    severity: str
    share: float
    kind: str
    log: Reals
    once: bool = False


def instrument_suppositions(base: Branch, shown: Shown, seen: Newest) -> list[Supposed]:
    """Weigh everything that may be wrong beside digestion.

    Parameters
    ----------
    base : Branch
        The lives as logged.
    shown : mapping of array
        What the instruments would have shown in them.
    seen : Newest
        The newest stretch.

    Returns
    -------
    list of Supposed
        Log likelihoods of the kind of reading concerned, one for each life of the base.
    """
    found: list[Supposed] = []
    if seen.gas is not None:
        found += _of_the_gas(base, seen.gas, shown[GAS], seen)
    if PH in seen.reads:
        found += _of_the_ph(shown[PH], seen)
    return found


@dataclass(frozen=True)
class _Way:
    key: str
    start: float
    severity: str
    factor: Reals
    loose: Reals
    slip: Reals
    bonus: float = 0.0
    once: bool = False


def _of_the_gas(base: Branch, gas: Counted, foreseen: Reals, seen: Newest) -> list[Supposed]:
    """All at once: foreseen gas of shape (supposition, life, stretch)."""
    ways = [*_lost(gas), *_jammed(gas, seen.still), *_ruled(gas), *_misread(gas)]
    usual = float(np.median(np.abs(foreseen)))
    factor = np.array([way.factor for way in ways])[:, None, :]
    loose = np.array([way.loose for way in ways])[:, None, :] * np.abs(foreseen)
    slip = np.array([way.slip for way in ways])[:, None, :] * usual
    log = gas_log(gas, factor * foreseen, doubt_of(base, seen, slip, loose))
    counts: dict[str, int] = {}
    for way in ways:
        if not way.once:
            counts[way.key] = counts.get(way.key, 0) + 1
    return [
        Supposed(
            way.key,
            way.start,
            way.severity,
            1.0 if way.once else 1.0 / counts[way.key],
            GAS,
            row + way.bonus,
            way.once,
        )
        for way, row in zip(ways, log, strict=True)
    ]


def _begun(gas: Counted, start: float) -> Reals:
    """Share of each stretch that lies after a day."""
    after: Reals = np.clip((gas.end_d - start) / (gas.end_d - gas.start_d), 0.0, 1.0)
    return after


def _lost(gas: Counted) -> Iterable[_Way]:
    """Lost from any hour on: a third into a stretch, or two, as well as from its first."""
    none = np.zeros(len(gas))
    for at in spread(np.arange(len(gas), dtype=np.float64), _MOST_STARTS).astype(int):
        for share in WITHIN:
            start = float(gas.start_d[at] + share * (gas.end_d[at] - gas.start_d[at]))
            after = _begun(gas, start)
            between = WITHIN_U * (np.arange(len(gas)) == at)
            for lost in _LOST:
                words = (
                    f"about {100 * min(lost, 1.0):.0f} % of the gas lost from day {start:.0f} on"
                )
                loose = np.hypot(_BREATHES * after, lost * between)
                yield _Way(LEAK, start, words, 1.0 - lost * after, loose, none)


def _jammed(gas: Counted, still: tuple[bool, ...]) -> Iterable[_Way]:
    none = np.zeros(len(gas))
    stands = np.array(still)
    for start in spread(gas.start_d, _MOST_STARTS):
        after = _begun(gas, float(start))
        idle = stands & (after > 0.5)
        for counted, scatter in _JAMMED:
            factor = 1.0 - (1.0 - counted) * after
            factor = np.where(idle, 0.0, factor)
            words = f"it moves little and by fits from day {start:.0f} on"
            bonus = _STANDS_STILL * float(idle.sum())
            yield _Way(STUCK, float(start), words, factor, scatter * after, none, bonus)


def _ruled(gas: Counted) -> Iterable[_Way]:
    none = np.zeros(len(gas))
    for start in spread(gas.start_d, _MOST_STARTS):
        for scale in _RULED:
            words = f"gas shown {scale:g} times as it is from day {start:.0f} on"
            factor = 1.0 + (scale - 1.0) * _begun(gas, float(start))
            yield _Way(RULER, float(start), words, factor, none, none)


def _misread(gas: Counted) -> Iterable[_Way]:
    ones, none = np.ones(len(gas)), np.zeros(len(gas))
    for i, day in enumerate(gas.end_d):
        slip = none.copy()
        slip[i] = _SLIP_DAYS
        last = i == len(gas) - 1
        words = f"the gas reading of day {day:.0f} is off"
        # Once the next reading has put it right there is nothing to do about it.
        yield _Way(RULER if last else HEALTHY, float(day), words, ones, none, slip, once=True)


def _of_the_ph(foreseen: Reals, seen: Newest) -> list[Supposed]:
    read = seen.reads[PH]
    found: list[Supposed] = []
    starts = spread(np.concatenate([[seen.since], read.day[:-1]]), _MOST_STARTS)
    share = 1.0 / (len(starts) * len(_PH_OFF))
    for start in starts:
        for off in _PH_OFF:
            log = one_log(PH, read, foreseen + off * (read.day > start))
            words = f"pH shown {abs(off):.1f} too {'high' if off > 0 else 'low'}"
            words += f" from day {start:.0f} on"
            found.append(Supposed(RULER, float(start), words, share, PH, log))
    for i, day in enumerate(read.day):
        slip = np.where(np.arange(len(read)) == i, _SLIP_PH, 0.0)
        key = RULER if i == len(read) - 1 else HEALTHY
        words = f"the pH reading of day {day:.0f} is off"
        log = one_log(PH, read, foreseen, slip)
        found.append(Supposed(key, float(day), words, 1.0, PH, log, once=True))
    return found
