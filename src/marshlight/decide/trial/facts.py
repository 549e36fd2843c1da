"""What a trial is asked about, and the whole answer."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from marshlight.decide.trial.bottles import Bottle
from marshlight.decide.trial.bucket import BucketGas
from marshlight.decide.trial.comparing import Contrast
from marshlight.decide.trial.criteria import Criterion, Known
from marshlight.decide.trial.flags import Flag
from marshlight.decide.trial.kinetics import BottleKinetics
from marshlight.decide.trial.mixture import Synergy
from marshlight.decide.trial.pooled_kinetics import GroupKinetics
from marshlight.decide.trial.potential import InoculumGas, Potential
from marshlight.decide.trial.robust import Shuffled
from marshlight.decide.trial.stopping import Stopping
from marshlight.estimate import Estimate


@dataclass(frozen=True)
class TrialFacts:
    """A trial's bottles and what is known beside them.

    ``theory`` is the methane a material could give at most [m3/kg VS]; ``mixtures`` maps a
    mixture to its parts and their shares of its VS; ``bulk_density`` is how a material fills a
    bucket [kg fresh/m3]; ``left_out`` are labels that a person left out on purpose, with the
    reason.
    """

    bottles: tuple[Bottle, ...]
    theory: Mapping[str, float] = field(default_factory=dict)
    mixtures: Mapping[str, Mapping[str, float]] = field(default_factory=dict)
    bulk_density: Mapping[str, Estimate] = field(default_factory=dict)
    left_out: Mapping[str, str] = field(default_factory=dict)
    known: Known | None = None
    method: str = "welch_sidak"
    level: float = 0.95


@dataclass(frozen=True)
class Reckoning:
    """The figures from one choice of bottles."""

    labels: tuple[str, ...]
    inoculum: InoculumGas
    potentials: tuple[Potential, ...]
    contrasts: tuple[Contrast, ...]
    shuffled: tuple[Shuffled, ...]
    per_fresh: tuple[Contrast, ...]
    buckets: tuple[BucketGas, ...]
    per_bucket: tuple[Contrast, ...]
    synergies: tuple[Synergy, ...]
    sentence: str

    def of(self, group: str) -> Potential | None:
        """Find a material's potential."""
        return next((p for p in self.potentials if p.group == group), None)


@dataclass(frozen=True)
class TrialResult:
    """The answer: verdict, figures of all bottles, and without the flagged ones where any are."""

    day: float
    verdict: str
    standing: str
    result: Reckoning
    without_flagged: Reckoning | None
    criteria: tuple[Criterion, ...]
    flags: tuple[Flag, ...]
    stops: tuple[Stopping, ...]
    kinetics: tuple[BottleKinetics, ...]
    group_kinetics: tuple[GroupKinetics, ...]
    degradability: Mapping[str, float]
    smallest_seen: float | None
    net: Mapping[str, tuple[tuple[float, float], ...]]
    sources: tuple[str, ...]

    @property
    def accepted(self) -> bool:
        """Whether every required criterion that can be judged is met."""
        return all(c.met is not False for c in self.criteria if c.required)
