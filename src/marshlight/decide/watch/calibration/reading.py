"""What each life would have shown at the readings of a log, and how likely those then are."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import log_ndtr

from marshlight.decide.watch.calibration.counting import (
    SLIPS,
    SWING,
    GasTaken,
    judge_gas,
    stray_today,
    taken,
)
from marshlight.decide.watch.calibration.course import Course
from marshlight.decide.watch.calibration.log import STRAY_D, Floats, Read, RunLog
from marshlight.decide.watch.calibration.varied import Draws
from marshlight.decide.watch.facts import TESTED_AS
from marshlight.measure import FlameTest
from marshlight.measure.evidence import Mixture
from marshlight.process.model.liquid import CACO3_KG_PER_EQUIVALENT
from marshlight.process.model.result import GASES, NITROGEN_KG_PER_KMOL, NORMAL_M3_PER_KMOL

_HOLDER = tuple(f"{where}_{gas}" for where in ("gas", "out") for gas in GASES)
# Acids with their COD [kg COD/kmol], as in the model's definition.
_ACIDS = {"acetate": 64.0, "propionate": 112.0, "butyrate": 160.0, "valerate": 208.0}
_ACETIC = 60.05
# Down to pH 4.3 a titration turns this share of the acids' ions: pKa near 4.8.
ACIDS_TITRATED = 0.74

_SHARES = ("p_methane_bar", "p_carbon_dioxide_bar", "dry_pressure_bar")


@dataclass(frozen=True)
class Quantity:
    """A quantity that is read: what the model must report, and how far the model itself is off.

    ``u`` and ``relative`` add to the model's own standard error; ``width`` is the span over which
    a plainly wrong reading may fall.
    """

    watch: tuple[str, ...]
    u: float
    relative: float
    width: float


# The model's own errors are our choice: pH against PHREEQC is good to 0.03, the slurry's ions are
# not; shares follow what digests; acids and nitrogen follow splits that are tables' means. What of
# them lasts for pH and methane is calibrated (``ph_model``, ``methane_model``) and not in here.
QUANTITIES: Mapping[str, Quantity] = {
    "ph": Quantity(("pH",), 0.05, 0.0, 5.0),
    "methane": Quantity(_SHARES, 0.01, 0.0, 1.0),
    "carbon_dioxide": Quantity(_SHARES, 0.01, 0.0, 1.0),
    "oxygen": Quantity(("p_oxygen_bar", "dry_pressure_bar"), 0.01, 0.0, 0.21),
    "acids": Quantity((*_ACIDS, "volume"), 0.15, 0.15, 20.0),
    "alkalinity": Quantity(
        (*_ACIDS, "volume", "bicarbonate", "carbonate", "ammonia"), 0.3, 0.10, 30.0
    ),
    "ammonia": Quantity(("inorganic_nitrogen", "volume"), 0.05, 0.20, 10.0),
}


@dataclass(frozen=True)
class Judged:
    """How likely all readings are for each life, and the stray of the gas rate today.

    ``log_likelihood`` (member,); ``rows`` (member, row): half their squares make up its slopes;
    ``stray``, ``u_stray`` (member,).
    """

    log_likelihood: Floats
    rows: Floats
    stray: Floats
    u_stray: Floats


class Sight:
    """A log's readings, ready to be held against lives.

    Parameters
    ----------
    log : RunLog
        Its readings, in any order.
    """

    def __init__(self, log: RunLog) -> None:
        self.today = log.today
        self.gas: GasTaken | None = None
        if log.gas is not None and len(log.gas):
            slurry = log.charge.volume_m3 if log.liquid_m3 is None else log.liquid_m3
            self.gas = taken(log.gas, swing_m3=SWING * slurry)
        self.reads: dict[str, Read] = {}
        for name in QUANTITIES:
            read = getattr(log, name)
            if read is not None and len(read):
                self.reads[name] = read
        self.flame = tuple(sorted(log.flame))
        self.day, self.watch = self._wanted()

    def _wanted(self) -> tuple[Floats, tuple[str, ...]]:
        days = [np.array([self.today]), np.array([day for day, _ in self.flame])]
        watch = ["pH"]
        if self.gas is not None:
            days += [self.gas.counted.start_d, self.gas.counted.end_d]
            watch += _HOLDER
        for name, read in self.reads.items():
            days.append(read.day)
            watch += QUANTITIES[name].watch
        if self.flame:
            watch += QUANTITIES["methane"].watch
        # A reading may lie a rounding after today.
        whole = np.unique(np.minimum(np.concatenate(days), self.today))
        return whole, tuple(dict.fromkeys(watch))

    def _at(self, days: Floats) -> Floats:
        return np.searchsorted(self.day, np.minimum(days, self.today)).clip(max=len(self.day) - 1)

    def shown(self, course: Course) -> dict[str, Floats]:
        """Give what lives without error would show at each reading, each (member, reading)."""
        found: dict[str, Floats] = {}
        if self.gas is not None:
            whole = np.sum([course[name] for name in _HOLDER], axis=0) * NORMAL_M3_PER_KMOL
            counted = self.gas.counted
            found["gas"] = whole[:, self._at(counted.end_d)] - whole[:, self._at(counted.start_d)]
        for name, read in self.reads.items():
            found[name] = _curve(name, course)[:, self._at(read.day)]
            if name in ("methane", "carbon_dioxide"):
                found[f"biogas at {name}"] = _biogas(course)[:, self._at(read.day)]
        if self.flame:
            days = np.array([day for day, _ in self.flame])
            found["flame"] = _curve("methane", course)[:, self._at(days)]
            found["biogas at flame"] = _biogas(course)[:, self._at(days)]
        return found

    def judge(self, shown: Mapping[str, Floats], draws: Draws) -> Judged:
        """Tell how likely the readings are, given how lives are seen.

        Parameters
        ----------
        shown : mapping
            As ``shown`` gives it, members as in the draws.
        draws : mapping of arrays
            Those of each member that change how a life is seen.

        Returns
        -------
        Judged
            A member's likelihood is finite whatever it shows.
        """
        members = len(draws["stray"])
        total, rows = np.zeros(members), [np.zeros((members, 0))]
        stray, u_stray = np.zeros(members), draws["stray"].copy()
        if self.gas is not None:
            seen = (draws["gas_scale"] * (1.0 - draws["leak"]))[:, None] * shown["gas"]
            gas = judge_gas(self.gas, seen, draws["stray"])
            total += gas.log_likelihood
            rows.append(gas.rows)
            stray, u_stray = stray_today(gas, draws["stray"], self.today)
        for name, read in self.reads.items():
            part, row = _judge(read, _as_read(name, shown, draws), QUANTITIES[name])
            total += part.sum(axis=1)
            rows.append(row)
        if self.flame:
            part = self._burnt(np.clip(_as_read("flame", shown, draws), 0.0, 1.0))
            total += part.sum(axis=1)
            rows.append(np.sqrt(np.maximum(-2.0 * part, 0.0)))
        return Judged(total, np.concatenate(rows, axis=1), stray, u_stray)

    def _burnt(self, methane: Floats) -> Floats:
        parts = np.zeros_like(methane)
        for i, (_, outcome) in enumerate(self.flame):
            gas = Mixture(methane[:, i], methane[:, i], methane[:, i])
            parts[:, i] = FlameTest(TESTED_AS[outcome]).log_likelihood(gas, 1.0)
        return parts


def _curve(name: str, course: Course) -> Floats:
    """Give a quantity of all lives over the days, as it is read."""
    if name == "ph":
        return course["pH"]
    if name in ("methane", "carbon_dioxide", "oxygen"):
        return np.asarray(course[f"p_{name}_bar"] / course["dry_pressure_bar"])
    if name == "ammonia":
        return NITROGEN_KG_PER_KMOL * course["inorganic_nitrogen"] / course["volume"]
    kmol = np.sum([course[acid] / cod for acid, cod in _ACIDS.items()], axis=0) / course["volume"]
    if name == "acids":
        return np.asarray(_ACETIC * kmol)
    buffered = course["bicarbonate"] + 2.0 * course["carbonate"] + course["ammonia"]
    return np.asarray(CACO3_KG_PER_EQUIVALENT * (buffered + ACIDS_TITRATED * kmol))


def _biogas(course: Course) -> Floats:
    """Give methane and carbon dioxide together as a share of the dry gas."""
    return _curve("methane", course) + _curve("carbon_dioxide", course)


def _as_read(name: str, shown: Mapping[str, Floats], draws: Draws) -> Floats:
    """Give what instruments show of lives: the model's lasting error and their own added."""
    if name == "ph":
        return np.asarray(shown[name] + (draws["ph_model"] + draws["ph_bias"])[:, None])
    if name not in ("methane", "carbon_dioxide", "flame"):
        return shown[name]
    moved = draws["methane_model"][:, None] * shown[f"biogas at {name}"]
    if name == "carbon_dioxide":
        return np.asarray(shown[name] - moved)
    bias = draws["methane_bias"][:, None] if name == "methane" else 0.0
    return np.asarray(shown[name] + moved + bias)


def _judge(read: Read, shown: Floats, quantity: Quantity) -> tuple[Floats, Floats]:
    """Tell how likely readings are, and their signed square form; each (member, reading)."""
    near = np.sum(np.abs(read.day[:, None] - read.day[None, :]) < 0.5 * STRAY_D, axis=1)
    # The model's error lasts: readings close together share it and do not average it away.
    # Relative to what it shows, not to what was read: else low readings would count as the surest.
    own = np.hypot(quantity.u, quantity.relative * shown) * np.sqrt(near)
    u = np.hypot(read.u, own)
    off = shown - read.value
    if read.step > 0.0:
        half = 0.5 * read.step
        sound = _between((half - np.abs(off)) / u, (-half - np.abs(off)) / u)
        best = _between(half / u, -half / u)
        slip = np.log(SLIPS * read.step / quantity.width)
    else:
        sound = -0.5 * (off / u) ** 2 - np.log(u * np.sqrt(2.0 * np.pi))
        best = -np.log(u * np.sqrt(2.0 * np.pi))
        slip = np.log(SLIPS / quantity.width)
    part = np.logaddexp(np.log(1.0 - SLIPS) + sound, slip)
    top = np.logaddexp(np.log(1.0 - SLIPS) + best, slip)
    return part, np.sign(off) * np.sqrt(np.maximum(2.0 * (top - part), 0.0))


def _between(high: Floats, low: Floats) -> Floats:
    """Log of the normal probability between two scores, also far out in the tail."""
    top, bottom = log_ndtr(high), log_ndtr(low)
    return np.asarray(top + np.log1p(-np.exp(np.minimum(bottom - top, -1e-12))))
