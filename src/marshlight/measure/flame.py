"""The flame test: what a small flame at the burner says of the methane share."""

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from marshlight.errors import require
from marshlight.measure.evidence import FloatArray, Mixture

OUTCOMES = ("will_not_light", "lights_and_dies", "holds")
# Half of the burners light at 0.35 and hold at 0.50; one in ten at 0.09 less.
_LIGHTS_AT, _HOLDS_AT, _FLAME_SCALE = 0.35, 0.50, 0.04
_MISREPORTED = 0.03


@dataclass(frozen=True)
class FlameTest:
    """What a small flame did at the burner.

    Parameters
    ----------
    outcome : str
        "will_not_light", "lights_and_dies" or "holds".

    Raises
    ------
    InputError
        If the outcome is none of these.

    Notes
    -----
    Chances of lighting and of holding rise with the methane share along logistic
    curves centred at 0.35 and 0.50; three tests in a hundred are taken as misread
    (wind, a wet or wrong jet). Test only a small amount drawn off to a burner,
    outdoors, away from the vessel, never at the vessel itself.

    References
    ----------
    flame_practice; zabetakis_1965.
    """

    SOURCES: ClassVar[tuple[str, ...]] = ("flame_practice", "zabetakis_1965")

    outcome: str

    def __post_init__(self) -> None:
        require(
            self.outcome in OUTCOMES,
            field="flame",
            value=self.outcome,
            allowed=", ".join(OUTCOMES),
            remedy="Say what the flame did at the burner",
        )

    @property
    def says(self) -> str:
        """What it showed, in a few words."""
        return {
            "will_not_light": "the gas would not light",
            "lights_and_dies": "the flame lit and died",
            "holds": "the flame held",
        }[self.outcome]

    def log_likelihood(self, gas: Mixture, widen: float) -> FloatArray:
        """Return the log-likelihood of each gas.

        Parameters
        ----------
        gas : Mixture
            Possible gases.
        widen : float
            Factor on the doubt, 1 or more [-].

        Returns
        -------
        array
            Log-likelihood [-].
        """
        scale = _FLAME_SCALE * widen
        lights = 1.0 / (1.0 + np.exp(-(gas.methane - _LIGHTS_AT) / scale))
        holds = 1.0 / (1.0 + np.exp(-(gas.methane - _HOLDS_AT) / scale))
        chance = {
            "will_not_light": 1.0 - lights,
            "lights_and_dies": lights * (1.0 - holds),
            "holds": lights * holds,
        }[self.outcome]
        misread = min(_MISREPORTED * widen, 0.5)
        return np.asarray(np.log((1.0 - misread) * chance + misread / 3.0))
