"""A planned charge as data: amounts, limits, what binds, what to expect."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.decide.plan.limits import Aim
from marshlight.decide.plan.request import ChargeRequest
from marshlight.decide.safety import Caution
from marshlight.estimate import Estimate, Range
from marshlight.matter.mixing import Blend
from marshlight.process import CurvePrior


@dataclass(frozen=True)
class Amount:
    """How much of one lot, or of water, goes in.

    ``bulk_m3`` as heaped in the bucket [m3] and ``buckets``, None where the bulk density is not
    known; ``at_hand_kg`` None where there is no end to it; ``cost`` negative for a fee earned;
    ``cautions`` are the material's own sentences.
    """

    key: str
    name: str
    role: str
    mass_kg: float
    bulk_m3: float | None
    buckets: float | None
    at_hand_kg: float | None
    cost: float
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True)
class LimitResult:
    """Where the mix stands against one limit.

    ``low`` and ``high`` are the ends asked for, None where open; ``headroom`` is the distance to
    the nearer end as a share of that end, negative where the limit is missed; ``state`` is "kept",
    "binds" (it holds the mix back) or "missed".
    """

    key: str
    name: str
    meaning: str
    unit: str
    value: float
    low: float | None
    high: float | None
    headroom: float
    state: str
    sentence: str
    source_low: str
    source_high: str

    @property
    def binds(self) -> bool:
        """Say whether the limit holds the mix back."""
        return self.state == "binds"


@dataclass(frozen=True)
class Relaxation:
    """What moving one end of one limit would give: solved again, and foretold from its price.

    ``gain`` in the aim's unit and ``gain_share`` of the plan's value; ``foretold`` is what the
    limit's price alone says, which holds for small moves.
    """

    key: str
    side: str
    value: float
    relaxed_to: float
    gain: float
    gain_share: float
    foretold: float
    sentence: str


@dataclass(frozen=True)
class Expectation:
    """What the charge should do; ranges reach from a slow to a fast start.

    Gas is dry, at 0 degC and 101.325 kPa. ``rate_per_d`` is first order at the slurry's
    temperature; ``flame_day`` may be infinite at its slow end. ``basis`` says what it rests on.
    """

    methane_m3: Estimate
    biogas_m3: Estimate
    methane_share: Estimate
    rate_per_d: Estimate
    lag_d: Estimate
    first_gas_day: Range
    flame_day: Range
    best_day: Range
    best_day_biogas_m3: Range
    gas_space_m3: float
    holder_fills_on_best_day: float | None
    basis: str
    sentences: tuple[str, ...]

    def curve_prior(self) -> CurvePrior:
        """Give what a forecast of cumulative biogas starts from."""
        return CurvePrior(self.biogas_m3, self.rate_per_d, self.lag_d)


@dataclass(frozen=True)
class Step:
    """One step of the work, its reason and the cautions that arise with it."""

    key: str
    text: str
    why: str
    cautions: tuple[Caution, ...]


@dataclass(frozen=True)
class ChargePlan:
    """A charge: what goes in, what holds it back, what comes of it.

    ``feasible`` is False where a firm limit had to be stretched: then ``conflicts`` names the
    limits that cannot be kept together and the amounts are those of the nearest mix.
    ``expected`` is None where a lot's methane potential is not known.
    """

    request: ChargeRequest
    aim: Aim
    feasible: bool
    sentence: str
    amounts: tuple[Amount, ...]
    blend: Blend
    slurry_m3: Estimate
    gas_space_m3: float
    limits: tuple[LimitResult, ...]
    relaxations: tuple[Relaxation, ...]
    conflicts: tuple[str, ...]
    conflict_sentence: str
    notes: tuple[str, ...]
    expected: Expectation | None
    water_c: float | None
    steps: tuple[Step, ...]
    cautions: tuple[Caution, ...]
    cost: float
    temperature_factor: float

    @property
    def water_kg(self) -> float:
        """Give the water added [kg]."""
        return self.blend.water_kg

    @property
    def binding(self) -> tuple[LimitResult, ...]:
        """Give the limits that hold the mix back."""
        return tuple(limit for limit in self.limits if limit.binds)

    @property
    def by_limit(self) -> Mapping[str, LimitResult]:
        """Give the limits by key."""
        return {limit.key: limit for limit in self.limits}

    @property
    def sources(self) -> tuple[str, ...]:
        """List the keys of every source used, each once."""
        keys = [key for limit in self.limits for key in (limit.source_low, limit.source_high)]
        keys += [caution.source for caution in self.cautions]
        for part in self.blend.parts:
            keys += part.feedstock.sources
        return tuple(dict.fromkeys(key for key in keys if key))
