"""One bottle of a trial: what went in, and its cumulative methane."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from marshlight.errors import require

Floats = NDArray[np.float64]
ROLES = ("blank", "control", "sample")


def _nothing() -> Floats:
    return np.zeros(0)


@dataclass(frozen=True)
class Bottle:
    """A bottle: its role, its masses, and cumulative dry normal methane by day.

    ``group`` names the material that replicates share ("" in blanks); ``vs_kg`` is substrate VS
    [kg], ``vs_relative_u`` the relative standard error of the substrate's VS content with
    ``vs_df`` degrees of freedom, and ``fresh_kg`` the substrate weighed in.  ``u_m3`` is the
    standard uncertainty of the methane, ``u_shared_m3`` its part that all bottles share
    (instruments), ``u_scale_kg`` that of the scale.

    Raises
    ------
    InputError
        If the role is unknown, a mass cannot be, or the readings are not in order.
    """

    label: str
    role: str
    group: str
    inoculum_kg: float
    vs_kg: float
    day: Floats
    methane_m3: Floats
    u_m3: Floats = field(default_factory=_nothing)
    fresh_kg: float = 0.0
    vs_relative_u: float = 0.0
    vs_df: float = float("inf")
    u_shared_m3: Floats = field(default_factory=_nothing)
    u_scale_kg: float = 0.0
    inoculum_vs_kg: float = 0.0
    block: str = ""
    position: int = 0

    def __post_init__(self) -> None:
        require(
            self.role in ROLES,
            field="role",
            value=self.role,
            allowed=", ".join(ROLES),
            remedy="Say what the bottle is for",
        )
        require(
            self.inoculum_kg > 0.0,
            field=f"inoculum of {self.label}",
            value=self.inoculum_kg,
            allowed="above 0 kg",
            remedy="Give the inoculum weighed into this bottle",
        )
        require(
            (self.vs_kg > 0.0) == (self.role != "blank"),
            field=f"substrate VS of {self.label}",
            value=self.vs_kg,
            allowed="0 in a blank, above 0 elsewhere",
            remedy="Give the substrate weighed in and its VS content",
        )
        rising = self.day.size == self.methane_m3.size and bool(np.all(np.diff(self.day) > 0.0))
        require(
            rising,
            field=f"readings of {self.label}",
            value=self.day.size,
            allowed="days in rising order, one amount for each",
            remedy="Put the readings in order of time",
        )

    @property
    def last_day(self) -> float:
        """Day of the newest reading [d]; 0 where nothing was read."""
        return float(self.day[-1]) if self.day.size else 0.0

    def methane_at(self, day: float) -> float:
        """Cumulative methane at a day [m3], by straight lines between readings from 0 at day 0."""
        if not self.day.size:
            return 0.0
        return float(np.interp(day, np.r_[0.0, self.day], np.r_[0.0, self.methane_m3]))

    def u_at(self, day: float) -> float:
        """Standard uncertainty of the methane at a day [m3]; 0 where none is known."""
        if not self.u_m3.size:
            return 0.0
        return float(np.interp(day, np.r_[0.0, self.day], np.r_[0.0, self.u_m3]))

    def u_shared_at(self, day: float) -> float:
        """Part of the uncertainty at a day that all bottles share [m3]; 0 where none is known."""
        if not self.u_shared_m3.size:
            return 0.0
        return float(np.interp(day, np.r_[0.0, self.day], np.r_[0.0, self.u_shared_m3]))


def common_day(bottles: Sequence[Bottle]) -> float:
    """Last day that every bottle was read on or after [d].

    Parameters
    ----------
    bottles : sequence of Bottle
        At least one.

    Returns
    -------
    float
        The day at which blanks and substrates are compared [d].

    Raises
    ------
    InputError
        If there is no bottle, or one was never read.
    """
    unread = [b.label for b in bottles if not b.day.size]
    require(
        bool(bottles) and not unread,
        field="readings",
        value=", ".join(unread) or "no bottles",
        allowed="at least one reading of every bottle",
        remedy="Read every bottle, or take it out of the trial",
    )
    return min(b.last_day for b in bottles)


def grouped(bottles: Sequence[Bottle]) -> dict[str, list[Bottle]]:
    """Gather bottles that hold the same, blanks under "", in order of first appearance."""
    found: dict[str, list[Bottle]] = {}
    for bottle in bottles:
        found.setdefault("" if bottle.role == "blank" else bottle.group, []).append(bottle)
    return found
