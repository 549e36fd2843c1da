"""Acceptance: each published criterion with the trial's own figure, and what it means."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from marshlight.decide.trial.bottles import Bottle
from marshlight.decide.trial.potential import InoculumGas, Potential
from marshlight.decide.trial.stopping import Stopping

CONTROL_LOW, CONTROL_HIGH = 0.340, 0.395
MOST_RSD = 0.06
FEWEST = 3
MOST_BLANK_SHARE = 0.40
ISR_LOW, ISR_HIGH = 1.0, 4.0
LEAST_VS_KG = 1e-3
PH_LOW, PH_HIGH = 7.0, 8.5
LEAST_ALKALINITY = 3.0
_REQUIRED = "holliger_2020_requirements"
_ADVISED = "bmp_protocol_draft"


@dataclass(frozen=True)
class Criterion:
    """One line of the list; ``met`` is None where the notebook does not know."""

    key: str
    words: str
    found: str
    wanted: str
    met: bool | None
    meaning: str
    source: str
    required: bool = True


@dataclass(frozen=True)
class Known:
    """What is known beside the readings; None where it isn't.

    ``inoculum_alkalinity`` in kg CaCO3/m3; ``solids`` tells how often TS and VS of each material
    were measured, ``solids_measured``, where only that is known, of the one measured least.
    """

    inoculum_ph: float | None = None
    inoculum_alkalinity: float | None = None
    solids_measured: int | None = None
    solids: Mapping[str, int] = field(default_factory=dict)
    leaks: Mapping[str, float] = field(default_factory=dict)


def nml(value_m3_per_kg: float) -> str:
    """Write a potential as NmL/g VS without its unit."""
    return f"{value_m3_per_kg * 1e3:.0f}"


def criteria(
    bottles: Sequence[Bottle],
    inoculum: InoculumGas,
    potentials: Sequence[Potential],
    stops: Sequence[Stopping],
    *,
    known: Known | None = None,
) -> tuple[Criterion, ...]:
    """Hold a trial against the published criteria.

    Parameters
    ----------
    bottles : sequence of Bottle
        All of the trial.
    inoculum : InoculumGas
        From the blanks.
    potentials : sequence of Potential
        One for each material.
    stops : sequence of Stopping
        One for each bottle that is not a blank.
    known : Known, optional
        What else is known.

    Returns
    -------
    tuple of Criterion
        Required ones first, each with its figure.

    References
    ----------
    holliger_2020_requirements, hafner_2020_validation, bmp_protocol_draft
    """
    said = known or Known()
    controls = [p for p in potentials if p.role == "control"]
    return (
        _replicates(inoculum, potentials),
        _control_mean(controls),
        _control_scatter(controls),
        _ended(stops),
        _blanks_as_long(bottles),
        _solids(said),
        _leaks(said),
        _blank_share(controls, inoculum),
        _ratio(bottles),
        _enough_vs(bottles),
        _inoculum_health(said),
    )


def _replicates(inoculum: InoculumGas, potentials: Sequence[Potential]) -> Criterion:
    counts = {"blanks": inoculum.n} | {p.group: p.n for p in potentials}
    few = [f"{name} {n}" for name, n in counts.items() if n < FEWEST]
    least = min(counts.values())
    return Criterion(
        "replicates",
        "bottles of each kind",
        f"at least {least}" if not few else f"only {', '.join(few)}",
        f"{FEWEST} or more of blanks, control and each material",
        not few,
        "Fewer than three bottles can't show their own scatter well enough to be validated.",
        _REQUIRED,
    )


def _control_mean(controls: Sequence[Potential]) -> Criterion:
    wanted = f"{nml(CONTROL_LOW)} to {nml(CONTROL_HIGH)} NmL/g VS"
    meaning = (
        "The control tells whether inoculum, weighing, gas measurement and sums are right: "
        "outside the range every potential of this trial is in doubt, not only the control's."
    )
    if not controls:
        return Criterion(
            "control_mean", "cellulose control", "no control was run", wanted, False, meaning,
            _REQUIRED,
        )  # fmt: skip
    outside = [p for p in controls if not CONTROL_LOW <= p.mean <= CONTROL_HIGH]
    found = ", ".join(f"{p.mean * 1e3:.1f} NmL/g VS" for p in controls)
    return Criterion(
        "control_mean", "cellulose control", found, wanted, not outside, meaning, _REQUIRED
    )


def _control_scatter(controls: Sequence[Potential]) -> Criterion:
    worst = max((p.rsd for p in controls), default=None)
    return Criterion(
        "control_scatter",
        "scatter of the control, blanks included",
        "no control was run" if worst is None else f"{worst * 100:.1f} %",
        f"at most {MOST_RSD * 100:.0f} %",
        worst is not None and worst <= MOST_RSD + 1e-12,
        "Bottles that should agree don't: look for leaks, poor mixing and weighing.",
        _REQUIRED,
    )


def _ended(stops: Sequence[Stopping]) -> Criterion:
    running = [s.label for s in stops if s.met_on is None]
    days = [s.met_on for s in stops if s.met_on is not None]
    found = (
        f"not yet: {', '.join(running)}" if running else f"met on day {max(days, default=0.0):.0f}"
    )
    return Criterion(
        "duration",
        "methane of a day below 1 % of all for three days",
        found,
        "met by the slowest bottle",
        not running,
        "Stopped before, slow materials come out too low and fast ones look better than they are.",
        _REQUIRED,
    )


def _blanks_as_long(bottles: Sequence[Bottle]) -> Criterion:
    blanks = [b.last_day for b in bottles if b.role == "blank"]
    others = [b.last_day for b in bottles if b.role != "blank"]
    met = bool(blanks and others) and min(blanks) >= max(others) - 0.5
    found = (
        f"blanks to day {min(blanks, default=0.0):.0f}, others to {max(others, default=0.0):.0f}"
    )
    return Criterion(
        "blanks_as_long",
        "blanks read as long as the last bottle",
        found,
        "the same last day",
        met,
        "The inoculum's own gas must be taken off at the same time for every bottle.",
        _REQUIRED,
    )


def _solids(known: Known) -> Criterion:
    n = min(known.solids.values()) if known.solids else known.solids_measured
    found = "not known" if n is None else f"{n} times"
    if known.solids:
        found = ", ".join(f"{name} {times}" for name, times in known.solids.items())
    return Criterion(
        "solids",
        "TS and VS measured in triplicate",
        found,
        "three times, inoculum and every material",
        None if n is None else n >= FEWEST,
        "An error in VS is an error of the same size in the potential.",
        _REQUIRED,
    )


def _leaks(known: Known) -> Criterion:
    worst = max(known.leaks, key=lambda k: known.leaks[k], default="")
    return Criterion(
        "leaks",
        "bottles that kept their gas",
        f"{worst}: about {known.leaks[worst] * 100:.0f} % of its later gas"
        if worst
        else "no leak seen",
        "less than 20 % lost",
        not any(lost > 0.2 for lost in known.leaks.values()),
        "A bottle that lost more than a fifth of its gas is to be left out, and said to be.",
        "hafner_2018_leakage",
    )


def _blank_share(controls: Sequence[Potential], inoculum: InoculumGas) -> Criterion:
    shares = [b.inoculum_m3 / b.gross_m3 for p in controls for b in p.bottles if b.gross_m3 > 0.0]
    worst = max(shares, default=None)
    return Criterion(
        "blank_share",
        "inoculum's share of the control's gas",
        "not known" if worst is None else f"{worst * 100:.0f} %",
        f"below {MOST_BLANK_SHARE * 100:.0f} %",
        None if worst is None else worst < MOST_BLANK_SHARE,
        "Much gas of the inoculum's own hides the material's; let it stand warm for longer first.",
        _ADVISED,
        required=False,
    )


def _ratio(bottles: Sequence[Bottle]) -> Criterion:
    ratios = [
        b.inoculum_vs_kg / b.vs_kg for b in bottles if b.vs_kg > 0.0 and b.inoculum_vs_kg > 0.0
    ]
    found = f"{min(ratios):.1f} to {max(ratios):.1f}" if ratios else "not known"
    met = all(ISR_LOW <= r <= ISR_HIGH for r in ratios) if ratios else None
    return Criterion(
        "ratio",
        "inoculum to substrate, by VS",
        found,
        "about 2; down to 1 for slow, up to 4 for fast materials",
        met,
        "Too little inoculum sours or starts late; too much hides the material's gas.",
        _ADVISED,
        required=False,
    )


def _enough_vs(bottles: Sequence[Bottle]) -> Criterion:
    least = min((b.vs_kg for b in bottles if b.role != "blank"), default=None)
    return Criterion(
        "enough_vs",
        "substrate VS in a bottle",
        "not known" if least is None else f"at least {least * 1e3:.2f} g",
        "1 g or more",
        None if least is None else least >= LEAST_VS_KG - 1e-12,
        "Less than a gram is hard to weigh and to sample fairly.",
        _ADVISED,
        required=False,
    )


def _inoculum_health(known: Known) -> Criterion:
    ph, alkalinity = known.inoculum_ph, known.inoculum_alkalinity
    parts = [] if ph is None else [f"pH {ph:.1f}"]
    parts += [] if alkalinity is None else [f"alkalinity {alkalinity:.1f} g CaCO3/L"]
    well = [] if ph is None else [PH_LOW <= ph <= PH_HIGH]
    well += [] if alkalinity is None else [alkalinity >= LEAST_ALKALINITY]
    return Criterion(
        "inoculum_health",
        "inoculum's pH and buffer",
        ", ".join(parts) or "not known",
        "pH 7.0 to 8.5, alkalinity 3 g CaCO3/L or more",
        all(well) if well else None,
        "A weak inoculum sours with the first easy food.",
        _ADVISED,
        required=False,
    )
