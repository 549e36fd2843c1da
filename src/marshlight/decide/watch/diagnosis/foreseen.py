"""What the instruments would have shown in each life of a branch, and how likely the log is."""

from collections.abc import Callable, Mapping

import numpy as np
from scipy.special import logsumexp

from marshlight.decide.watch.calibration import STRAY_D, Read
from marshlight.decide.watch.calibration.counting import SWING
from marshlight.decide.watch.calibration.reading import ACIDS_TITRATED
from marshlight.decide.watch.diagnosis.branches import Branch
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
from marshlight.decide.watch.diagnosis.likelihood import GasDoubt, flame_log, gas_log, read_log
from marshlight.decide.watch.diagnosis.newest import Newest
from marshlight.process.model import DigesterRun
from marshlight.process.model.kernel import Reals, layout
from marshlight.process.model.liquid import CACO3_KG_PER_EQUIVALENT, MODEL

# How far a calibrated life strays from the digester beyond reading error, as an absolute part and
# a share of what is foreseen: source `diagnosis_misfit`. What lasts of it for pH and methane is in
# the lives already.
MISFIT: Mapping[str, tuple[float, float]] = {
    PH: (0.07, 0.0),
    METHANE: (0.02, 0.0),
    CARBON_DIOXIDE: (0.02, 0.0),
    OXYGEN: (0.004, 0.3),
    ACIDS: (0.3, 0.33),
    ALKALINITY: (0.3, 0.15),
    NITROGEN: (0.1, 0.15),
}
# From day to day and place to place a slurry's warmth swings by this much [K], our choice.
_SWING_K = 1.0
# A thermostat's habits are better known than the model's errors: shorter tails, our choice.
_WARMTH_FREEDOM = 12.0

# A loss or a layer may begin at any hour between two readings: tried from these shares of a stretch
# on, each standing for a third of it, which leaves this much open, standard. Our choice.
WITHIN = (0.0, 1.0 / 3.0, 2.0 / 3.0)
WITHIN_U = 1.0 / (3.0 * np.sqrt(12.0))

Shown = Mapping[str, Reals]


def shown_in(branch: Branch, seen: Newest) -> dict[str, Reals]:
    """Tell what every reading of the newest stretch would have been, shape (life, reading).

    Parameters
    ----------
    branch : Branch
        Lives run on under one supposition.
    seen : Newest
        What was read when.

    Returns
    -------
    dict of array
        By kind of reading, in its unit; for a flame test the share of methane.
    """
    run = branch.run
    curves: Mapping[str, Callable[[], Reals]] = {
        PH: lambda: run["pH"] + branch.lives.of("ph_bias")[:, None],
        METHANE: lambda: run.share("methane") + branch.lives.of("methane_bias")[:, None],
        CARBON_DIOXIDE: lambda: run.share("carbon_dioxide"),
        OXYGEN: lambda: run.share("oxygen"),
        ACIDS: lambda: run.acids_kg_m3,
        ALKALINITY: lambda: _titrated(run),
        NITROGEN: lambda: run.ammonia_nitrogen_kg_m3,
        WARMTH: lambda: np.broadcast_to(branch.warmth.celsius, run["pH"].shape),
    }
    found = {
        kind: curves[kind]()[:, np.searchsorted(run.day, read.day)]
        for kind, read in seen.reads.items()
    }
    if seen.gas is not None:
        ends = np.searchsorted(run.day, seen.gas.end_d)
        starts = np.searchsorted(run.day, seen.gas.start_d)
        found[GAS] = branch.gas_m3[:, ends] - branch.gas_m3[:, starts]
    if seen.flame:
        at = np.searchsorted(run.day, [day for day, _ in seen.flame])
        found[FLAME] = run.share("methane")[:, at]
    return found


def _titrated(run: DigesterRun) -> Reals:
    ions = sum(run[f"{a}_ion"] for a in ("acetate", "propionate", "butyrate", "valerate"))
    charge = run["bicarbonate"] + 2.0 * run["carbonate"] + run["ammonia"]
    return np.asarray(CACO3_KG_PER_EQUIVALENT * (charge + ACIDS_TITRATED * ions))


def doubt_of(branch: Branch, seen: Newest, slip: Reals | float, loose: Reals | float) -> GasDoubt:
    """Gas doubt of a branch's lives, with what an instrument may add [m3].

    Gas that the slurry takes up and gives back as its warmth swings looks like a slip: it is made
    up again.
    """
    lives = branch.lives
    swing = SWING * lives.states[:, layout(MODEL).state_at["volume"], None]
    return GasDoubt(
        stray=lives.of("stray"),
        at_first=lives.stray_now,
        since=seen.since,
        memory_d=STRAY_D,
        slip_m3=np.hypot(slip, swing),
        loose_m3=np.asarray(loose, dtype=np.float64),
    )


def logs_of(branch: Branch, shown: Shown, seen: Newest) -> dict[str, Reals]:
    """Log likelihood of each kind of reading in each life of a branch, shape (life,)."""
    found = {kind: one_log(kind, read, shown[kind]) for kind, read in seen.reads.items()}
    if WARMTH in seen.reads:
        found[WARMTH] = _warmth_log(branch, seen)
    if seen.gas is not None:
        found[GAS] = gas_log(seen.gas, shown[GAS], doubt_of(branch, seen, 0.0, 0.0))
    if seen.flame:
        found[FLAME] = flame_log(tuple(o for _, o in seen.flame), shown[FLAME])
    return found


def begun_within_log(
    branch: Branch, foreseen: Reals, before: Reals, seen: Newest, start: float
) -> Reals:
    """Log likelihood of counted gas in lives whose trouble began some time in a stretch.

    Parameters
    ----------
    branch : Branch
        Lives run on with the trouble from the stretch's beginning.
    foreseen, before : array, shape (life, stretch)
        What a holder would have shown with it, and without [m3].
    seen : Newest
        The newest stretch of the log.
    start : float
        When the trouble began in the branch [d].

    Returns
    -------
    array, shape (life,)
        Natural logarithm, the hour it began at left open.
    """
    gas = seen.gas
    assert gas is not None  # only asked where gas was counted
    begins = (gas.start_d <= start + 1e-6) & (start + 1e-6 < gas.end_d)
    spared = np.where(begins, before - foreseen, 0.0)
    each = np.stack([foreseen + share * spared for share in WITHIN])
    logs = gas_log(gas, each, doubt_of(branch, seen, 0.0, WITHIN_U * np.abs(spared)))
    return np.asarray(logsumexp(logs, axis=0) - np.log(len(WITHIN)))


def one_log(kind: str, read: Read, foreseen: Reals, slip: Reals | float = 0.0) -> Reals:
    """Log likelihood of readings of one kind other than gas, flame and warmth."""
    if kind == WARMTH:
        return np.zeros(foreseen.shape[:-1])
    absolute, relative = MISFIT[kind]
    return read_log(read, foreseen, absolute + relative * np.abs(foreseen), slip)


def _warmth_log(branch: Branch, seen: Newest) -> Reals:
    """How likely the thermometer's readings are beside the warmth a branch supposes."""
    read = seen.reads[WARMTH]
    at = np.searchsorted(branch.run.day, read.day)
    supposed, kept = branch.warmth.expected_c[at], branch.warmth.kept_k[at]
    log = read_log(read, supposed[None], kept, _SWING_K, freedom=_WARMTH_FREEDOM)
    return np.broadcast_to(log, (len(branch.lives),))
