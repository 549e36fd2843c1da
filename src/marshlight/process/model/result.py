"""What came of a digester: gas volumes, shares, concentrations, balances."""

from dataclasses import dataclass

import numpy as np

from marshlight.process.model.kernel import Reals, contents, layout
from marshlight.process.model.liquid import MODEL
from marshlight.process.model.trace import Trace

NORMAL_M3_PER_KMOL = 22.414  # ideal, 0 degC, 101.325 kPa
# All gases above the liquid, in the model's order; a name list, so that importing needs no kernel.
GASES = ("hydrogen", "methane", "carbon_dioxide", "nitrogen", "oxygen", "sulfide")
BIOGAS = ("methane", "carbon_dioxide", "hydrogen", "sulfide")
NITROGEN_KG_PER_KMOL = 14.007


@dataclass(frozen=True)
class DigesterRun(Trace):
    """A run's curves over ``day``; names are those of the model's states and observables.

    Amounts are in the whole digester [kg COD or kmol]; gas volumes here are dry and normal.
    """

    settings: Reals
    start: Reals
    added: Reals

    def concentration(self, component: str) -> Reals:
        """Give a component of the liquid per volume [kg COD/m3 or kmol/m3]."""
        return self[component] / self["volume"]

    def given_off(self, gas: str) -> Reals:
        """Give how much of a gas has left the liquid since the charge [dry normal m3].

        What is in the gas space and what has left it, less what was there at first: the gas a
        perfect meter would have seen, however much of it was vented or used.
        """
        place = layout(MODEL).state_at
        first = self.start[place[f"gas_{gas}"]] + self.start[place[f"out_{gas}"]]
        left: Reals = (self[f"gas_{gas}"] + self[f"out_{gas}"] - first) * NORMAL_M3_PER_KMOL
        return left

    @property
    def methane_m3(self) -> Reals:
        """Give cumulative methane [dry normal m3]."""
        return self.given_off("methane")

    @property
    def biogas_m3(self) -> Reals:
        """Give cumulative gas from the liquid, air not counted [dry normal m3]."""
        whole: Reals = np.sum([self.given_off(gas) for gas in BIOGAS], axis=0)
        return whole

    def share(self, gas: str) -> Reals:
        """Give a gas's share of the dry gas above the liquid [m3/m3]."""
        return self[f"p_{gas}_bar"] / self["dry_pressure_bar"]

    @property
    def hydrogen_sulfide_ppm(self) -> Reals:
        """Give hydrogen sulfide in the dry gas [ppm by volume]."""
        return 1e6 * self.share("sulfide")

    @property
    def acids_kg_m3(self) -> Reals:
        """Give the volatile acids as acetic acid [kg/m3], each by its acid strength."""
        kmol = (
            self.concentration("acetate") / 64.0
            + self.concentration("propionate") / 112.0
            + self.concentration("butyrate") / 160.0
            + self.concentration("valerate") / 208.0
        )
        return 60.05 * kmol

    @property
    def ammonia_nitrogen_kg_m3(self) -> Reals:
        """Give total ammonia nitrogen [kg N/m3]."""
        return NITROGEN_KG_PER_KMOL * self.concentration("inorganic_nitrogen")

    @property
    def free_ammonia_nitrogen_kg_m3(self) -> Reals:
        """Give free ammonia nitrogen [kg N/m3]."""
        return NITROGEN_KG_PER_KMOL * self["ammonia"]

    @property
    def bicarbonate_alkalinity_kg_m3(self) -> Reals:
        """Give bicarbonate alkalinity [kg CaCO3/m3]."""
        return 50.043 * self["bicarbonate"]

    def first_day_with_methane(self, share: float = 0.5) -> float:
        """Give the first reported day on which methane reaches the share, or NaN.

        From about half on a flame usually holds (common practice, no source); whether gas burns
        safely depends on the air in it too: never judge that by this number.
        """
        reached = np.flatnonzero(self.share("methane") >= share)
        return float(self.day[reached[0]]) if reached.size else float("nan")

    def balance(self) -> dict[str, float]:
        """Tell for each conserved thing the largest gap of its balance, relative to its turnover.

        Returns
        -------
        dict
            ``cod``, ``carbon``, ``nitrogen``, ``sulfur``, ``volume`` and ``inert_gas`` (the air's
            nitrogen): held and gone by each day against start and added.
        """
        place = layout(MODEL)
        held = contents(MODEL, self.settings)
        out = np.array([self[f"out_{gas}"] for gas in place.gases])
        first_out = np.array([self.start[place.state_at[f"out_{g}"]] for g in place.gases])
        per_gas = np.array([held[:, place.state_at[f"gas_{gas}"]] for gas in place.gases])
        gaps: dict[str, float] = {}
        for row, element in enumerate(place.elements):
            gone = self[f"drained_{element}"] + per_gas[:, row] @ (out - first_out[:, None])
            given = held[row] @ self.start + self.added @ held[row]
            gaps[element] = _gap(self[f"held_{element}"] + gone, given)
        volume = place.state_at["volume"]
        given = self.start[volume] + self.added[:, volume]
        gaps["volume"] = _gap(self["volume"] + self["drained_volume"], given)
        return gaps


def _gap(found: Reals, wanted: Reals | float) -> float:
    scale = max(float(np.max(np.abs(wanted))), 1e-12)
    return float(np.max(np.abs(found - wanted)) / scale)
