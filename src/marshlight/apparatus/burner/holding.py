"""Will a gas light and hold: bands by methane share, and the burning velocity behind them."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from marshlight.errors import InputError
from marshlight.matter.combustion import require_methane_share
from marshlight.matter.water import KELVIN
from marshlight.packaged import read_toml

# Bands of the dry methane share: a design choice between the sources, not a standard.
WEAK, MARGINAL, HOLDS = 0.40, 0.50, 0.55
# Below this share no mixture with air burns at all, by the wider envelope (safety.flammable).
FLOOR = 0.18
_TABLE = "flame_speed.toml"


@dataclass(frozen=True)
class Burning:
    """How a gas burns in the air it needs, from 298 K and 101.325 kPa.

    Parameters
    ----------
    velocity_m_s : float
        Laminar burning velocity at the richness asked [m/s].
    of_methane : float
        The same over that of pure, dry methane at 25 degC and a richness of 1 [-].
    flame_c : float
        Adiabatic flame temperature of the dry gas with just enough air [degC].
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("flame_speed_computed", "gri_mech_3")

    velocity_m_s: float
    of_methane: float
    flame_c: float


def burning(
    methane: float, *, richness: float = 1.0, vapour: float = 0.0, temperature_c: float = 25.0
) -> Burning:
    """Look up how a gas burns in the computed table.

    Parameters
    ----------
    methane : float
        Dry share of methane, 0.30 to 1 [m3/m3].
    richness : float
        Gas over what the air could burn, 0.7 to 1.2; other than 1 from 40 % methane up [-].
    vapour : float
        Water vapour in the moist gas, 0 to 0.10 [m3/m3].
    temperature_c : float
        Gas and air before burning, 5 to 50 [degC].

    Returns
    -------
    Burning
        Velocity [m/s] and flame temperature [degC].

    Raises
    ------
    InputError
        Outside the table.

    Notes
    -----
    Straight-line interpolation between computed flames (detailed methane kinetics,
    mixture-averaged transport). Vapour and temperature act as factors computed at 60 %
    methane. Computed, not measured: against experiment allow 2 cm/s.

    References
    ----------
    flame_speed_computed; gri_mech_3.

    Examples
    --------
    >>> round(burning(0.60).velocity_m_s * 100, 1)
    23.9
    """
    table = read_toml(_TABLE)
    shares = np.array(table["methane"])
    _within("methane", methane, shares[0], shares[-1])
    velocity = float(np.interp(methane, shares, np.array(table["velocity_cm_s"])))
    pure = float(table["velocity_cm_s"][-1])
    velocity *= _shape(table["shape"], methane, richness)
    for field, value, key in (("vapour", vapour, "share"), ("warmth", temperature_c, "celsius")):
        steps, factors = np.array(table[field][key]), np.array(table[field]["factor"])
        _within(field, value, steps[0], steps[-1])
        velocity *= float(np.interp(value, steps, factors))
    kelvin = float(np.interp(methane, shares, np.array(table["flame_k"])))
    return Burning(velocity / 100.0, velocity / pure, kelvin - KELVIN)


def _shape(rows: Mapping[str, Any], methane: float, richness: float) -> float:
    """Velocity over that with just enough air, between the rows of neighbouring shares."""
    if richness == 1.0:
        return 1.0
    shares, steps = np.array(rows["methane"]), np.array(rows["richness"])
    _within("methane, off just enough air", methane, shares[0], shares[-1])
    _within("richness", richness, steps[0], steps[-1])
    along = [float(np.interp(richness, steps, np.array(row))) for row in rows["factor"]]
    return float(np.interp(methane, shares, np.array(along)))


def _within(field: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise InputError(
            field, value, f"{low:g} to {high:g}", "The computed table of flames ends there"
        )


@dataclass(frozen=True)
class Outlook:
    """What to expect of a flame.

    ``word`` is "no", "weak", "marginal" or "yes"; ``can_burn`` says whether some mixture with air
    may burn or explode although no flame holds on a burner.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("gtz_flame_50", "harris_biogas_safety", "flame_bands")

    word: str
    sentence: str
    can_burn: bool


_SENTENCES = {
    "no": "No flame will hold on a burner.",
    "weak": "It may light beside a pilot flame, weakly, and go out.",
    "marginal": "It should light and may hold, still and unsteadily, out of the wind.",
    "yes": "It should light and hold.",
}
_STILL_EXPLOSIVE = " With air it can still burn or explode."
_TOO_POOR = " So poor a gas burns in no mixture with air, but it can suffocate."


def outlook(methane: float) -> Outlook:
    """Say whether a gas of this methane share lights and holds.

    Parameters
    ----------
    methane : float
        Dry share of methane, 0 to 1 [m3/m3].

    Returns
    -------
    Outlook
        A word and a sentence.

    Raises
    ------
    InputError
        For a share outside 0 to 1.

    References
    ----------
    gtz_flame_50, harris_biogas_safety for 50 %; flame_bands for the bands around it.

    Examples
    --------
    >>> outlook(0.52).word, outlook(0.30).can_burn
    ('marginal', True)
    """
    require_methane_share(methane)
    steps = ((WEAK, "no"), (MARGINAL, "weak"), (HOLDS, "marginal"))
    word = next((word for limit, word in steps if methane < limit), "yes")
    can_burn = methane >= FLOOR
    tail = ""
    if word == "no":
        tail = _STILL_EXPLOSIVE if can_burn else _TOO_POOR
    return Outlook(word, _SENTENCES[word] + tail, can_burn)
