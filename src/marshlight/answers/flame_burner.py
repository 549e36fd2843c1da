"""A new burner and a converted one, as sections of the flame answer."""

from marshlight.answers.asked import Asked
from marshlight.answers.flame_sketch import bore_words
from marshlight.answers.told import Figure, Section, figure
from marshlight.apparatus.burner import (
    BurnerDesign,
    Drill,
    Drills,
    burning,
    convert_burner,
    heat_input_w,
    nearest_drills,
    new_burner,
)
from marshlight.apparatus.burner.design import PORT_OVER_THROAT
from marshlight.matter.combustion import GasQuality
from marshlight.matter.fuels import FUELS
from marshlight.units import show

_LEAST_BURNING = 0.30
# Half of the air is drawn in beside the jet (source fulford_1996_memory).
_PRIMARY = 0.5


def burner_of(asked: Asked, gas: GasQuality) -> BurnerDesign | None:
    """Size a new burner; None for gas that holds no flame.

    Parameters
    ----------
    asked : Asked
        Flow, pressure and port.
    gas : GasQuality
        The gas.
    """
    if gas.methane < _LEAST_BURNING:
        return None
    return new_burner(
        asked.number("flow") / 24.0,
        pressure_kpa=asked.number("pressure"),
        relative_density=gas.relative_density,
        burning_m_s=burning(gas.methane).velocity_m_s,
        port_m=asked.number("port"),
        primary_air=_PRIMARY * gas.air_need_m3_m3,
    )


def new_burner_section(made: BurnerDesign | None, asked: Asked, gas: GasQuality) -> Section:
    """Tell a new burner's sizes, with the ports by both rules.

    Parameters
    ----------
    made : BurnerDesign or None
        From ``burner_of``.
    asked : Asked
        Flow, pressure and port.
    gas : GasQuality
        The gas.
    """
    if made is None:
        return Section(
            "A new burner",
            before=("Gas below 30 % methane holds no flame on a burner: none is sized for it.",),
        )
    speed = burning(gas.methane).velocity_m_s
    figures = (*_jet_and_throat(made, asked, gas), *_ports(made, speed))
    return Section("A new burner", figures, after=_clash(made, speed))


def _jet_and_throat(made: BurnerDesign, asked: Asked, gas: GasQuality) -> tuple[Figure, ...]:
    return (
        figure(
            "heat",
            show(heat_input_w(made.flow_m3_h, net_mj_m3=gas.net_as_is_mj_m3), "power"),
            f"of {show(asked.number('flow'), 'flow', unit='L/h')}",
            equation="gas × net heat",
            by="iso_6976_2016",
        ),
        figure(
            "jet",
            bore_words(made.jet_m),
            drill_words(nearest_drills(made.jet_m)),
            equation="Q = 0.0467 Cd A √(p/s)",
            by="fulford_1996 twist_drill_sizes",
        ),
        figure(
            "primary air",
            f"{made.primary_air:.1f} m³/m³",
            "about half of what it needs, drawn in beside the jet; the rest comes to the flame",
            equation="r = half of 2 x / 0.2095",
            by="fulford_1996_memory",
        ),
        figure(
            "throat",
            bore_words(made.throat_m),
            equation="d = d₀ (r/√s + 1)",
            by="fulford_1996_memory",
        ),
    )


def _ports(made: BurnerDesign, speed: float) -> tuple[Figure, ...]:
    """Give the ports by both rules."""
    few, many = made.ports_by_throat
    slow, fast = made.exit_speed_by_throat_m_s
    low, high = PORT_OVER_THROAT
    return (
        figure(
            f"ports of {bore_words(made.port_m)} by burning velocity",
            f"{made.ports_by_speed:.0f}",
            f"mixture leaves at {100 * speed:.0f} cm/s, as fast as it burns",
            equation="n = Qm / (v A)",
            by="flame_speed_computed",
        ),
        figure(
            f"ports of {bore_words(made.port_m)} by throat",
            f"{few:.0f} to {many:.0f}",
            f"area {low:g} to {high:g} times the throat's; the mixture leaves at"
            f" {slow:.1f} to {fast:.1f} m/s",
            equation="n = (1.5 to 2.2) throat / A",
            by="fulford_1996_memory",
        ),
    )


def _clash(made: BurnerDesign, speed: float) -> tuple[str, ...]:
    """Say how far the rules are apart, where they are."""
    if made.rules_agree:
        return ()
    slow, fast = made.exit_speed_by_throat_m_s
    low, high = PORT_OVER_THROAT
    sentence = (
        f"The two port rules do not agree: one asks {made.area_ratio:.0f} times the throat's"
        f" area, the other {low:g} to {high:g} times. By the throat rule the mixture leaves"
        f" {slow / speed:.0f} to {fast / speed:.0f} times faster than it burns, and the flame"
        " must be held by pilot ports, a lip or a pan close above. Neither is chosen here:"
        " begin with a burner that someone has seen work."
    )
    return (sentence,)


def conversion_section(asked: Asked, gas: GasQuality, system: str) -> Section:
    """Convert a burner made for bottled or natural gas.

    Parameters
    ----------
    asked : Asked
        Fuel, old jet and pressures.
    gas : GasQuality
        The biogas.
    system : str
        "metric" or "us".
    """
    fuel = str(asked.values["fuel"])
    before, jet = asked.values.get("made_for"), asked.values.get("jet")
    done = convert_burner(
        fuel, gas.methane, after_kpa=asked.number("pressure"), before_kpa=before, jet_m=jet
    )
    basis = "at the pressure given" if before is not None else "at the usual pressure for it"
    figures: list[Figure] = [
        figure(
            "new jet over old jet",
            f"{done.ratio:.2f}",
            f"by diameter, for the same heat, {basis}",
            equation="√(W₁/W₂) (p₁/p₂)^¼",
            by="iso_6976_2016 fulford_1996 practice_gas_pressure",
        )
    ]
    if done.drills is not None:
        figures.append(
            figure(
                "new jet",
                bore_words(done.drills.wanted_m),
                drill_words(done.drills),
                equation="nearest drills to d × ratio",
                by="twist_drill_sizes",
            )
        )
    figures.append(
        figure(
            "air it needs",
            f"{done.air_after:.1f} instead of {done.air_before:.1f} m³/m³",
            "close the shutter until the flame stands blue and still",
            equation="2 x / 0.2095, and the old gas's",
            by="iso_6976_2016 sasse_1991",
        )
    )
    return Section(
        f"A burner made for {FUELS[fuel].name.split(',')[0]}",
        tuple(figures),
        after=(
            "Biogas burns slower: the ports must be larger, or the flame held. A burner with a"
            " safety valve or regulator is a licensed gas fitter's to alter.",
        ),
    )


def drill_words(drills: Drills) -> str:
    """Name the nearest drill of each series with how far its hole is off.

    Examples
    --------
    >>> from marshlight.apparatus.burner import nearest_drills
    >>> drill_words(nearest_drills(2.0e-3))
    'drill 2 mm, no. 47 (1.99 mm), 5/64 in (1.98 mm)'
    """
    return "drill " + ", ".join(_one(drill, drills.wanted_m) for drill in drills.all)


def _one(drill: Drill, wanted_m: float) -> str:
    size = "" if drill.name.endswith("mm") else f" ({bore_words(drill.diameter_m)})"
    off = 100.0 * drill.off_by(wanted_m)
    return f"{drill.name}{size}" + (f", {abs(off):.0f} % {_way(off)} area" if abs(off) > 5 else "")


def _way(off: float) -> str:
    return "more" if off > 0.0 else "less"
