"""Everything the engine makes of one run: ledger, composition, fit, forecast.

Costly, so kept in memory under the run's revision: records are only ever added, so a run whose
counts are unchanged says exactly what it said before.
"""

import hashlib
import threading
from collections import OrderedDict
from dataclasses import dataclass

from django.db.models import Count, Max

from marshlight.answers.composition import composition_of
from marshlight.answers.expected import FromRecipe, expected_from_recipe
from marshlight.answers.foreseen import Foreseen, foresee
from marshlight.errors import MarshlightError
from marshlight.measure import GasLedger, MethaneShare, build_ledger
from marshlight.notebook.bridge import RunRecords, run_facts
from marshlight.notebook.models import Event, Reading, Run, SetupVersion
from marshlight.process import Forecast

KEPT_RUNS = 64


@dataclass(frozen=True)
class Analysis:
    """What the engine makes of a run's log; None where the log does not allow it, with the why."""

    records: RunRecords
    latest: dict[str, Reading]
    slurry_m3: float | None
    ledger: GasLedger | None
    ledger_why_not: str
    methane: MethaneShare | None
    recipe: FromRecipe
    foreseen: Foreseen

    @property
    def forecast(self) -> Forecast | None:
        """Give the forecast from all readings."""
        return self.foreseen.forecast

    @property
    def last_day(self) -> float:
        """Day of the last thing that was read of the gas [d]."""
        if self.ledger is None or self.ledger.day.size == 0:
            return 0.0
        return float(self.ledger.day[-1])


_kept: "OrderedDict[tuple[str, str], Analysis]" = OrderedDict()
_lock = threading.Lock()
# One analysis of a run at a time: a second asker waits for the first instead of doing it again.
_under_way: dict[str, threading.Lock] = {}


def revision(run: Run) -> str:
    """Name the state of everything a run's analysis rests on.

    Parameters
    ----------
    run : Run
        The run.

    Returns
    -------
    str
        Changes with every record, correction, withdrawal and set-up change.
    """
    parts = []
    for model in (Reading, Event):
        rows = model.objects.filter(run=run)
        parts.append(rows.aggregate(Count("id"), Max("entered_at")))
    parts.append(SetupVersion.objects.aggregate(Count("id"), Max("at")))
    return hashlib.sha256(repr([sorted(p.items()) for p in parts]).encode()).hexdigest()


def analyse(run: Run) -> Analysis:
    """Work out, or remember, what the log of a run says.

    Parameters
    ----------
    run : Run
        The run.

    Returns
    -------
    Analysis
        Never older than the newest record.
    """
    name = str(run.pk)
    with _lock:
        mine = _under_way.setdefault(name, threading.Lock())
    with mine:
        key = (name, revision(run))
        with _lock:
            if key in _kept:
                _kept.move_to_end(key)
                return _kept[key]
        found = _analyse(run_facts(run), seed=name)
        with _lock:
            for old in [k for k in _kept if k[0] == name]:
                del _kept[old]
            _kept[key] = found
            while len(_kept) > KEPT_RUNS:
                _kept.popitem(last=False)
    return found


def _analyse(records: RunRecords, *, seed: str) -> Analysis:
    methane = composition_of(records)
    recipe = expected_from_recipe(records)
    ledger, why_no_ledger = _ledger(records, methane)
    foreseen = foresee(records, ledger, recipe, seed=seed)
    return Analysis(
        records,
        _latest(records.run),
        _slurry_now(records),
        ledger,
        why_no_ledger,
        methane,
        recipe,
        foreseen,
    )


def _latest(run: Run) -> dict[str, Reading]:
    """Read the newest reading of each kind, one small query per kind that was read."""
    current = Reading.objects.current().filter(run=run)
    kinds = current.order_by().values_list("kind", flat=True).distinct()
    newest = (current.filter(kind=kind).order_by("-at", "-id").first() for kind in kinds)
    return {reading.kind: reading for reading in newest if reading is not None}


def _slurry_now(records: RunRecords) -> float | None:
    """Follow the slurry from the charge over feeds and draw-offs to now [m3]."""
    if records.slurry_m3 is None:
        return None
    fed = sum(charge.volume_m3 for charge in records.feeds)
    drawn = sum(e.value or 0.0 for e in records.events if e.kind == "draw_off")
    return max(records.slurry_m3 + fed - drawn, 0.0)


def _ledger(records: RunRecords, methane: MethaneShare | None) -> tuple[GasLedger | None, str]:
    log = records.holder_log
    if log.holder is None:
        return None, " ".join(log.notes) or "No gas holder is set up for this run."
    if not log.readings:
        return None, "The gas holder has not been read yet."
    try:
        ledger = build_ledger(
            log.holder,
            log.readings,
            log.events,
            barometer=records.barometer,
            headspace=records.headspace,
            instruments=log.instruments,
            methane_share=None if methane is None else methane.estimate,
            room_temperature=log.room,
        )
    except MarshlightError as error:
        return None, str(error)
    return ledger, ""
