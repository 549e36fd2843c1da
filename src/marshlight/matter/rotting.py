"""What rotting takes from a feedstock, and what the rest then looks like."""

from collections.abc import Mapping
from dataclasses import dataclass

from marshlight.matter.feedstock import SPLIT, Feedstock
from marshlight.matter.macromolecules import MACROMOLECULES, METHANE_POTENTIAL

PROTEIN_PER_NITROGEN = 6.25
# The easily degraded pool is shared out over these; fibre goes by itself, lignin stays.
EASY_PARTS = ("carbohydrate", "protein", "lipid")


@dataclass(frozen=True)
class Loss:
    """Organic matter gone, per organic matter there was [kg/kg VS], and methane with it.

    ``easy`` and ``fibre`` add up to ``total``; ``methane`` is in m3 per kg VS there was.
    """

    easy: float
    fibre: float
    methane: float
    shares: Mapping[str, float]

    @property
    def total(self) -> float:
        """Give all organic matter gone [kg/kg VS]."""
        return self.easy + self.fibre

    def of(self, part: str) -> float:
        """Give how much of one part of the split is gone [kg/kg VS]."""
        return self.fibre if part == "fibre" else self.easy * self.shares.get(part, 0.0)

    @property
    def carbon(self) -> float:
        """Give the carbon gone [kg/kg VS], by the formulas of the model compounds."""
        return sum(MACROMOLECULES[p].elements.mass_fraction("C") * self.of(p) for p in SPLIT)


def value_or_zero(feedstock: Feedstock, name: str) -> float:
    """Give a property's value, nought where it is not known."""
    held = feedstock.get(name)
    return 0.0 if held is None else held.value


def loss(feedstock: Feedstock, *, easy_left: float, fibre_left: float) -> Loss:
    """Say what is gone when these shares of the easily degraded matter and the fibre are left.

    Parameters
    ----------
    feedstock : Feedstock
        As it was when fresh.
    easy_left, fibre_left : float
        Shares left [-], 0 to 1.

    Returns
    -------
    Loss
        Per kilogram of the volatile solids there were [kg/kg VS].

    Notes
    -----
    The easily degraded matter takes its theoretical methane with it, but never more than the
    potential holds; the fibre takes the rest of the potential in proportion, never more than
    cellulose can give.
    """
    held = {part: value_or_zero(feedstock, part) for part in EASY_PARTS}
    found = sum(held.values())
    # Without a known split the easily degraded matter is taken for carbohydrate.
    shares = {p: v / found for p, v in held.items()} if found > 0.0 else {"carbohydrate": 1.0}
    easy = value_or_zero(feedstock, "easily_degraded")
    easy = min(easy, found) if found > 0.0 else easy
    fibre = value_or_zero(feedstock, "fibre")
    potential = value_or_zero(feedstock, "methane_potential")
    of_easy = min(easy * sum(METHANE_POTENTIAL[p] * s for p, s in shares.items()), potential)
    of_fibre = min(potential - of_easy, fibre * METHANE_POTENTIAL["fibre"])
    return Loss(
        easy=easy * (1.0 - easy_left),
        fibre=fibre * (1.0 - fibre_left),
        methane=of_easy * (1.0 - easy_left) + of_fibre * (1.0 - fibre_left),
        shares=shares,
    )


def after(feedstock: Feedstock, name: str, gone: Loss, water_lost: float) -> float:
    """Give a property's value after the loss of organic matter and of a share of the water."""
    was = value_or_zero(feedstock, name)
    left = 1.0 - gone.total
    if left <= 0.0:
        return was
    if name in SPLIT:
        return max(0.0, was - gone.of(name)) / left
    if name == "easily_degraded":
        return max(0.0, was - gone.easy) / left
    if name == "methane_potential":
        return max(0.0, was - gone.methane) / left
    if name == "methanogenic_activity":
        return was / left
    return _by_mass(feedstock, name, gone, water_lost)


def _by_mass(feedstock: Feedstock, name: str, gone: Loss, water_lost: float) -> float:
    """Follow what is counted per dry or fresh mass: ash and minerals stay, ammonia dries off."""
    was = value_or_zero(feedstock, name)
    dry, organic = value_or_zero(feedstock, "TS"), value_or_zero(feedstock, "VS")
    solids_left = 1.0 - organic * gone.total
    mass_left = 1.0 - dry * organic * gone.total - water_lost * (1.0 - dry)
    if solids_left <= 0.0 or mass_left <= 0.0:
        return was
    freed = dry * organic * gone.of("protein") / PROTEIN_PER_NITROGEN
    ammonia = value_or_zero(feedstock, "TAN") + freed
    nitrogen = value_or_zero(feedstock, "TKN")
    kept = max(0.0, nitrogen - ammonia * water_lost / dry) if dry > 0.0 else nitrogen
    if name == "C_to_N":
        carbon = max(0.0, was * nitrogen - organic * gone.carbon)
        return carbon / kept if kept > 0.0 else was
    changed = {
        "TS": dry * solids_left / mass_left,
        "VS": organic * (1.0 - gone.total) / solids_left,
        "TKN": kept / solids_left,
        "TAN": ammonia * (1.0 - water_lost) / mass_left,
        "P": was / solids_left,
        "K": was / solids_left,
        "alkalinity": was / mass_left,
    }
    return changed.get(name, was)
