"""Whether a fault could have been told at all: it did harm, and something read could show it."""

from collections.abc import Mapping

import numpy as np
from benchmarks.synthetic.faults import Case

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.diagnosis.explanations import (
    ANALYSED,
    FLAME,
    GAS,
    PH,
    WARMTH,
)
from marshlight.decide.watch.diagnosis.newest import newest

# Large meals that were digested without harm have left neither: acids above this, or pH below
# this. Our choice, as the diagnosis has it.
_ACIDS, _LOW_PH = 2.0, 6.8
_MEALS = ("overfed", "ammonia")
# What must have been read since it set in; the others show in the charge or in what is logged.
_NEEDS: Mapping[str, tuple[str, ...]] = {
    "leak": (GAS,),
    "tap left open": (GAS,),
    "air drawn in": (FLAME, *ANALYSED),
    "floating layer": (GAS,),
    "holder stuck": (GAS,),
    "spent": (GAS,),
    "cold": (WARMTH, GAS),
}


def could_be_told(case: Case, log: RunLog, day: float) -> bool:
    """Tell whether a fault did harm on a day and a reading since its first could show it.

    Gas of which only the least is known, in a holder that was full, shows nothing.
    """
    if not case.fault:
        return False
    if case.fault in _MEALS:
        acids, ph = (
            float(case.life.at(curve, np.array([day]))[0])
            for curve in (case.life.run.acids_kg_m3, case.life.run["pH"])
        )
        return acids > _ACIDS or ph < _LOW_PH
    needs = _needs(case)
    return not needs or bool(_kinds(log, case.truth.since, day) & set(needs))


def _needs(case: Case) -> tuple[str, ...]:
    if case.fault != "ruler or sensor":
        return _NEEDS.get(case.fault, ())
    return (PH,) if case.truth.instruments.ph_bias_later else (GAS,)


def _kinds(log: RunLog, since: float, day: float) -> frozenset[str]:
    """Kinds of reading taken after the fault's first."""
    kinds = newest(log.until(day), since).kinds - {GAS}
    gas = log.gas
    if gas is None:
        return kinds
    known = (gas.end_d > since) & (gas.end_d <= day) & ~gas.at_least
    return kinds | {GAS} if known.any() else kinds
