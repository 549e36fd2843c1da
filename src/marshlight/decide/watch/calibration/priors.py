"""What is believed of a digester before anything was read: a few parameters with their spread."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration.log import Floats, RunLog
from marshlight.errors import InputError, require

SHAPES = ("factor", "offset", "share")


@dataclass(frozen=True)
class Prior:
    """One parameter: middle, and the ends of its 95 % spread.

    ``shape`` is "factor" (log-normal), "offset" (normal) or "share" (logit-normal, 0 to 1); each
    side of the middle has its own half of the spread. ``source`` is a key, or says our choice.
    """

    middle: float
    low: float
    high: float
    shape: str
    unit: str
    meaning: str
    source: str

    def __post_init__(self) -> None:
        """Check.

        Raises
        ------
        InputError
            When the shape is unknown or the ends do not enclose the middle.
        """
        require(
            self.shape in SHAPES,
            field="prior",
            value=self.shape,
            allowed=", ".join(SHAPES),
            remedy="Name one of these",
        )
        least = -np.inf if self.shape == "offset" else 0.0
        most = 1.0 if self.shape == "share" else np.inf
        require(
            least < self.low <= self.middle <= self.high < most,
            field="prior",
            value=(self.low, self.middle, self.high),
            allowed="low, middle and high in order, within what the shape allows",
            remedy="Check the spread",
        )

    def natural(self, z: Floats) -> Floats:
        """Turn standard normal scores into values."""
        low, middle, high = (self._bent(v) for v in (self.low, self.middle, self.high))
        step = np.asarray(z, dtype=np.float64) / 1.96
        return self._straight(
            np.asarray(middle + step * np.where(step > 0.0, high - middle, middle - low))
        )

    def scores(self, values: Floats) -> Floats:
        """Turn values into standard normal scores; a side without spread gives 0."""
        low, middle, high = (self._bent(v) for v in (self.low, self.middle, self.high))
        off = self._bent(np.asarray(values, dtype=np.float64)) - middle
        side = np.where(off > 0.0, high - middle, middle - low)
        return np.asarray(1.96 * np.divide(off, side, out=np.zeros_like(off), where=side > 0.0))

    def _bent(self, value: Floats | float) -> Floats:
        v = np.asarray(value, dtype=np.float64)
        if self.shape == "factor":
            return np.asarray(np.log(v))
        return np.asarray(np.log(v / (1.0 - v))) if self.shape == "share" else v

    def _straight(self, bent: Floats) -> Floats:
        if self.shape == "factor":
            return np.asarray(np.exp(bent))
        return np.asarray(1.0 / (1.0 + np.exp(-bent))) if self.shape == "share" else bent


_OURS = "our choice"

# Each spread is of what the model's own tables leave open, or of what a keeper cannot know better.
_BELIEFS: Mapping[str, Prior] = {
    # Mean rate of a mixed feed: half to double, narrower than the tables' factor of three for one
    # substance, since a feed's own first-order rate is already in its split.
    "rate": Prior(
        1.0, 0.5, 2.0, "factor", "1", "pace of breakdown, relative to the feed's own",
        "vavilin_hydrolysis_2008",
    ),
    # Uptake of acids per cell: tabulated sets differ by a third either way (8 to 13 on acetate).
    "vigour": Prior(
        1.0, 0.65, 1.5, "factor", "1", "acids eaten per live cell, relative to the set",
        _OURS + ": sets in use differ about this much",
    ),
    # Strips and titrations of like slurries scatter by half; feeds' alkalinity is seldom measured.
    "buffer": Prior(
        1.0, 0.6, 1.6, "factor", "1", "alkalinity brought in, relative to what is recorded",
        _OURS + ": slurries of one kind differ about this much",
    ),
    "tolerance": Prior(
        1.0, 0.25, 4.0, "factor", "1", "free ammonia the acid eaters bear, relative to the set",
        "free_ammonia_unadapted",
    ),
    "warmth_k": Prior(
        0.0, -2.0, 2.0, "offset", "K", "how much warmer the microbes sit than is logged",
        _OURS + ": a thermometer in the wall or at the surface reads this far off",
    ),
    # Soap tests of home-made fittings: most lose next to nothing, a few lose a lot.
    "leak": Prior(
        0.01, 0.001, 0.10, "share", "1", "share of the gas lost before it is counted",
        _OURS + ": tight as a rule, now and then a tenth is lost",
    ),
    "gas_scale": Prior(
        1.0, 0.94, 1.06, "factor", "1", "what the holder shows per gas that came in",
        _OURS + ": bore and gauge of a home-made holder, 3 % standard",
    ),
    # Beside what moves the course: what the model cannot know of this slurry, for good.
    "ph_model": Prior(
        0.0, -0.2, 0.2, "offset", "pH", "how far the slurry's pH lies above the model's",
        _OURS + ": ions that nobody analysed",
    ),
    "methane_model": Prior(
        0.0, -0.05, 0.05, "offset", "1",
        "how far methane's share of methane and carbon dioxide lies above the model's",
        _OURS + ": a food's make-up differs from its table's by a quarter",
    ),
    "methane_bias": Prior(
        0.0, -0.03, 0.03, "offset", "1", "what an analyser shows above the true methane share",
        _OURS + ": span of a hand-held analyser between calibrations",
    ),
    "stray": Prior(
        0.12, 0.05, 0.30, "factor", "1", "how far the gas rate strays from the model, relative",
        _OURS + ": a well-mixed model is off by a tenth for days on end",
    ),
}  # fmt: skip

_METER_BIAS, _STRIP_BIAS_A_STEP = 0.15, 0.5
# Microbes in a vessel nobody measured may be this far from what was assumed [K], 95 %: our choice.
_UNMEASURED_K = 6.0


def priors_of(log: RunLog, overrides: Mapping[str, Prior] | None = None) -> dict[str, Prior]:
    """Give the parameters to calibrate for a run, with what is believed of each beforehand.

    Parameters
    ----------
    log : RunLog
        Its spreads of food and liveliness, and how warmth and pH were read, enter.
    overrides : mapping, optional
        Other beliefs by name, as from earlier runs of the same keeper or for a supposed fault.

    Returns
    -------
    dict of Prior
        By name, always in the same order.

    Raises
    ------
    InputError
        When an override's name is unknown.

    References
    ----------
    Sources ``vavilin_hydrolysis_2008``, ``free_ammonia_unadapted``, ``inoculum_activity_ranges``.
    """
    found = {
        "food": Prior(
            1.0, *log.food, "factor", "1", "how much digests, relative to what is recorded",
            "the feedstocks' own ranges",
        ),
        "rate": _BELIEFS["rate"],
        "cells": Prior(
            1.0, *log.lively, "factor", "1", "live cells of the charge, relative to its record",
            "inoculum_activity_ranges",
        ),
        **{n: _BELIEFS[n] for n in ("vigour", "buffer", "tolerance")},
        "warmth_k": _warmth(log),
        **{n: _BELIEFS[n] for n in ("leak", "gas_scale")},
        "ph_bias": _ph_bias(log),
        **{n: _BELIEFS[n] for n in ("ph_model", "methane_model", "methane_bias", "stray")},
    }  # fmt: skip
    for name, prior in (overrides or {}).items():
        if name not in found:
            raise InputError("prior", name, ", ".join(found), "Name one of these")
        found[name] = prior
    return found


def _warmth(log: RunLog) -> Prior:
    usual = _BELIEFS["warmth_k"]
    if log.slurry_c is not None and len(log.slurry_c):
        return usual
    return Prior(
        0.0, -_UNMEASURED_K, _UNMEASURED_K, "offset", "K", usual.meaning,
        _OURS + ": the slurry was never measured",
    )  # fmt: skip


def _ph_bias(log: RunLog) -> Prior:
    step = 0.0 if log.ph is None else log.ph.step
    # A meter drifts by 0.15 between calibrations; a strip's colours are judged half a step off.
    off = max(_METER_BIAS, _STRIP_BIAS_A_STEP * step)
    return Prior(
        0.0, -off, off, "offset", "pH", "what meter or strip shows above the truth",
        _OURS + ": drift of a meter, or half a step of a strip",
    )  # fmt: skip
