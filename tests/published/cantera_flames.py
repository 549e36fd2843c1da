"""Flames worked out with Cantera and GRI-Mech 3.0: the tables in flame_speed.toml, and fresh ones.

Only tests ask it; `python -m published.cantera_flames` prints the table anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

STANDARD_K = 298.15
WIDTH_M = 0.06
RATIO, SLOPE, CURVE = 3.0, 0.05, 0.1
AIR = {"O2": 1.0, "N2": 3.76}
METHANE = (1.0, 0.9, 0.8, 0.7, 0.65, 0.6, 0.55, 0.5, 0.45, 0.4, 0.35, 0.3)
SHAPED = (1.0, 0.6, 0.5, 0.4)
LEANER, RICHER = (0.9, 0.8, 0.7), (1.05, 1.1, 1.2)
VAPOUR = (0.0231, 0.0555, 0.1)
WARM_K = (278.15, 308.15, 323.15)


@dataclass
class Flames:
    """One mechanism, asked again and again."""

    gas: Any = field(default=None)

    def __post_init__(self) -> None:
        """Load the mechanism."""
        import cantera as ct

        self.gas = ct.Solution("gri30.yaml")

    def set_mixture(
        self, methane: float, *, phi: float = 1.0, vapour: float = 0.0, kelvin: float = STANDARD_K
    ) -> None:
        """Set gas of a dry methane share, with a share of vapour in the moist gas, in air."""
        import cantera as ct

        fuel = {"CH4": methane * (1.0 - vapour), "CO2": (1.0 - methane) * (1.0 - vapour)}
        if vapour:
            fuel["H2O"] = vapour
        self.gas.set_equivalence_ratio(phi, fuel, AIR)
        self.gas.TP = kelvin, ct.one_atm

    def burning_velocity(self, methane: float, **state: float) -> float:
        """Return the laminar burning velocity, mixture-averaged transport [cm/s]."""
        self.set_mixture(methane, **state)
        return self._solve(self._flame(), auto=True)

    def velocities(self, methane: float, states: Sequence[dict[str, float]]) -> list[float]:
        """Return several velocities, each flame starting from the one before [cm/s]."""
        self.set_mixture(methane)
        flame = self._flame()
        self._solve(flame, auto=True)
        found = []
        for state in states:
            self.set_mixture(methane, **state)
            flame.inlet.T, flame.inlet.X = self.gas.T, self.gas.X
            found.append(self._solve(flame, auto=False))
        return found

    def _flame(self) -> Any:
        import cantera as ct

        flame = ct.FreeFlame(self.gas, width=WIDTH_M)
        flame.set_refine_criteria(ratio=RATIO, slope=SLOPE, curve=CURVE)
        flame.transport_model = "mixture-averaged"
        return flame

    def _solve(self, flame: Any, *, auto: bool) -> float:
        flame.solve(loglevel=0, auto=auto)
        return float(flame.velocity[0] * 100.0)

    def flame_temperature(self, methane: float, **state: float) -> float:
        """Return the adiabatic flame temperature at constant pressure [K]."""
        self.set_mixture(methane, **state)
        self.gas.equilibrate("HP")
        return float(self.gas.T)

    def mixture_temperature(self, methane: float, carbon_dioxide: float) -> float:
        """Return the flame temperature of shares of methane and carbon dioxide, rest air [K]."""
        import cantera as ct

        air = 1.0 - methane - carbon_dioxide
        shares = {"CH4": methane, "CO2": carbon_dioxide, "O2": air / 4.76, "N2": 3.76 * air / 4.76}
        self.gas.TPX = STANDARD_K, ct.one_atm, shares
        self.gas.equilibrate("HP")
        return float(self.gas.T)


def main() -> None:
    """Print every flame of the table."""
    flames = Flames()
    for methane in METHANE:
        speed = flames.burning_velocity(methane)
        hottest = flames.flame_temperature(methane)
        print(f"methane {methane}: {speed:.2f} cm/s, {hottest:.1f} K", flush=True)
    for methane in SHAPED:
        for row in (LEANER, RICHER):
            found = flames.velocities(methane, [{"phi": phi} for phi in row])
            print(methane, row, [round(v, 2) for v in found], flush=True)
    print("vapour", VAPOUR, flames.velocities(0.6, [{"vapour": v} for v in VAPOUR]), flush=True)
    print("kelvin", WARM_K, flames.velocities(0.6, [{"kelvin": k} for k in WARM_K]), flush=True)


if __name__ == "__main__":
    main()
