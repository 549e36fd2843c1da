"""Everything the engine makes of one run: ledger, composition, fit, forecast.

Costly, so kept under the run's revision: records are only ever added, so a run whose counts are
unchanged says exactly what it said before.
"""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path

import marshlight
from marshlight.answers.composition import composition_of
from marshlight.answers.expected import FromRecipe, expected_from_recipe
from marshlight.answers.foreseen import Foreseen, foresee
from marshlight.answers.keeping import kept, remembered
from marshlight.apparatus import Holder
from marshlight.errors import MarshlightError
from marshlight.measure import GasLedger, MethaneShare, build_ledger
from marshlight.notebook.bridge import RunRecords, run_facts
from marshlight.notebook.models import Reading, Run
from marshlight.notebook.resting import state_of
from marshlight.process import FedFit, Fit, Forecast

# They show figures and make none.
_FACES = ("server", "cli", "demo")


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
    def fit(self) -> Fit | FedFit | None:
        """Give the fitted curve."""
        return self.foreseen.fit

    @property
    def last_day(self) -> float:
        """Day of the last thing that was read of the gas [d]."""
        if self.ledger is None or self.ledger.day.size == 0:
            return 0.0
        return float(self.ledger.day[-1])


@dataclass(frozen=True)
class WorkedOut:
    """The part of an analysis that the engine works out from the log; see `Analysis`."""

    slurry_m3: float | None
    ledger: GasLedger | None
    ledger_why_not: str
    methane: MethaneShare | None
    recipe: FromRecipe
    foreseen: Foreseen


def revision(run: Run, *, until: datetime | None = None) -> str:
    """Name the state of everything a run's analysis rests on.

    Parameters
    ----------
    run : Run
        The run, with its site.
    until : datetime, optional
        Leave out what happened or was seen later.

    Returns
    -------
    str
        Changes with every record, correction, withdrawal, change of set-up and new engine; not
        with the units its readers like.
    """
    return hashlib.sha256(repr([engine_mark(), *state_of(run, until=until)]).encode()).hexdigest()


@cache
def engine_mark() -> str:
    """Name the engine that works out the figures: its files' names, sizes and times."""
    root = Path(marshlight.__file__).parent
    files = sorted(
        path
        for path in root.rglob("*")
        if path.suffix in (".py", ".toml") and path.relative_to(root).parts[0] not in _FACES
    )
    stats = [(str(p.relative_to(root)), p.stat().st_size, p.stat().st_mtime_ns) for p in files]
    return hashlib.sha256(repr(stats).encode()).hexdigest()


def ready(run: Run) -> Analysis | None:
    """Give the analysis if it has been worked out, without waiting for it."""
    return kept(str(run.pk), revision(run))


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

    def make(_before: Analysis | None) -> Analysis:
        return _analyse(run_facts(run), seed=name)

    return remembered(name, lambda: revision(run), make)


def _analyse(records: RunRecords, *, seed: str) -> Analysis:
    return whole(records, latest_readings(records.run), work_out(records, seed=seed))


def work_out(records: RunRecords, *, seed: str) -> WorkedOut:
    """Work out the engine's part of an analysis, here or on a worker: no database is asked.

    Parameters
    ----------
    records : RunRecords
        The run's log.
    seed : str
        Any text that belongs to the run.
    """
    methane = composition_of(records)
    recipe = expected_from_recipe(records)
    ledger, why_no_ledger = _ledger(records, methane)
    foreseen = foresee(records, ledger, recipe, seed=seed)
    return WorkedOut(_slurry_now(records), ledger, why_no_ledger, methane, recipe, foreseen)


def whole(records: RunRecords, latest: dict[str, Reading], worked: WorkedOut) -> Analysis:
    """Join what was worked out with the log it came from."""
    return Analysis(
        records,
        latest,
        worked.slurry_m3,
        worked.ledger,
        worked.ledger_why_not,
        worked.methane,
        worked.recipe,
        worked.foreseen,
    )


def latest_readings(run: Run) -> dict[str, Reading]:
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


def ledger_of(records: RunRecords, holder: Holder, methane: MethaneShare | None) -> GasLedger:
    """Turn a run's log of its holder into a gas ledger.

    Parameters
    ----------
    records : RunRecords
        The run's log.
    holder : Holder
        What the log's holder readings were taken at.
    methane : MethaneShare or None
        What is known of the gas.

    Raises
    ------
    InputError
        If a reading is impossible.
    """
    log = records.holder_log
    return build_ledger(
        holder,
        log.readings,
        log.events,
        barometer=records.barometer,
        headspace=records.headspace,
        instruments=log.instruments,
        methane_share=None if methane is None else methane.estimate,
        room_temperature=log.room,
    )


def _ledger(records: RunRecords, methane: MethaneShare | None) -> tuple[GasLedger | None, str]:
    log = records.holder_log
    if log.holder is None:
        return None, " ".join(log.notes) or "No gas holder is set up for this run."
    if not log.readings:
        return None, "The gas holder has not been read yet."
    try:
        ledger = ledger_of(records, log.holder, methane)
    except MarshlightError as error:
        return None, str(error)
    return ledger, ""
