"""Designing a trial: what goes into each bottle, where it stands, and what it can show."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from marshlight.decide.trial.power import bottles_needed, smallest_difference
from marshlight.errors import require
from marshlight.estimate import Estimate

SLURRY_KG_M3 = 1000.0
_LEAST_VS_KG = 1e-3
_VS_PER_HEADSPACE = (3.0, 10.0)
# Half of what the draft protocol allows a pressure-rated bottle, as the rise of a whole day.
_MOST_RISE_KPA = 100.0
_MUCH_RISE_KPA = 30.0
# Pressure that one gas space of dry normal gas adds at 37 degC [kPa].
_KPA_PER_VOLUME = 101.325 * 310.15 / 273.15
# A bottle's scatter where nothing better is known: half of the accepted 6 % for the control.
USUAL_SCATTER = 0.05


@dataclass(frozen=True)
class Material:
    """A material to test: VS per fresh mass [1], potential [m3/kg VS], rate [1/d]."""

    name: str
    vs_per_fresh: float
    potential: Estimate
    rate_per_d: float
    methane_share: float = 0.55
    role: str = "sample"


@dataclass(frozen=True)
class Plan:
    """What is asked for.

    Volumes in m3; ``inoculum_vs`` is VS per fresh mass [1], ``inoculum_potential`` the methane
    a kilogram of it gives alone [m3/kg]; ``scatter`` the relative standard deviation of a
    bottle [1].
    """

    materials: tuple[Material, ...]
    bottle_m3: float
    headspace_share: float
    inoculum_vs: float
    inoculum_potential: Estimate
    ratio: float = 2.0
    replicates: int = 3
    blocks: int = 1
    scatter: float = USUAL_SCATTER


@dataclass(frozen=True)
class Filling:
    """What goes into each bottle of one kind [kg], and the gas to expect of it [m3]."""

    name: str
    role: str
    substrate_kg: float
    substrate_vs_kg: float
    inoculum_kg: float
    water_kg: float
    methane_m3: tuple[float, float]
    biogas_m3: float
    most_in_a_day_m3: float
    days: float
    recovered: float
    smallest_seen: float


@dataclass(frozen=True)
class Place:
    """One bottle's place: block and position in it, counted from 1."""

    block: int
    position: int
    label: str
    name: str
    role: str


@dataclass(frozen=True)
class Design:
    """A trial ready to be weighed in; ``smallest_relative`` can be shown with 80 % power [1]."""

    fillings: tuple[Filling, ...]
    places: tuple[Place, ...]
    inoculum_needed_kg: float
    headspace_m3: float
    days: float
    comparisons: int
    smallest_relative: float
    bottles_for_tenth: int | None
    warnings: tuple[str, ...] = field(default=())


def design_trial(plan: Plan, *, rng: np.random.Generator) -> Design:
    """Design a trial.

    Parameters
    ----------
    plan : Plan
        What is asked for.
    rng : numpy.random.Generator
        For the layout; the same seed gives the same layout.

    Returns
    -------
    Design
        Fillings, layout, days and power.

    Raises
    ------
    InputError
        If the plan can't be built.

    Notes
    -----
    Every bottle gets the same inoculum, so that the blanks stand for all; it is what the
    bulkiest material leaves room for, or less: substrate stays within 10 g VS per litre of gas
    space and within what raises a closed bottle by 100 kPa in its first day.  Water fills the
    rest.  Days are those after which a first-order material meets the 1 % rule,
    ln(1 + k / 0.01) / k, and three more; ``recovered`` is the share of its gas that has come by
    then.  Power is Welch's with Sidak over all pairs of samples.  Within a block every kind of
    bottle stands once as far as replicates allow, in random order.

    References
    ----------
    holliger_2020_requirements, bmp_protocol_draft, welch_1947
    """
    _check(plan)
    liquid_kg = plan.bottle_m3 * (1.0 - plan.headspace_share) * SLURRY_KG_M3
    # inoculum + substrate = liquid, substrate VS = inoculum VS / ratio
    per_inoculum = [plan.inoculum_vs / plan.ratio / m.vs_per_fresh for m in plan.materials]
    headspace = plan.bottle_m3 * plan.headspace_share
    inoculum = min(
        liquid_kg / (1.0 + max(per_inoculum)),
        _most_vs_kg(plan, headspace) * plan.ratio / plan.inoculum_vs,
    )
    samples = [m for m in plan.materials if m.role == "sample"]
    comparisons = max(1, len(samples) * (len(samples) - 1) // 2)
    seen = smallest_difference(plan.scatter, plan.replicates, of=comparisons)
    fillings = [_blank(plan, inoculum, liquid_kg)]
    fillings += [
        _filling(plan, m, (inoculum, inoculum * share), liquid_kg, seen)
        for m, share in zip(plan.materials, per_inoculum, strict=True)
    ]
    try:
        for_tenth: int | None = bottles_needed(0.10, plan.scatter, of=comparisons)
    except ValueError:
        for_tenth = None
    return Design(
        tuple(fillings),
        layout([(f.name, f.role) for f in fillings], plan.replicates, plan.blocks, rng=rng),
        inoculum * plan.replicates * len(fillings),
        headspace,
        max(f.days for f in fillings),
        comparisons,
        seen,
        for_tenth,
        tuple(_warnings(plan, fillings, headspace)),
    )


def _most_vs_kg(plan: Plan, headspace_m3: float) -> float:
    """Most substrate VS in a bottle for its gas space, and for the fastest material's first day."""
    most = _VS_PER_HEADSPACE[1] * headspace_m3
    for m in plan.materials:
        first_day = m.potential.value / m.methane_share * -float(np.expm1(-m.rate_per_d))
        most = min(most, _MOST_RISE_KPA * headspace_m3 / (first_day * _KPA_PER_VOLUME))
    return most


def _check(plan: Plan) -> None:
    require(
        bool(plan.materials),
        field="materials",
        value=0,
        allowed="one or more",
        remedy="Say what is to be tested",
    )
    require(
        2 <= plan.replicates <= 20,
        field="bottles of each kind",
        value=plan.replicates,
        allowed="2 to 20; 3 to be accepted",
        remedy="Plan three or more",
    )
    require(
        1 <= plan.blocks <= plan.replicates,
        field="blocks",
        value=plan.blocks,
        allowed="1 up to the bottles of each kind",
        remedy="Plan at most as many blocks as replicates",
    )
    require(
        0.1 <= plan.headspace_share <= 0.9 and plan.bottle_m3 > 0.0,
        field="gas space",
        value=plan.headspace_share,
        allowed="10 to 90 % of the bottle",
        remedy="Leave room for gas and for slurry",
    )
    for name, value in (
        ("VS of the inoculum", plan.inoculum_vs),
        *((f"VS of {m.name}", m.vs_per_fresh) for m in plan.materials),
    ):
        require(
            0.0 < value <= 1.0,
            field=name,
            value=value,
            allowed="above 0, up to 100 % of fresh mass",
            remedy="Measure TS and VS first",
        )
    require(
        0.1 <= plan.ratio <= 10.0,
        field="inoculum to substrate",
        value=plan.ratio,
        allowed="0.1 to 10; usually 2",
        remedy="Choose a ratio by VS",
    )


def _blank(plan: Plan, inoculum_kg: float, liquid_kg: float) -> Filling:
    low, high = plan.inoculum_potential.interval()
    gas = plan.inoculum_potential.value * inoculum_kg
    water = liquid_kg - inoculum_kg
    range_m3 = (max(low, 0.0) * inoculum_kg, high * inoculum_kg)
    return Filling(
        "blank",
        "blank",
        0.0,
        0.0,
        inoculum_kg,
        water,
        range_m3,
        gas / 0.6,
        0.1 * gas,
        0.0,
        1.0,
        0.0,
    )


def _filling(
    plan: Plan,
    material: Material,
    masses_kg: tuple[float, float],
    liquid_kg: float,
    seen: float,
) -> Filling:
    inoculum_kg, substrate_kg = masses_kg
    vs = substrate_kg * material.vs_per_fresh
    low, high = material.potential.interval()
    own = (plan.inoculum_potential.interval()[0], plan.inoculum_potential.interval()[1])
    k = material.rate_per_d
    end = float(np.log1p(k / 0.01) / k)
    biogas = material.potential.value * vs / material.methane_share
    return Filling(
        material.name,
        material.role,
        substrate_kg,
        vs,
        inoculum_kg,
        liquid_kg - inoculum_kg - substrate_kg,
        (max(low, 0.0) * vs + max(own[0], 0.0) * inoculum_kg, high * vs + own[1] * inoculum_kg),
        biogas + plan.inoculum_potential.value * inoculum_kg / 0.6,
        biogas * -float(np.expm1(-k)),
        end + 3.0,
        -float(np.expm1(-k * (end + 3.0))),
        seen * material.potential.value,
    )


def _warnings(plan: Plan, fillings: Sequence[Filling], headspace_m3: float) -> list[str]:
    found = []
    if plan.replicates < 3:
        found.append("Two bottles of a kind can't be validated; three is the least.")
    if not any(f.role == "control" for f in fillings):
        found.append("Without a cellulose control nobody can tell whether the figures are right.")
    if not 1.0 <= plan.ratio <= 4.0:
        found.append("Inoculum to substrate by VS is usually 2: 1 for slow, up to 4 for fast.")
    low, high = _VS_PER_HEADSPACE
    for f in fillings:
        if f.role == "blank":
            continue
        if f.substrate_vs_kg < _LEAST_VS_KG:
            found.append(f"{f.name}: only {f.substrate_vs_kg * 1e3:.2f} g VS; 1 g is the least.")
        if not low <= f.substrate_vs_kg / headspace_m3 <= high:
            found.append(
                f"{f.name}: {f.substrate_vs_kg / headspace_m3:.1f} g VS per litre of gas space; "
                f"{low:.0f} to {high:.0f} is usual."
            )
        rise = f.most_in_a_day_m3 / headspace_m3 * _KPA_PER_VOLUME
        if rise > _MUCH_RISE_KPA:
            found.append(
                f"{f.name}: a closed bottle could gain about {rise:.0f} kPa in its first day. "
                "Let gas off morning, noon and evening in the first days, or catch it outside "
                "the bottle."
            )
    return found


def layout(
    kinds: Sequence[tuple[str, str]], replicates: int, blocks: int, *, rng: np.random.Generator
) -> tuple[Place, ...]:
    """Give every bottle a place at random within blocks.

    Parameters
    ----------
    kinds : sequence of (str, str)
        Name and role of each kind of bottle.
    replicates : int
        Bottles of each kind.
    blocks : int
        Shelves, baths or days that differ.
    rng : numpy.random.Generator
        The random stream.

    Returns
    -------
    tuple of Place
        In order of block and position; every kind is spread evenly over the blocks.
    """
    placed: list[Place] = []
    for block in range(blocks):
        here = [
            (f"{name} {i + 1}", name, role)
            for name, role in kinds
            for i in range(replicates)
            if i % blocks == block
        ]
        for position, index in enumerate(rng.permutation(len(here)), start=1):
            label, name, role = here[int(index)]
            placed.append(Place(block + 1, position, label, name, role))
    return tuple(placed)
