"""A new burner: jet, throat, primary air and ports, by two rules that do not agree."""

import math
from dataclasses import dataclass
from typing import ClassVar

from marshlight.apparatus.burner.jet import DISCHARGE, jet_diameter_m
from marshlight.errors import require

# Half of the air a 60 % gas needs, drawn in beside the jet (source fulford_1996_memory).
PRIMARY_AIR = 2.75
# Handbook rule: all ports together 1.5 to 2.2 times the throat (source fulford_1996_memory).
PORT_OVER_THROAT = (1.5, 2.2)


@dataclass(frozen=True)
class BurnerDesign:
    """Sizes of a burner, with the ports by both rules.

    Parameters
    ----------
    flow_m3_h : float
        Gas [m3/h].
    jet_m, throat_m : float
        Hole of the jet and bore of the mixing tube's narrowest part [m].
    primary_air : float
        Air drawn in per gas [m3/m3].
    mixture_m3_s : float
        Gas and primary air together [m3/s].
    port_m : float
        Bore of one port [m].
    ports_by_speed : float
        Ports needed for the mixture to leave no faster than it burns.
    ports_by_throat : tuple of float
        Fewest and most ports by the throat rule.
    area_ratio : float
        Port area by the speed rule over throat area [-].
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("fulford_1996", "fulford_1996_memory")

    flow_m3_h: float
    jet_m: float
    throat_m: float
    primary_air: float
    mixture_m3_s: float
    port_m: float
    ports_by_speed: float
    ports_by_throat: tuple[float, float]
    area_ratio: float

    @property
    def port_area_m2(self) -> float:
        """Area of all ports by the speed rule [m2]."""
        return self.ports_by_speed * _circle(self.port_m)

    @property
    def rules_agree(self) -> bool:
        """Say whether one number of ports suits both rules."""
        low, high = self.ports_by_throat
        return low <= self.ports_by_speed <= high

    @property
    def exit_speed_by_throat_m_s(self) -> tuple[float, float]:
        """Speeds at which the mixture leaves if the throat rule is followed [m/s]."""
        few, many = self.ports_by_throat
        area = _circle(self.port_m)
        return self.mixture_m3_s / (many * area), self.mixture_m3_s / (few * area)


def new_burner(
    flow_m3_h: float,
    *,
    pressure_kpa: float,
    relative_density: float,
    burning_m_s: float,
    port_m: float,
    primary_air: float = PRIMARY_AIR,
    discharge: float = DISCHARGE,
) -> BurnerDesign:
    """Size a new burner.

    Parameters
    ----------
    flow_m3_h : float
        Gas it is to take, above 0 [m3/h].
    pressure_kpa : float
        Gas pressure at the jet, above 0 to 10 [kPa].
    relative_density : float
        Density of the gas over that of air [-].
    burning_m_s : float
        Laminar burning velocity of the gas, 0.05 to 0.5 [m/s].
    port_m : float
        Bore of a port, 0.5e-3 to 10e-3 [m].
    primary_air : float
        Air drawn in per gas, 0 to 10 [m3/m3].
    discharge : float
        Discharge coefficient of the jet, above 0 to 1 [-].

    Returns
    -------
    BurnerDesign
        With the ports by both rules: they rarely agree, and none is chosen here.

    Raises
    ------
    InputError
        If an input lies outside its range.

    Notes
    -----
    Throat ``d_t = d_0 (r/sqrt(s) + 1)``. Speed rule: all ports pass the mixture at no more
    than the burning velocity, so that the flame neither lifts nor blows off without a
    flame holder. Throat rule: ports 1.5 to 2.2 times the throat. A burner by the throat
    rule blows its mixture out many times faster than it burns and needs a shape that
    holds the flame: pilot ports, a lip, a ring, a pan close above.

    References
    ----------
    fulford_1996; fulford_1996_memory.

    Examples
    --------
    >>> made = new_burner(0.45, pressure_kpa=1.0, relative_density=0.94, burning_m_s=0.25,
    ...                   port_m=5e-3)
    >>> round(made.throat_m * 1e3, 2), round(made.ports_by_speed), made.rules_agree
    (7.84, 95, False)
    """
    require(
        0.05 <= burning_m_s <= 0.5,
        field="burning_m_s",
        value=burning_m_s,
        allowed="0.05 to 0.5 m/s",
        remedy="Gas that burns slower than 5 cm/s holds no flame on a burner",
    )
    require(
        0.5e-3 <= port_m <= 10e-3 and 0.0 <= primary_air <= 10.0,
        field="port_m, primary_air",
        value=(port_m, primary_air),
        allowed="0.5 to 10 mm, and 0 to 10 m3 of air per m3 of gas",
        remedy="Check the units: ports are a few millimetres",
    )
    jet = jet_diameter_m(
        flow_m3_h,
        pressure_kpa=pressure_kpa,
        relative_density=relative_density,
        discharge=discharge,
    )
    throat = jet * (primary_air / math.sqrt(relative_density) + 1.0)
    mixture = flow_m3_h * (1.0 + primary_air) / 3600.0
    port, throat_area = _circle(port_m), _circle(throat)
    low, high = (ratio * throat_area / port for ratio in PORT_OVER_THROAT)
    by_speed = mixture / burning_m_s / port
    return BurnerDesign(
        flow_m3_h,
        jet,
        throat,
        primary_air,
        mixture,
        port_m,
        by_speed,
        (low, high),
        by_speed * port / throat_area,
    )


def _circle(diameter_m: float) -> float:
    return math.pi / 4.0 * diameter_m**2
