"""What is dangerous in a heater as described: refused or warned of, with the reason."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from marshlight.apparatus.heat.balance import Flows, Outside, Settled, settle
from marshlight.apparatus.heat.body import Body
from marshlight.apparatus.heat.heater import Heater
from marshlight.errors import FitError, InputError

# Always on, the heater must not get the vessel hotter than this (source `thermostat_sticks`).
HOTTEST_SAFE_C = 60.0
# Above this microbes kept near body heat die (as in `temperature_factor`: no rate at 50 degC).
HOTTEST_LIVING_C = 45.0
SAFEGUARDS: Mapping[str, str] = MappingProxyType(
    {
        "yes": "behind a residual-current device, made for wet use",
        "no": "no residual-current device",
        "unknown": "not known",
        "low_voltage": "safety extra-low voltage (battery or safety transformer)",
    }
)


@dataclass(frozen=True)
class Danger:
    """One danger: a key, whether it is refused, what it is, why, who to ask, and its source."""

    key: str
    refused: bool
    text: str
    why: str
    ask: str
    source: str


_NO_RCD = Danger(
    "mains_without_residual_current_device",
    True,
    "Not like this: mains heat at a wet vessel without a residual-current device can kill. "
    "No heating figures are given for it.",
    "Slurry, wet hands and a wet floor carry current; a fuse does not react to what stops a heart.",
    "a licensed electrician",
    "practice_mains_wet",
)
_IMPROVISED = Danger(
    "improvised_immersion_heater",
    True,
    "Never put a heater into slurry that is not made and sold for being immersed: no kettle "
    "element, lamp, bare wire or taped-up mat. No heating figures are given for it.",
    "It puts mains voltage into the slurry, and a dry or crusted element gets red hot beside "
    "explosive gas.",
    "a licensed electrician",
    "practice_mains_wet",
)


def dangers_of(
    body: Body,
    heater: Heater,
    hottest_outside: Outside,
    *,
    safeguard: str = "unknown",
    made_for_liquids: bool = True,
    cut_out: bool = False,
    flows: Flows | None = None,
) -> tuple[Danger, ...]:
    """Return what is dangerous about a heater on a vessel, gravest first.

    Parameters
    ----------
    body : Body
        The vessel, laid out for the heater's place.
    heater : Heater
        As described.
    hottest_outside : Outside
        The warmest it gets around the vessel.
    safeguard : str
        A key of ``SAFEGUARDS``.
    made_for_liquids : bool
        Whether a heater in the slurry is made and sold for being immersed.
    cut_out : bool
        Whether a second, independent cut-out is fitted that needs a hand to reset.
    flows : Flows, optional
        Feed and gas.

    Returns
    -------
    tuple of Danger
        Refusals first; empty if there is nothing to say.

    Raises
    ------
    InputError
        If the safeguard is unknown.

    References
    ----------
    thermostat_sticks; practice_mains_wet; scald_60.
    """
    of_supply = dangers_of_supply(heater, safeguard=safeguard, made_for_liquids=made_for_liquids)
    hot = _too_hot(body, heater, hottest_outside, flows, cut_out=cut_out)
    return tuple(sorted((*of_supply, *hot), key=lambda danger: not danger.refused))


def dangers_of_supply(
    heater: Heater, *, safeguard: str = "unknown", made_for_liquids: bool = True
) -> tuple[Danger, ...]:
    """Return what is dangerous about a heater whatever it warms: all of it is refused.

    Parameters
    ----------
    heater : Heater
        As described.
    safeguard : str
        A key of ``SAFEGUARDS``.
    made_for_liquids : bool
        Whether a heater in the slurry is made and sold for being immersed.

    Returns
    -------
    tuple of Danger
        Empty if there is nothing to say.

    Raises
    ------
    InputError
        If the safeguard is unknown.

    References
    ----------
    practice_mains_wet; thermostat_sticks.

    Examples
    --------
    >>> from marshlight.apparatus.heat import Heater
    >>> [d.key for d in dangers_of_supply(Heater("cable", 40.0, 37.0), safeguard="no")]
    ['mains_without_residual_current_device']
    """
    if safeguard not in SAFEGUARDS:
        raise InputError(
            "protection of the mains", safeguard, ", ".join(SAFEGUARDS), "Choose what is there"
        )
    found = []
    if heater.electric and heater.kind == "immersed" and not made_for_liquids:
        found.append(_IMPROVISED)
    if heater.electric and safeguard == "no":
        found.append(_NO_RCD)
    wanted = heater.set_point_c
    if wanted is not None and wanted > HOTTEST_SAFE_C:
        found.append(
            Danger(
                "set_point_too_high",
                True,
                f"A set point of {wanted:.1f} degC is refused: no digester is kept above "
                f"{HOTTEST_SAFE_C:.0f} degC.",
                "The microbes die, the vessel scalds and plastic softens. It does not make the "
                "slurry safe to spread either.",
                "someone who runs a hot digester",
                "thermostat_sticks",
            )
        )
    return tuple(found)


def _too_hot(
    body: Body, heater: Heater, outside: Outside, flows: Flows | None, *, cut_out: bool
) -> list[Danger]:
    found: list[Danger] = []
    if heater.kind in ("none", "sun"):
        return found
    try:
        stuck = settle(body, heater.always_on(), outside, flows)
    except FitError:
        stuck = None
    end = math.inf if stuck is None else stuck.slurry_c
    if end > HOTTEST_SAFE_C:
        found.append(_runaway(end, regulated=heater.regulated, cut_out=cut_out))
    elif not heater.regulated and end > HOTTEST_LIVING_C:
        found.append(
            Danger(
                "too_hot_for_microbes",
                False,
                f"Unregulated, it settles at {end:.0f} degC in warm surroundings: too hot for "
                "microbes kept near body heat. Use a thermostat or a weaker heater.",
                "Above about 45 degC they die within hours and the gas stops.",
                "",
                "thermostat_sticks",
            )
        )
    if stuck is not None and end <= HOTTEST_SAFE_C:
        found += _hot_spot(stuck)
    return found


def _runaway(end_c: float, *, regulated: bool, cut_out: bool) -> Danger:
    reaches = "boils" if end_c >= 100.0 else f"reaches {end_c:.0f} degC"
    if regulated and cut_out:
        text = (
            f"If the thermostat sticks, only the second cut-out stops the vessel, which {reaches} "
            "without it: see that it trips before you rely on it, and never bridge it."
        )
    elif regulated:
        text = (
            f"If the thermostat sticks, the vessel {reaches}. Fit a second, separate cut-out that "
            f"cannot reset itself, or a weaker heater that stays below {HOTTEST_SAFE_C:.0f} degC "
            "when it is always on."
        )
    else:
        text = (
            f"Never run this heater without a thermostat: the vessel {reaches}. "
            "Use a thermostat with a separate cut-out, or a weaker heater."
        )
    return Danger(
        "stuck_thermostat" if regulated else "runaway",
        not regulated,
        text,
        "Thermostats stick. Above 60 degC water scalds within seconds, plastic softens and lets go "
        "of slurry and gas; a boiling vessel bursts its seal.",
        "a licensed electrician",
        "thermostat_sticks",
    )


def _hot_spot(stuck: Settled) -> list[Danger]:
    if stuck.hottest_c <= HOTTEST_SAFE_C:
        return []
    return [
        Danger(
            "hot_spot",
            False,
            f"The wall at the heater gets to {stuck.hottest_c:.0f} degC while it is on: spread the "
            "heat over more wall, or use a weaker heater.",
            "Slurry bakes on and insulates, so the spot gets hotter still; plastic softens. Where "
            "no slurry stands behind the wall it is hotter than this.",
            "the maker of vessel and heater",
            "scald_60",
        )
    ]
